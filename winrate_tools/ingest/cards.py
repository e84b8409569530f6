"""Checked columns to a card table: bad rows and repeats are refused, or dealt with as told."""

from collections.abc import Sequence
from dataclasses import dataclass

from winrate_tools.errors import Problem
from winrate_tools.ingest.check import Columns
from winrate_tools.ingest.duplicates import add_up, find_duplicates, report_duplicates
from winrate_tools.ingest.findings import Finding, in_order
from winrate_tools.tables import LABELS, NUMBERS, CardTable, Source


@dataclass(frozen=True, slots=True)
class Built:
    """A card table, or the problems that stand in its way.

    Attributes
    ----------
    table : CardTable or None
        None if there are problems.
    problems : tuple of Problem
        In file order.
    notes : tuple of str
        Everything assumed, mended or left out.
    """

    table: CardTable | None
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]


def build_cards(
    columns: Columns, source: Source, *, skip_bad: bool = False, sum_duplicates: bool = False
) -> Built:
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
    repeats = find_duplicates(columns.view.card, columns.labels, columns.rows)
    reports = [] if sum_duplicates else report_duplicates(columns.view, repeats)
    findings = in_order([*columns.findings, *reports])
    stops = [found for found in findings if found.fatal or not skip_bad]
    notes = (*source.notes, *columns.notes)
    if stops:
        return Built(None, tuple(found.problem for found in stops), notes)
    bad = {found.row for found in findings}
    rows = [row for row in columns.rows if row not in bad]
    notes += tuple(_left_out(findings))
    if not rows:
        what = f"no row is left, of {len(columns.view.card)}"
        return Built(None, (Problem(source.name, what),), notes)
    repeats = find_duplicates(columns.view.card, columns.labels, rows)
    notes += tuple(
        f"{columns.view.card[row]!r} on {columns.view.line_of(row)} was added to "
        f"{columns.view.line_of(first)}"
        for row, first in repeats.items()
    )
    full = Source(source.name, source.sha256, source.roles, notes)
    return Built(_table(columns, rows, repeats, full), (), notes)


def _left_out(findings: Sequence[Finding]) -> list[str]:
    return [f"left out: {found.problem.place}: {found.problem.message}" for found in findings]


def _table(
    columns: Columns, rows: Sequence[int], repeats: dict[int, int], source: Source
) -> CardTable:
    numbers, labels = add_up(columns.numbers, columns.labels, repeats)
    kept = [row for row in rows if row not in repeats]
    cut: dict[str, object] = {role: numbers[role][kept] for role in NUMBERS if role in numbers}
    for role in LABELS:
        if role in labels:
            cut[role] = [labels[role][row] for row in kept]
    games, wins = cut.pop("games"), cut.pop("wins")
    names = [columns.view.card[row] for row in kept]
    return CardTable(names, games, wins, source=source, **cut)  # type: ignore[arg-type]
