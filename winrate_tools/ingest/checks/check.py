"""Every check on the cells and rows of a table, all of them in one go."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from winrate_tools.ingest.cells.counts import read_count, read_plain_number
from winrate_tools.ingest.cells.names import Labels, contradictions, read_labels, read_names
from winrate_tools.ingest.cells.rates import check_inner_rate, check_win_rate, rebuild_wins
from winrate_tools.ingest.checks.findings import Finding, counted
from winrate_tools.ingest.checks.near_misses import near_misses
from winrate_tools.ingest.checks.subtotals import find_subtotals
from winrate_tools.ingest.checks.totals import NO_TOTALS, TotalRows, find_totals
from winrate_tools.ingest.checks.unknowns import unknown_words
from winrate_tools.ingest.roles.view import (
    MEND_OR_SKIP,
    Part,
    View,
    read_each,
    rows_where,
    word,
)
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.tables import COUNTS, PAIRS, Numbers

SWAPPED = (
    "check that --map wins and --map games are not swapped; or drop the line with --skip-bad"
)


@dataclass(frozen=True, slots=True)
class Columns:
    """Checked columns, row by row as in the file.

    Attributes
    ----------
    view : View
        The file, its roles and the names of its rows.
    numbers : dict of str to ndarray of float, shape (rows,)
        Counts and numbers, NaN where unknown or wrong.
    labels : dict of str to sequence of (str or None)
        Strata and attributes.
    rows : tuple of int
        Rows that are no totals.
    findings : tuple of Finding
        Everything wrong with these rows, and with the file.
    notes : tuple of str
        Everything assumed, mended or left out.
    """

    view: View
    numbers: dict[str, Numbers]
    labels: Mapping[str, Labels] = field(default_factory=dict)
    rows: tuple[int, ...] = ()
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()


Step = Callable[[View, dict[str, Numbers]], Part]


def check_rows(
    sheet: Sheet, where: dict[str, int], steps: Sequence[Step], *, total: str | None
) -> Columns:
    """Check every cell and every row of a table, whatever its kind; no row is dropped.

    Parameters
    ----------
    sheet : Sheet
        The file.
    where : dict of str to int
        Role to column number.
    steps : sequence of callable
        Read the columns of numbers, each knowing what those before it read.
    total : str or None
        Role whose numbers a row of totals adds up; None if there are no such rows.

    Raises
    ------
    MappingError
        If the decimal mark of a column cannot be told.
    """
    kind = sheet.kind
    names = read_names(sheet.grid, where[kind.name], kind.name)
    view = View(sheet, where, names.labels)
    labels = {
        role: read_labels(sheet.grid, where[role], role)
        for role in (*kind.strata, *kind.attributes)
        if role in where
    }
    part = Part(findings=names.findings, notes=names.notes)
    for step in steps:
        part = part.then(step(view, part.numbers))
    told = {role: column.labels for role, column in labels.items()}
    totals = NO_TOTALS if total is None else _totals(view, part.numbers, told, total)
    rows = tuple(row for row in range(len(view.card)) if row not in totals.rows)
    kept = [found for found in part.findings if found.row not in totals.rows]
    attributes = {role: told[role] for role in kind.attributes if role in told}
    said = [note for column in labels.values() for note in column.notes]
    clashes = () if kind.repeats else contradictions(view.card, attributes, rows, view.line_of)
    return Columns(
        view,
        part.numbers,
        told,
        rows,
        (*sheet.grid.findings, *kept, *totals.findings),
        (
            *sheet.grid.notes,
            *unknown_words(view),
            *part.notes,
            *said,
            *totals.notes,
            *clashes,
            *near_misses(view, told, rows),
        ),
    )


def _totals(
    view: View, numbers: dict[str, Numbers], told: Mapping[str, Labels], total: str
) -> TotalRows:
    """Find the rows that add up those of a label, and then the rows that add up all."""
    if total not in numbers:
        return NO_TOTALS
    counts = {role: numbers[role] for role in (total, "wins") if role in numbers}
    parts = find_subtotals(view, counts, told)
    strata = {role: told[role] for role in view.sheet.kind.strata if role in told}
    whole = find_totals(view, numbers[total], strata, what=total, beside=parts.rows)
    return TotalRows(parts.rows | whole.rows, parts.notes + whole.notes, whole.findings)


def _counts(view: View, _: dict[str, Numbers]) -> Part:
    return read_each(view, (*COUNTS, "losses"), read_count)


def _other_numbers(view: View, _: dict[str, Numbers]) -> Part:
    part = Part()
    if "mean_pick" in view.where:
        part = part.then(read_plain_number(view, "mean_pick", least=1))
    if "player_rate" in view.where:
        part = part.then(check_inner_rate(view, "player_rate"))
    return part


def _games_from_losses(_: View, numbers: dict[str, Numbers]) -> Part:
    if "games" in numbers or "losses" not in numbers:
        return Part()
    note = "games were taken as wins plus losses; draws are not among them"
    return Part({"games": numbers["wins"] + numbers["losses"]}, notes=(note,))


def _win_rate(view: View, numbers: dict[str, Numbers]) -> Part:
    if "win_rate" not in view.where or "games" not in numbers:
        return Part()
    if "wins" not in numbers:
        return rebuild_wins(view, numbers["games"])
    return check_win_rate(view, numbers["wins"], numbers["games"])


def _pairs(view: View, numbers: dict[str, Numbers]) -> Part:
    part = Part()
    for role, whole in PAIRS:
        if role in view.where and whole in numbers and role in numbers:
            part = part.then(_pair(view, role, whole, numbers))
    return part


def _pair(view: View, role: str, whole: str, numbers: dict[str, Numbers]) -> Part:
    parts, wholes = numbers[role], numbers[whole]
    fix = SWAPPED if role == "wins" else MEND_OR_SKIP
    findings = [
        view.finding(row, role, _more_than(role, whole, parts[row], wholes[row]), fix)
        for row in rows_where(parts > wholes)
    ]
    alone = ~np.isnan(parts) & np.isnan(wholes)
    rows = rows_where(alone)
    notes = (alone_note(role, whole, len(rows), view.line_of(rows[0])),) if rows else ()
    return Part({role: np.where(alone, np.nan, parts)}, tuple(findings), notes)


def _more_than(role: str, whole: str, part: float, total: float) -> str:
    return f"{word(role)} {part:.0f} is more than {word(whole)} {total:.0f}"


def alone_note(role: str, whole: str, count: int, line: str) -> str:
    """Say how many rows hold a part without its whole, and where the first of them stands."""
    return (
        f"{word(role)} without {word(whole)} in {counted(count, 'row')} (first on {line}): "
        "taken as unknown"
    )


STEPS: tuple[Step, ...] = (
    _counts,
    _games_from_losses,
    _other_numbers,
    _win_rate,
    _pairs,
)
"""In the order in which they build on each other."""
