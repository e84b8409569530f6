"""Rates: one scale a column, and whether they agree with the counts beside them."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from winrate_tools.ingest.cells.counts import settled, unreadable
from winrate_tools.ingest.cells.numbers import NumberColumn, is_number
from winrate_tools.ingest.checks.findings import Finding, excerpt
from winrate_tools.ingest.roles.view import Part, View, rows_where, word
from winrate_tools.tables import Flags, Numbers

EXACT = 1e-7
"""Rates stored in single precision are off by up to 3e-8."""
EXACT_BELOW = 0.5
"""Wins that are off by less than this have been rebuilt exactly."""
FEWEST_TO_DOUBT = 10
RATE_FIX = "mend the line; or leave the rate out with --map win_rate=0"
PERCENT_FIX = (
    "a column whose rates are all 1 or less is taken for fractions: write percent signs, as in "
    "0.6%; or leave the rate out with --map win_rate=0"
)
WORKED_OUT, TRUSTED = 14, 12
"""Decimals that only a computer writes, and those of them that it gets right."""
ONE_SCALE = "write the whole column as fractions or as percent"


class Rates(NamedTuple):
    """A column of rates.

    Attributes
    ----------
    values : ndarray of float, shape (rows,)
        Fractions from 0 to 1, NaN where unknown or wrong.
    unit : ndarray of float, shape (rows,)
        Size of each cell's last printed digit, as a fraction.
    findings : tuple of Finding
        What is wrong.
    """

    values: Numbers
    unit: Numbers
    findings: tuple[Finding, ...]


def read_rates(view: View, role: str, expected: Numbers | None = None) -> Rates:
    """Read a column of rates as fractions.

    Parameters
    ----------
    expected : ndarray of float, optional
        Wins divided by games, which tells a small percentage from a fraction.

    Raises
    ------
    MappingError
        If nothing tells the decimal mark from a grouping mark.
    """
    column = settled(view, role)
    small, large = _small(column), _large(column)
    as_percent = bool(large.any() and large.sum() >= small.sum())
    odd = small if as_percent else large & ~column.percent
    scale = np.where(column.percent | as_percent, 100.0, 1.0)
    values, digits = _as_meant(column)
    values, unit = values / scale, np.power(10.0, -digits) / scale
    if expected is not None and as_percent:
        odd = odd & ~agrees(values, expected, unit)
    findings = [*unreadable(view, role, column), *_two_scales(view, role, odd, small, large)]
    values = np.where(odd, np.nan, values)
    findings += _out_of_range(view, role, values)
    values = np.where((values < 0) | (values > 1), np.nan, values)
    return Rates(values, unit, tuple(findings))


def check_inner_rate(view: View, role: str) -> Part:
    """Read a rate that lies strictly between 0 and 1, such as the players' usual one."""
    rates = read_rates(view, role)
    edge = (rates.values <= 0) | (rates.values >= 1)
    findings = [
        view.finding(
            row, role, f"{word(role)} must lie between 0 and 1, got {view.cell(row, role)}"
        )
        for row in rows_where(edge)
    ]
    return Part({role: np.where(edge, np.nan, rates.values)}, (*rates.findings, *findings))


def check_win_rate(view: View, wins: Numbers, games: Numbers) -> Part:
    """Compare the printed rate with wins / games; where it means something else, say so.

    A cell that is no number tells nothing that games and wins do not: it is not used.
    """
    true = np.full(len(games), np.nan)
    np.divide(wins, games, out=true, where=games > 0)
    rates = read_rates(view, "win_rate", true)
    known = ~np.isnan(rates.values) & ~np.isnan(true) & (true <= 1)
    wrong = known & ~agrees(rates.values, true, rates.unit)
    if known.sum() >= FEWEST_TO_DOUBT and 2 * wrong.sum() > known.sum():
        label = view.sheet.grid.label(view.where["win_rate"])
        note = (
            f"{label} is not wins / games in {int(wrong.sum())} of {int(known.sum())} rows: "
            "it was not used"
        )
        return Part(notes=(note,))
    cells = view.sheet.grid.column(view.where["win_rate"])
    unread = [row for row in settled(view, "win_rate").bad if not is_number(cells[row])]
    spare = [row for row in unread if not np.isnan(wins[row] + games[row])]
    are_fractions = not _large(settled(view, "win_rate")).any()
    as_percent = are_fractions & agrees(rates.values / 100, true, rates.unit / 100)
    findings = [
        _contradiction(view, row, true[row], PERCENT_FIX if as_percent[row] else RATE_FIX)
        for row in rows_where(wrong)
    ]
    kept = [found for found in rates.findings if found.row not in spare]
    return Part(findings=(*kept, *findings), notes=tuple(_unused_note(view, spare)))


