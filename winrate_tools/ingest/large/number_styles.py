"""Number columns of a large table's blocks, read in the one style that its head shows."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.cells.numbers import NumberColumn, Token, read_numbers, tokenise
from winrate_tools.ingest.logs.coded import Coded
from winrate_tools.ingest.text.sheet import Sheet


class WholeFileError(Exception):
    """A table cannot be read block by block: something in it bears on all of its rows."""


@dataclass(slots=True)
class NumberStyles:
    r"""Reads number columns as they would be read with all the rows at hand.

    Parameters
    ----------
    sheet : Sheet
        The head of the table.

    Examples
    --------
    >>> from winrate_tools.ingest.text.grid import read_grid
    >>> from winrate_tools.ingest.text.sheet import read_sheet
    >>> head = read_grid("card;games\nFox;1.204\nMoth;2.400.300\n", "cards.csv")
    >>> coded = Coded(np.array([1, 0, 1]), ("12", "3.500"))
    >>> NumberStyles(read_sheet(head)).column(2, coded).values.tolist()
    [3500.0, 12.0, 3500.0]
    """

    sheet: Sheet
    _marks: dict[int, set[str]] = field(default_factory=dict)

    def column(self, number: int, coded: Coded) -> NumberColumn:
        """Read each different text of a column, and give every row the reading of its text.

        Raises
        ------
        WholeFileError
            If a cell proves another decimal mark than the head shows, or some cells settle
            what others of their column mean.
        """
        mark = self.sheet.read(number).decimal
        texts = [text.strip() for text in coded.texts]
        tokens = [tokenise(text) for text in texts]
        settled = self.sheet.told or any(map(_decides, self.sheet.tokens.get(number, ())))
        column = read_numbers(texts, tokens, file_mark=mark, told=settled)
        if not self.sheet.told:
            _demand_one_mark(tokens, mark)
        self._demand_one_reading(number, column, any(map(_decides, tokens)))
        return _spread(column, coded.codes)

    def _demand_one_reading(self, number: int, column: NumberColumn, decided: bool) -> None:
        marks = self._marks.setdefault(number, set())
        marks.update(column.doubtful.values(), ["settled"] if decided else [])
        if len(marks) > 1:
            msg = f"the marks in {self.sheet.grid.label(number)} mean one thing or another"
            raise WholeFileError(msg)


def whole_numbers(numbers: npt.NDArray[np.int64]) -> NumberColumn:
    """Make a column of plain whole numbers."""
    rows = len(numbers)
    return NumberColumn(numbers.astype(np.float64), np.zeros(rows), np.zeros(rows, dtype=bool))


def _decides(token: Token | None) -> bool:
    return token is not None and token.decides is not None


def _demand_one_mark(tokens: Sequence[Token | None], mark: str | None) -> None:
    odd = (t.body for t in tokens if t is not None and t.decides not in {None, mark})
    shown = next(odd, None)
    if shown is not None:
        there = f"show {mark!r} as the decimal mark" if mark else "show no decimal mark"
        msg = f"the first rows {there}, {shown!r} shows one"
        raise WholeFileError(msg)


def _spread(column: NumberColumn, codes: npt.NDArray[np.int32]) -> NumberColumn:
    """Give every row the reading of its text."""

    def rows(of: Mapping[int, str]) -> dict[int, str]:
        if not of:
            return {}
        odd = np.isin(codes, list(of))
        return {int(row): of[int(codes[row])] for row in np.flatnonzero(odd)}

    return NumberColumn(
        column.values[codes],
        column.digits[codes],
        column.percent[codes],
        rows(column.bad),
        rows(column.doubtful),
        column.decimal,
        column.is_mixed,
    )
