"""Rows that add up others: known by name and by sum together, never by one alone."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from typing import NamedTuple

import numpy as np

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import Labels, a
from winrate_tools.ingest.checks.findings import Finding, first_few
from winrate_tools.ingest.roles.view import View, word
from winrate_tools.tables import Numbers

WORDS = frozenset(
    {"total", "totals", "grand total", "total general", "sum", "all", "overall", "all cards"}
    | {"average", "mean", "all decks", "all archetypes", "gesamt", "insgesamt", "summe"}
    | {"gesamtsumme", "alle", "durchschnitt", "mittelwert", "somme", "total général", "tous"}
    | {"moyenne", "suma", "todos", "todas", "promedio", "media", "totale", "tutti", "totaal"}
    | {"soma", "média", "razem", "summa", "totalt", "合計", "平均", "subtotal", "sub-total"}
    | {"zwischensumme", "teilsumme", "sous-total", "subtotale", "subtotaal", "delsumma"}
)
NO_TOTAL = "delete the line, or leave it out with --skip-bad; {} of that name needs another"


class TotalRows(NamedTuple):
    """Rows that add up others.

    Attributes
    ----------
    rows : frozenset of int
        Rows to leave out.
    notes : tuple of str
        What was left out.
    findings : tuple of Finding
        Rows that are named like a total and do not add up.
    """

    rows: frozenset[int]
    notes: tuple[str, ...]
    findings: tuple[Finding, ...]


NO_TOTALS = TotalRows(frozenset(), (), ())


def find_totals(
    view: View,
    games: Numbers,
    labels: Mapping[str, Labels],
    *,
    what: str = "games",
    beside: Collection[int] = (),
) -> TotalRows:
    """Find rows that add up the other rows.

    Parameters
    ----------
    view : View
        The file and its roles.
    games : ndarray of float, shape (rows,)
        Games, or other counts, NaN where unknown.
    labels : dict of str to sequence of (str or None)
        The strata, of which each may have total rows of its own.
    what : str, optional
        What the counts are of.
    beside : collection of int, optional
        Rows that are known to add up others already.
    """
    row_name = view.sheet.kind.name
    axes: Mapping[str, Labels] = {row_name: view.card, **labels}
    keys = {role: folded_labels(axis) for role, axis in axes.items()}
    out = set(beside)
    notes: list[str] = []
    findings: list[Finding] = []
    for role in (*labels, row_name):
        sums, wrong = _along(role, keys, games, out, is_name=role == row_name)
        notes += _notes(view, role, sums, what)
        findings += [_finding(view, role, row, what) for row in wrong]
        out.update(sums)
    return TotalRows(frozenset(out - {*beside}), tuple(notes), tuple(findings))


def _along(
    role: str, keys: dict[str, list[str]], games: Numbers, out: set[int], *, is_name: bool
) -> tuple[list[int], list[int]]:
    """Split rows named like a total along one role into sums of their group and others."""
    totals = {key for key in set(keys[role]) if may_be_total(key, is_name=is_name)}
    named = [row for row, key in enumerate(keys[role]) if key in totals and row not in out]
    if not named:
        return [], []
    others = [name for name in keys if name != role]
    group = list(zip(*(keys[name] for name in others), strict=True)) or [()] * len(games)
    sums: defaultdict[tuple[str, ...], float] = defaultdict(float)
    whole = 0.0
    for row in set(range(len(games))) - set(named) - out:
        amount = float(np.nan_to_num(games[row]))
        sums[group[row]] += amount
        whole += amount
    if not is_name:  # a card with a total row only has nothing to add up
        named = [row for row in named if group[row] in sums]
    grand = whole if is_name else -1.0
    adds_up = [
        row for row in named if games[row] > 0 and games[row] in {sums.get(group[row]), grand}
    ]
    wrong = [row for row in named if row not in set(adds_up) and keys[role][row]]
    return adds_up, wrong


def folded_labels(axis: Labels) -> list[str]:
    """Fold every label of a column, "" for an unknown one."""
    once = {label: folded(label or "") for label in set(axis)}
    return [once[label] for label in axis]


def may_be_total(key: str, *, is_name: bool) -> bool:
    """Tell whether a folded name or label reads like that of a total, or a name is blank."""
    return key.strip(" :*-=.()") in WORDS or (is_name and not key)


def _notes(view: View, role: str, rows: list[int], what: str) -> list[str]:
    if not rows:
        return []
    lines = first_few([view.line_of(row) for row in rows])
    return [f"{word(role)} total left out, its {what} add up the other rows: {lines}"]


def _finding(view: View, role: str, row: int, what: str) -> Finding:
    name = view.cell(row, role)
    message = f"{name!r} reads like a total, but its {what} are not the sum of the others"
    return view.finding(row, role, message, NO_TOTAL.format(a(view.sheet.kind.name)))
