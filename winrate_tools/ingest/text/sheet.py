"""A grid whose columns can be read as numbers."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import islice

from winrate_tools.errors import SettingError
from winrate_tools.ingest.cells.numbers import (
    MARKS,
    Mark,
    NumberColumn,
    Token,
    is_unknown,
    read_numbers,
    tokenise,
    vote,
)
from winrate_tools.ingest.checks.findings import excerpt
from winrate_tools.ingest.roles.kinds import CARDS, Kind
from winrate_tools.ingest.text.grid import Grid

SAMPLE = 200


@dataclass(frozen=True, slots=True)
class Sheet:
    """A grid with its number style.

    Attributes
    ----------
    grid : Grid
        Header and rows of text.
    decimal : str or None
        Decimal mark of the file; None where no cell decides or cells disagree.
    told : bool
        Whether the user or the kind of file fixed it.
    tokens : dict of int to list
        Number columns, tokenised, by column number from 1.
    kind : Kind
        What kind of table the grid is read as.
    """

    grid: Grid
    decimal: Mark | None
    told: bool
    tokens: dict[int, list[Token | None]]
    kind: Kind = CARDS
    _read: dict[int, NumberColumn] = field(default_factory=dict)

    @property
    def numbers(self) -> range:
        """The column numbers, from 1."""
        return range(1, len(self.grid.headers) + 1)

    def holds_numbers(self, number: int) -> bool:
        """Tell whether most known cells of a column are numbers."""
        return number in self.tokens

    def read(self, number: int) -> NumberColumn:
        """Read a column as numbers, whatever it holds."""
        if number not in self._read:
            cells = self.grid.column(number)
            tokens = self.tokens.get(number) or [tokenise(cell) for cell in cells]
            self._read[number] = read_numbers(
                cells, tokens, file_mark=self.decimal, told=self.told
            )
        return self._read[number]

    def samples(self, number: int, count: int = 3) -> tuple[str, ...]:
        """Return the first values of a column that are not blank."""
        cells = (row.cells[number - 1].strip() for row in self.grid.rows)
        return tuple(excerpt(cell) for cell in islice(filter(None, cells), count))


def read_sheet(grid: Grid, decimal: str | None = None, kind: Kind = CARDS) -> Sheet:
    """Settle the number style of a file, by the decimal mark where the user knows it.

    Raises
    ------
    SettingError
        If `decimal` is neither a point nor a comma.
    """
    if decimal is not None and decimal not in MARKS:
        msg = f'decimal must be "." or ",", got {decimal!r}'
        raise SettingError(msg)
    tokens = {}
    for number in range(1, len(grid.headers) + 1):
        cells = grid.column(number)
        if _mostly_numbers(cells):
            tokens[number] = [tokenise(cell) for cell in cells]
    fixed = decimal or grid.decimal
    mark: Mark | None = next((known for known in MARKS if known == fixed), None)
    return Sheet(grid, mark or vote(tokens.values()), mark is not None, tokens, kind)


def _mostly_numbers(cells: Sequence[str]) -> bool:
    step = max(1, len(cells) // SAMPLE)
    known = [cell for cell in cells[::step] if not is_unknown(cell)]
    return bool(known) and 2 * sum(tokenise(cell) is not None for cell in known) > len(known)
