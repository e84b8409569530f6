"""Which rows make a table: bad rows and repeats are refused, or dealt with as told."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Generic, NamedTuple, TypeVar

from winrate_tools.errors import Problem
from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.duplicates import find_duplicates, report_duplicates
from winrate_tools.ingest.checks.findings import Finding, first_few, in_order
from winrate_tools.ingest.roles.view import View
from winrate_tools.tables import Source

Table = TypeVar("Table")
MOST_TOLD = 5
"""Rows left out or added up that are told one by one."""


@dataclass(frozen=True)
class Built(Generic[Table]):
    """A table, or the problems that stand in its way.

    Attributes
    ----------
    table : CardTable or other checked table, or None
        None if there are problems.
    problems : tuple of Problem
        In file order.
    notes : tuple of str
        Everything assumed, mended or left out.
    """

    table: Table | None
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]


class Sifted(NamedTuple):
    """Which rows make a table, or the problems that stand in its way.

    Attributes
    ----------
    rows : tuple of int
        Rows that count, repeats among them.
    repeats : dict of int to int
        Row to the earlier one that it is to be added to.
    problems : tuple of Problem
        In file order.
    source : Source
        Where the table comes from, with everything assumed, mended or left out.
    """

    rows: tuple[int, ...]
    repeats: dict[int, int]
    problems: tuple[Problem, ...]
    source: Source

    @property
    def kept(self) -> list[int]:
        """The rows that stay rows of the table."""
        return [row for row in self.rows if row not in self.repeats]

    def built(self, make: Callable[["Sifted"], Table]) -> Built[Table]:
        """Make the table of these rows, unless problems stand in its way."""
        table = None if self.problems else make(self)
        return Built(table, self.problems, self.source.notes)


def sift(columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool) -> Sifted:
    """Sort out bad and repeated rows.

    Parameters
    ----------
    columns : Columns
        Checked columns.
    source : Source
        Its notes come first.
    skip_bad : bool
        Leave bad rows out, each with a note, where the file can be used without them.
    sum_duplicates : bool
        Let the rows of a name that is listed twice be added up.
    """
    repeats = _repeats(columns, columns.rows)
    reports = [] if sum_duplicates else report_duplicates(columns.view, repeats, columns.labels)
    findings = in_order([*columns.findings, *reports])
    stops = [found for found in findings if found.fatal or not skip_bad]
    source = replace(source, notes=(*source.notes, *columns.notes))
    if stops:
        return Sifted((), {}, tuple(found.problem for found in stops), source)
    bad = {found.row for found in findings}
    rows = tuple(row for row in columns.rows if row not in bad)
    repeats = _repeats(columns, rows) if len(rows) < len(columns.rows) else repeats
    said = [*left_out(findings, columns.view.sheet.grid.unit), *_added(columns.view, repeats)]
    source = replace(source, notes=(*source.notes, *said))
    nothing = Problem(source.name, f"no row is left, of {len(columns.view.card)}")
    return Sifted(rows, repeats, () if rows else (nothing,), source)


def _repeats(columns: Columns, rows: Sequence[int]) -> dict[int, int]:
    if columns.view.sheet.kind.repeats:
        return {}
    return find_duplicates(columns.view.card, columns.labels, rows)


def left_out(findings: Sequence[Finding], unit: str = "line") -> Iterator[str]:
    """Say which rows were left out and why: a few one by one, many in one sentence.

    Parameters
    ----------
    findings : sequence of Finding
        What is wrong with them, in file order.
    unit : str, optional
        What the file counts its rows in, ``line`` or ``row``.
    """
    told = [f"{found.problem.place}: {found.problem.message}" for found in findings]
    if len(told) <= MOST_TOLD:
        yield from (f"left out: {one}" for one in told)
        return
    lines = list(dict.fromkeys(str(found.line) for found in findings))
    yield f"left out: {len(lines):,} rows, {unit}s {first_few(lines)}; the first, {told[0]}"


def _added(view: View, repeats: dict[int, int]) -> Iterator[str]:
    told = [
        f"{view.card[row]!r} on {view.line_of(row)} was added to {view.line_of(first)}"
        for row, first in repeats.items()
    ]
    yield from added_rows(told, len(told), view.sheet.kind.name)


def added_rows(told: Sequence[str], count: int, kind: str) -> Iterator[str]:
    """Say which rows were added to earlier ones: a few one by one, many in one sentence.

    Parameters
    ----------
    told : sequence of str
        What is said of the first of them, of `MOST_TOLD` at least.
    count : int
        How many there are.
    kind : str
        What a row stands for.

    Examples
    --------
    >>> next(added_rows(['"Ash" on line 3 was added to line 2'], 20, "card"))[:60]
    '20 rows were added to an earlier row of the same card; "Ash"'
    """
    if count <= MOST_TOLD:
        yield from told
        return
    yield f"{count:,} rows were added to an earlier row of the same {kind}; {told[0]}"
