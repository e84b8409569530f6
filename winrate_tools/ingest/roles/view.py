"""A sheet seen through its roles, so that a check can point at the cell it speaks of."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from winrate_tools.columns import ARCHETYPE_ROLES, CANDIDATE_ROLES, CARD_ROLES, MATCH_ROLES
from winrate_tools.ingest.checks.findings import Finding, excerpt
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.tables import Flags, Numbers

ROLES = {**ARCHETYPE_ROLES, **CARD_ROLES, **CANDIDATE_ROLES, **MATCH_ROLES}
MEND_OR_SKIP = "mend the cell, or leave the line out with --skip-bad"


@dataclass(frozen=True, slots=True)
class View:
    """A sheet, and the column number of each role.

    Attributes
    ----------
    sheet : Sheet
        The file.
    where : mapping of str to int
        Role to column number, from 1.
    card : tuple of str
        The name of each row: of its card, or of what else the table lists.
    """

    sheet: Sheet
    where: Mapping[str, int]
    card: tuple[str, ...]

    def cell(self, row: int, role: str) -> str:
        """Return a cell as written, trimmed, shortened where it is very long."""
        return excerpt(self.sheet.grid.rows[row].cells[self.where[role] - 1].strip())

    def finding(self, row: int, role: str, message: str, fix: str = MEND_OR_SKIP) -> Finding:
        """Say what is wrong with the cell of a role in a row."""
        name = (
            f" for {excerpt(self.card[row])!r}"
            if self.card[row] and role != self.sheet.kind.name
            else ""
        )
        return self.sheet.grid.finding(row, self.where[role], message + name, fix)

    def place_of(self, row: int) -> str:
        """Say where a row stands: ``pool.csv:12``, or ``pool.parquet:row 12``."""
        grid = self.sheet.grid
        unit = "" if grid.unit == "line" else f"{grid.unit} "
        return f"{grid.name}:{unit}{grid.line_of(row)}"

    def line_of(self, row: int) -> str:
        """Say where a row stands: ``line 12``, or ``row 12`` in a file without lines."""
        return f"{self.sheet.grid.unit} {self.sheet.grid.line_of(row)}"


@dataclass(frozen=True, slots=True)
class Part:
    """What one step of checking adds.

    Attributes
    ----------
    numbers : dict of str to ndarray of float, shape (rows,)
        Columns by role, NaN where unknown or wrong.
    findings : tuple of Finding
        What is wrong.
    notes : tuple of str
        What was assumed.
    """

    numbers: dict[str, Numbers] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()

    def then(self, other: "Part") -> "Part":
        """Add another step; its columns replace earlier ones of the same role."""
        return Part(
            {**self.numbers, **other.numbers},
            (*self.findings, *other.findings),
            (*self.notes, *other.notes),
        )


def read_each(view: View, roles: Iterable[str], read: Callable[[View, str], Part]) -> Part:
    """Read those of some columns that the table has."""
    part = Part()
    for role in roles:
        if role in view.where:
            part = part.then(read(view, role))
    return part


def word(role: str) -> str:
    """Call a role by its name in a sentence."""
    return ROLES[role].heading.lower() if role in ROLES else role


def rows_where(flags: Flags) -> list[int]:
    """List the rows for which something holds."""
    return [int(row) for row in np.flatnonzero(flags)]
