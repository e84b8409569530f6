"""What is wrong with a table, in file order, and what of it can be left out."""

from collections.abc import Iterable
from dataclasses import dataclass

from winrate_tools.errors import Problem


@dataclass(frozen=True, slots=True)
class Finding:
    """A problem with what the reader needs to sort it and to act on it.

    Attributes
    ----------
    problem : Problem
        What the user sees.
    line, cell : int
        Physical line and cell, for the order; 0 where there is none.
    row : int or None
        Row of the grid that goes if bad rows are left out.
    fatal : bool
        Whether the file cannot be used even without the row.
    """

    problem: Problem
    line: int = 0
    cell: int = 0
    row: int | None = None
    fatal: bool = False


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Sort by line and cell, each problem once."""
    once = {(found.problem.place, found.problem.message): found for found in findings}
    return sorted(once.values(), key=lambda found: (found.line, found.cell))
