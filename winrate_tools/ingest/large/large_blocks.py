"""A block of a large table, checked by the very steps that check a small one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, NoReturn, cast

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import read_names
from winrate_tools.ingest.cells.numbers import NumberColumn, read_numbers, tokenise
from winrate_tools.ingest.checks.check import STEPS
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.checks.totals import WORDS
from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Coded, CodedRows, Wanted
from winrate_tools.ingest.logs.label_codes import BAD, BLANK, UNKNOWN, LabelCodes
from winrate_tools.ingest.logs.log_reader import placed
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.roles.view import Part, View
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.tables import LABELS, Numbers

Codes = npt.NDArray[np.int64]


class OddBlockError(Exception):
    """A block cannot be read without looking at its cells one by one."""


class WholeFileError(Exception):
    """A table cannot be read block by block: something in it bears on all of its rows."""


class _Unread(Sequence[Any]):
    """Rows that nobody has looked at: who asks for one finds the block odd."""

    def __init__(self, rows: int) -> None:
        self._rows = rows

    def __len__(self) -> int:
        return self._rows

    def __getitem__(self, _: Any) -> NoReturn:
        raise OddBlockError


@dataclass(frozen=True, slots=True, eq=False)
class CheckedBlock:
    """Rows of a block.

    Attributes
    ----------
    numbers : dict of str to ndarray of float, shape (rows,)
        Columns by role, NaN where unknown or wrong.
    labels : dict of str to ndarray of int, shape (rows,)
        Codes of labels by role, -1 where unknown.
    lines : ndarray of int, shape (rows,)
        Physical lines.
    findings : tuple of Finding
        What is wrong, by its place in the file.
    notes : tuple of str
        What was assumed.
    view : View or None
        The rows cell by cell; None where nobody looked.
    """

    numbers: dict[str, Numbers]
    labels: dict[str, Codes]
    lines: Codes
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()
    view: View | None = None


@dataclass(slots=True)
class BlockCheck:
    """Checks the blocks of one table.

    Parameters
    ----------
    sheet : Sheet
        The head of the table, by which its number style is settled.
    where : mapping of str to int
        Role to column number.

    Attributes
    ----------
    labels : dict of str to LabelCodes
        Labels by role, as met so far.
    wanted : Wanted
        The columns to read.
    """

    sheet: Sheet
    where: Mapping[str, int]
    labels: dict[str, LabelCodes] = field(init=False)
    wanted: Wanted = field(init=False)
    _checked: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.labels = {"card": LabelCodes("card", BLANK)}
        self.labels |= {role: LabelCodes(role) for role in LABELS if role in self.where}
        texts = tuple(self.where[role] for role in self.labels)
        others = [number for number in self.where.values() if number not in texts]
        whole = tuple(n for n in others if self._is_whole(n))
        self.wanted = Wanted((*texts, *(n for n in others if n not in whole)), whole)

    def _is_whole(self, number: int) -> bool:
        return all(cell.isascii() and cell.isdigit() for cell in self.sheet.grid.column(number))

    def check(self, block: Block) -> CheckedBlock:
        """Check a block at full speed, else cell by cell.

        Raises
        ------
        WholeFileError
            If a row may be a total, or shows a number style that the head did not show.
        TableError
            If a byte is no text.
        """
        rows = quick_rows(block, self.sheet.grid, self.wanted)
        try:
            lines = block.lines + (not block.data.endswith((b"\n", b"\r")))
            if rows is not None and rows.rows == lines:
                return self._quick(rows)
        except OddBlockError:
            pass
        return self.look_closely(block)

    def _quick(self, rows: CodedRows) -> CheckedBlock:
        labels = self._labels(rows)
        if any((codes == BAD).any() for codes in labels.values()):
            raise OddBlockError
        unread = cast("Any", _Unread(rows.rows))
        grid = replace(self.sheet.grid, rows=unread, findings=(), notes=())
        part = _numbers(View(self._sheet(grid, rows), self.where, unread))
        lines = rows.line + np.arange(rows.rows)
        return CheckedBlock(part.numbers, labels, lines, part.findings, part.notes)

    def look_closely(self, block: Block) -> CheckedBlock:
        """Check a block cell by cell."""
        rows = careful_rows(block, self.sheet.grid, self.wanted)
        grid = rows.grid
        assert grid is not None
        names = read_names(grid, self.where["card"])
        view = View(self._sheet(grid, rows), self.where, names.labels)
        part = _numbers(view)
        findings = [
            placed(found, grid, rows.line)
            for found in (*grid.findings, *names.findings, *part.findings)
        ]
        lines = np.array([row.first for row in grid.rows], dtype=np.int64) + rows.line - 1
        labels = {
            role: np.maximum(codes, UNKNOWN) for role, codes in self._labels(rows).items()
        }
        return CheckedBlock(part.numbers, labels, lines, tuple(findings), part.notes, view)

    def _sheet(self, grid: Any, rows: CodedRows) -> Sheet:
        columns = {
            number: self._column(number, coded)
            for number, coded in rows.columns.items()
            if number not in self.label_columns
        }
        columns |= {n: _plain(numbers) for n, numbers in rows.numbers.items()}
        return Sheet(grid, self.sheet.decimal, self.sheet.told, {}, self.sheet.kind, columns)

    def _column(self, number: int, coded: Coded) -> NumberColumn:
        """Read each different text of a column as a number, in the style of the head."""
        head = self.sheet.read(number)
        texts = [text.strip() for text in coded.texts]
        tokens = [tokenise(text) for text in texts]
        column = read_numbers(
            texts, tokens, file_mark=head.decimal, told=head.decimal is not None
        )
        if column.decimal != head.decimal:
            shown = next(t.body for t in tokens if t is not None and t.decides)
            msg = f"the first rows do not show the decimal mark, {shown!r} does"
            raise WholeFileError(msg)
        return _spread(column, coded.codes)

    @property
    def label_columns(self) -> set[int]:
        """Numbers of the columns that hold labels."""
        return {self.where[role] for role in self.labels}

    def _labels(self, rows: CodedRows) -> dict[str, Codes]:
        codes = {}
        for role, labels in self.labels.items():
            coded = rows.columns[self.where[role]]
            known = labels.codes(coded.texts)
            self._demand_no_total(role, labels)
            if role == "card" and (known == UNKNOWN).any():
                msg = "a row without a name may add up the others"
                raise WholeFileError(msg)
            codes[role] = known[coded.codes]
        return codes

    def _demand_no_total(self, role: str, labels: LabelCodes) -> None:
        """Refuse a label that reads like a total, unless it is an attribute's."""
        start = self._checked.get(role, 0)
        self._checked[role] = len(labels.names)
        if role in {"faction", "rarity", "role"}:
            return
        for name in labels.names[start:]:
            if folded(name).strip(" :*-=.()") in WORDS:
                msg = f"{name!r} reads like a total of the other rows"
                raise WholeFileError(msg)


def _numbers(view: View) -> Part:
    part = Part()
    for step in STEPS:
        part = part.then(step(view, part.numbers))
    return part


def _plain(numbers: npt.NDArray[np.int64]) -> NumberColumn:
    rows = len(numbers)
    return NumberColumn(numbers.astype(np.float64), np.zeros(rows), np.zeros(rows, dtype=bool))


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