def _unused_note(view: View, rows: Sequence[int]) -> Iterator[str]:
    if rows:
        label, cell = (
            view.sheet.grid.label(view.where["win_rate"]),
            view.cell(rows[0], "win_rate"),
        )
        yield (
            f"{label}: cells that are no numbers were not used, as games and wins are there; "
            f"the first: {excerpt(cell)!r} on {view.line_of(rows[0])}"
        )


def rebuild_wins(view: View, games: Numbers) -> Part:
    """Rebuild wins from a rounded rate, and say how far off they can be."""
    rates = read_rates(view, "win_rate")
    wins = np.where(games == 0, 0.0, np.rint(rates.values * games))
    true = np.full(len(games), np.nan)
    np.divide(wins, games, out=true, where=games > 0)
    wrong = ~np.isnan(true) & ~agrees(rates.values, true, rates.unit)
    findings = [
        view.finding(
            row,
            "win_rate",
            f"no whole number of wins out of {games[row]:.0f} games gives a win rate of "
            f"{view.cell(row, 'win_rate')}",
        )
        for row in rows_where(wrong)
    ]
    note = _how_far_off(view, np.where(np.isnan(wins), np.nan, rates.unit * games / 2))
    return Part({"wins": wins}, (*rates.findings, *findings), note)


def _how_far_off(view: View, error: Numbers) -> tuple[str, ...]:
    if np.isnan(error).all():
        return ()
    row = int(np.nanargmax(error))
    label = view.sheet.grid.label(view.where["win_rate"])
    start = f"wins were rebuilt as {label} x games, from a rounded rate: "
    if error[row] < EXACT_BELOW:
        return (start + "exact, unless the rate was cut off instead of rounded",)
    return (
        start + f"at most {error[row]:.1f} wins off, in the worst row ({view.line_of(row)})",
    )


def _contradiction(view: View, row: int, true: float, fix: str) -> Finding:
    cell = view.cell(row, "win_rate")
    message = f"win rate {cell} contradicts wins / games = {100 * true:.4g}%"
    return view.finding(row, "win_rate", message, fix)


def agrees(printed: Numbers, true: Numbers, unit: Numbers) -> Flags:
    """Tell where a printed rate is the true one, rounded or cut off at its last digit."""
    rounded = np.abs(printed - true) <= unit / 2 + EXACT
    cut_off = (true - printed >= -EXACT) & (true - printed < unit - EXACT)
    return rounded | cut_off


def _as_meant(column: NumberColumn) -> tuple[Numbers, Numbers]:
    """Round what a computer worked out and wrote in full: 0.5429999999999999 was 0.543."""
    is_worked_out = column.digits >= WORKED_OUT
    values = np.where(is_worked_out, column.values.round(TRUSTED), column.values)
    digits = column.digits.astype(np.float64)
    digits[is_worked_out] = [
        len(f"{value:.{TRUSTED}f}".rstrip("0").partition(".")[2])
        for value in values[is_worked_out]
    ]
    return values, digits


def _small(column: NumberColumn) -> Flags:
    return ~column.percent & (column.values > 0) & (column.values <= 1)


def _large(column: NumberColumn) -> Flags:
    return column.percent | (column.values > 1)


def _two_scales(
    view: View, role: str, odd: Flags, small: Flags, large: Flags
) -> Iterator[Finding]:
    rows = rows_where(odd)
    if not rows:
        return
    others = large if small[rows[0]] else small
    other = rows_where(others)[0]
    for row in rows:
        message = (
            f"{word(role)} must be fractions or percent throughout, got "
            f"{view.cell(row, role)} beside {view.cell(other, role)} on "
            f"{view.line_of(other)}"
        )
        yield view.finding(row, role, message, ONE_SCALE)


def _out_of_range(view: View, role: str, rates: Numbers) -> Iterator[Finding]:
    for row in rows_where((rates < 0) | (rates > 1)):
        cell = view.cell(row, role)
        message = f"{word(role)} must lie between 0 and 100%, got {cell}"
        yield view.finding(row, role, message)
