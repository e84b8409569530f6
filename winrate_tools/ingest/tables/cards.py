"""Checked columns to a card table: bad rows and repeats are refused, or dealt with as told."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from winrate_tools.errors import Problem
from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.duplicates import add_up, find_duplicates, report_duplicates
from winrate_tools.ingest.checks.findings import Finding, in_order
from winrate_tools.tables import LABELS, NUMBERS, CardTable, Source

Table = TypeVar("Table")


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


def build_cards(
    columns: Columns, source: Source, *, skip_bad: bool = False, sum_duplicates: bool = False
) -> Built[CardTable]:
    """Build the table.

    Parameters
    ----------
    columns : Columns
        Checked columns.
    source : Source
        Name, hash and roles; its notes come first.
    skip_bad : bool, optional
        Leave bad rows out, each with a note, where the file can be used without them.
    sum_duplicates : bool, optional
        Add up the rows of a card that is listed twice.

    Returns
    -------
    Built
        The table, or the problems.
    """
    sifted = sift(columns, source, skip_bad=skip_bad, sum_duplicates=sum_duplicates)
    if sifted.problems:
        return Built(None, sifted.problems, sifted.notes)
    full = replace(source, notes=sifted.notes)
    return Built(_table(columns, sifted, full), (), sifted.notes)


@dataclass(frozen=True, slots=True)
class Sifted:
    """Which rows make a table, or the problems that stand in its way.

    Attributes
    ----------
    rows : tuple of int
        Rows that count, repeats among them.
    repeats : dict of int to int
        Row to the earlier one that it is to be added to.
    problems : tuple of Problem
        In file order.
    notes : tuple of str
        Everything assumed, mended or left out.
    """

    rows: tuple[int, ...]
    repeats: dict[int, int]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]

    @property
    def kept(self) -> list[int]:
        """The rows that stay rows of the table."""
        return [row for row in self.rows if row not in self.repeats]


def sift(columns: Columns, source: Source, *, skip_bad: bool, sum_duplicates: bool) -> Sifted:
    """Sort out bad and repeated rows; parameters as in `build_cards`."""
    repeats = _repeats(columns, columns.rows)
    reports = [] if sum_duplicates else report_duplicates(columns.view, repeats)
    findings = in_order([*columns.findings, *reports])
    stops = [found for found in findings if found.fatal or not skip_bad]
    notes = (*source.notes, *columns.notes)
    if stops:
        return Sifted((), {}, tuple(found.problem for found in stops), notes)
    bad = {found.row for found in findings}
    rows = tuple(row for row in columns.rows if row not in bad)
    notes += tuple(_left_out(findings))
    if not rows:
        what = f"no row is left, of {len(columns.view.card)}"
        return Sifted((), {}, (Problem(source.name, what),), notes)
    repeats = _repeats(columns, rows)
    notes += tuple(
        f"{columns.view.card[row]!r} on {columns.view.line_of(row)} was added to "
        f"{columns.view.line_of(first)}"
        for row, first in repeats.items()
    )
    return Sifted(rows, repeats, (), notes)


def _repeats(columns: Columns, rows: Sequence[int]) -> dict[int, int]:
    if columns.view.sheet.kind.repeats:
        return {}
    return find_duplicates(columns.view.card, columns.labels, rows)


def _left_out(findings: Sequence[Finding]) -> list[str]:
    return [f"left out: {found.problem.place}: {found.problem.message}" for found in findings]


def _table(columns: Columns, sifted: Sifted, source: Source) -> CardTable:
    numbers, labels = add_up(columns.numbers, columns.labels, sifted.repeats)
    kept = sifted.kept
    cut: dict[str, object] = {role: numbers[role][kept] for role in NUMBERS if role in numbers}
    for role in LABELS:
        if role in labels:
            cut[role] = [labels[role][row] for row in kept]
    games, wins = cut.pop("games"), cut.pop("wins")
    names = [columns.view.card[row] for row in kept]
    return CardTable(names, games, wins, source=source, **cut)  # type: ignore[arg-type]
