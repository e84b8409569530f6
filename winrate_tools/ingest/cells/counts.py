"""Whole numbers from 0, such as games and wins, and plain numbers such as a mean pick."""

from collections import Counter
from collections.abc import Iterator

import numpy as np

from winrate_tools.errors import MappingError
from winrate_tools.ingest.cells.currencies import amount
from winrate_tools.ingest.cells.numbers import NumberColumn, tokenise
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.view import MEND_OR_SKIP, Part, View, rows_where, word
from winrate_tools.tables import MOST, Flags

SAY_DECIMAL = "say which mark is the decimal mark with --decimal . or --decimal ,"
WRITE_NUMBER = f"leave the cell blank where the number is not known; or {MEND_OR_SKIP}"


def read_count(view: View, role: str) -> Part:
    """Read a column of counts: whole numbers from 0, NaN where unknown or wrong."""
    column = view.sheet.read(view.where[role])
    findings = [*unreadable(view, role, column), *_unsettled(view, role, column)]
    values = column.values.copy()
    values[[found.row for found in findings if found.row is not None]] = np.nan
    for broken, wanted in _count_rules(column):
        for row in rows_where(broken & ~np.isnan(values)):
            message = f"{word(role)} must be {wanted}, got {view.cell(row, role)}"
            findings.append(view.finding(row, role, message, _fix(column, row)))
        values[broken] = np.nan
    return Part({role: values}, tuple(findings), tuple(_assumed(view, role, column)))


def read_plain_number(
    view: View, role: str, *, least: float, column: NumberColumn | None = None
) -> Part:
    """Read a column of numbers from `least` that need not be whole, NaN where unknown or wrong.

    Parameters
    ----------
    column : NumberColumn, optional
        The numbers, where the cells hold more than these.

    Raises
    ------
    MappingError
        If nothing tells the decimal mark from a grouping mark.
    """
    column = settled(view, role, column)
    findings = unreadable(view, role, column)
    values = column.values.copy()
    for broken, wanted in (
        (values < least, f"at least {least:g}"),
        (values > MOST, f"at most {MOST:.0e}"),
    ):
        for row in rows_where(broken):
            message = f"{word(role)} must be {wanted}, got {view.cell(row, role)}"
            findings.append(view.finding(row, role, message))
        values[broken] = np.nan
    return Part({role: values}, tuple(findings))


def settled(view: View, role: str, column: NumberColumn | None = None) -> NumberColumn:
    """Return a column whose decimal mark is known, or ask for the mark."""
    column = column or view.sheet.read(view.where[role])
    if column.doubtful and column.decimal is None:
        row, mark = next(iter(column.doubtful.items()))
        cell = view.cell(row, role)
        msg = (
            f"{view.sheet.grid.name}: {word(role)} {cell} on {view.line_of(row)} could be "
            f"{readings(cell)}, and no cell tells\n"
            f"  say which mark is the decimal mark, for example:\n--decimal {mark}"
        )
        raise MappingError(msg)
    return column


def unreadable(view: View, role: str, column: NumberColumn) -> list[Finding]:
    """Report the cells of a column that are no numbers, or unclear beside a second style."""
    fix = MEND_OR_SKIP if role in view.sheet.kind.needed else WRITE_NUMBER
    findings = [
        view.finding(row, role, f"{word(role)}: {why}", fix) for row, why in column.bad.items()
    ]
    mixed = column.doubtful if column.is_mixed else {}
    return findings + [_two_readings(view, role, row) for row in mixed if row not in column.bad]


def _unsettled(view: View, role: str, column: NumberColumn) -> Iterator[Finding]:
    """Report counts such as ``1.204`` whose mark other columns use as the decimal mark."""
    if column.is_mixed:
        return
    usual = Counter(column.doubtful.values()).most_common(1)
    for row, mark in column.doubtful.items():
        if mark == column.decimal or (column.decimal is None and mark != usual[0][0]):
            yield _two_readings(view, role, row)


def _two_readings(view: View, role: str, row: int) -> Finding:
    cell = view.cell(row, role)
    return view.finding(
        row, role, f"{word(role)} {cell} could be {readings(cell)}", SAY_DECIMAL
    )


def readings(cell: str) -> str:
    """List what a cell could mean, as ``1.204 or 1204``."""
    token = tokenise(amount(cell)[0])
    return " or ".join(f"{token.value(mark)[0]:.15g}" for mark in token.marks) if token else ""


def _count_rules(column: NumberColumn) -> Iterator[tuple[Flags, str]]:
    values = column.values
    with np.errstate(invalid="ignore"):
        yield column.percent, "a count without a percent sign"
        yield values < 0, "0 or more"
        yield values > MOST, f"at most {MOST:.0e}"
        yield values != np.floor(values), "a whole number"


def _fix(column: NumberColumn, row: int) -> str:
    if column.digits[row] == 3:
        return f"if the mark groups thousands, {SAY_DECIMAL}; or {MEND_OR_SKIP}"
    return MEND_OR_SKIP


def _assumed(view: View, role: str, column: NumberColumn) -> Iterator[str]:
    if column.doubtful and column.decimal is None:
        row = next(iter(column.doubtful))
        yield (
            f"no cell settles the number style: {word(role)} {view.cell(row, role)} on "
            f"{view.line_of(row)} was read as {column.values[row]:.0f}"
        )
