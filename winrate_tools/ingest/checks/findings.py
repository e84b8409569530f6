"""What is wrong with a table, in file order, and how much of a long text a message shows."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from winrate_tools.errors import Problem, TableError


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


def excerpt(text: str, most: int = 80) -> str:
    """Shorten a text for a message.

    Examples
    --------
    >>> excerpt("a very long cell", most=7)
    'a very…'
    """
    return text if len(text) <= most else f"{text[: most - 1]}\u2026"


def problem_error(name: str, problems: Sequence[Problem]) -> TableError:
    """Gather the problems of a file into one error, which tells the first."""
    first, said = problems[0], counted(len(problems), "problem")
    return TableError(f"{name}: {said}; first: {first.place}: {first.message}", problems)


def counted(count: int, noun: str) -> str:
    """Count something.

    Examples
    --------
    >>> counted(1, "row"), counted(12, "problem")
    ('1 row', '12 problems')
    """
    return f"1 {noun}" if count == 1 else f"{count} {noun}s"


def first_few(items: Sequence[str], most: int = 5) -> str:
    """List the first items of what may be many.

    Examples
    --------
    >>> first_few(["2", "5", "9"], most=2)
    '2, 5 and 1 more'
    """
    more = f" and {len(items) - most} more" if len(items) > most else ""
    return ", ".join(items[:most]) + more
