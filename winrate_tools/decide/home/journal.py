"""What a journal makes of changes: forecasts to start from, and forecasts held to account."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from scipy.special import expit, logit, ndtri

from winrate_tools.alike import folded
from winrate_tools.decide.home.home_archetypes import USUAL_LUCK
from winrate_tools.decide.home.home_beliefs import DOUBT, at_even_table, error_of
from winrate_tools.decide.home.home_counts import Change
from winrate_tools.decide.home.home_verdicts import HomeUpdate
from winrate_tools.journal import JournalRow

Outcome = Literal[
    "nothing seen", "no forecast", "as forecast", "better", "worse", "cannot tell apart"
]


@dataclass(frozen=True, slots=True)
class Review:
    """One forecast against what was then seen.

    Attributes
    ----------
    row : JournalRow
        The change.
    outcome : str
        ``"as forecast"`` where what was seen lies in the range below, ``"better"`` or
        ``"worse"`` where not; ``"cannot tell apart"`` where the range of what was seen holds
        both the forecast and what was to be expected without the change; ``"nothing seen"`` and
        ``"no forecast"`` where it cannot be told.
    low, high : float or None
        Where 8 in 10 of such results were to be expected, if the forecast was right.
    """

    row: JournalRow
    outcome: Outcome
    low: float | None = None
    high: float | None = None


def forecast_row(
    date: dt.date,
    change: str,
    archetype: str,
    *,
    forecast: tuple[float, float, float],
    mean: float,
    sure: float,
) -> JournalRow:
    """Make the row that a forecast adds to a journal.

    Parameters
    ----------
    date : datetime.date
        First day of the change.
    change, archetype : str
        What was changed, and which archetype it is about.
    forecast : tuple of three floats
        Win rate of the archetype after the change, and its range: estimate, low, high.
    mean : float
        Win rate of all games that these are counted from.
    sure : float
        The range holds the central ``2 * sure - 1``.

    Returns
    -------
    JournalRow
        With rates at an even table.

    Examples
    --------
    >>> day = dt.date(2026, 1, 9)
    >>> row = forecast_row(day, "3 in", "Kites", forecast=(0.55, 0.53, 0.57), mean=0.55,
    ...                    sure=0.9)
    >>> row.forecast, round(row.low, 3)
    (0.5, 0.48)
    """
    estimate, low, high = at_even_table(mean, *forecast)
    return JournalRow(date, change, archetype, estimate, low, high, sure)


def journal_changes(rows: Sequence[JournalRow]) -> tuple[Change, ...]:
    """List the changes that a table plays with: the last one of each archetype."""
    last = {folded(row.archetype): row for row in rows}
    return tuple(
        Change(row.archetype, row.date, row.forecast, row.low, row.high, 2 * row.sure - 1)
        for row in last.values()
    )


def filled(rows: Sequence[JournalRow], update: HomeUpdate) -> tuple[JournalRow, ...]:
    """Fill in what a table has seen of the last change of each archetype.

    Returns
    -------
    tuple of JournalRow
        As many rows; those of earlier changes, and of archetypes not played since, as they
        were.
    """
    seen = {folded(one.archetype.archetype): one for one in update.changes}
    last = {folded(row.archetype): n for n, row in enumerate(rows)}
    return tuple(
        _seen(row, update)
        if last[name := folded(row.archetype)] == n
        and name in seen
        and seen[name].date == row.date
        else row
        for n, row in enumerate(rows)
    )


def _seen(row: JournalRow, update: HomeUpdate) -> JournalRow:
    (one,) = (
        each for each in update.archetypes if folded(each.archetype) == folded(row.archetype)
    )
    if not one.games:
        return row
    reach = ndtri(row.sure) * error_of(one.alone_low, one.alone_high, update.sure)
    low, high = (float(expit(logit(one.alone) + side * reach)) for side in (-1, 1))
    return replace(
        row,
        seen_on=update.last,
        seen=one.alone,
        seen_low=low,
        seen_high=high,
        games=one.games,
    )


def reviews(rows: Sequence[JournalRow], update: HomeUpdate | None = None) -> tuple[Review, ...]:
    """Hold every forecast against what was then seen.

    Parameters
    ----------
    rows : sequence of JournalRow
        The journal, filled in.
    update : HomeUpdate, optional
        What strangers say of the archetypes, which is what no change would have left.

    Returns
    -------
    tuple of Review
        One a row, in their order.

    Examples
    --------
    >>> row = JournalRow(dt.date(2026, 1, 9), "3 in", "Kites", 0.48, 0.46, 0.5, 0.9,
    ...                  seen=0.61, seen_low=0.57, seen_high=0.65)
    >>> reviews([row])[0].outcome
    'better'
    """
    judged = update.archetypes if update else ()
    unchanged = {folded(one.archetype): one.strangers for one in judged}
    return tuple(_review(row, unchanged.get(folded(row.archetype))) for row in rows)


def _review(row: JournalRow, unchanged: float | None) -> Review:
    if row.forecast is None:
        return Review(row, "no forecast")
    if row.seen is None:
        return Review(row, "nothing seen")
    error = np.sqrt(
        error_of(row.low, row.high, row.sure) ** 2
        + error_of(row.seen_low, row.seen_high, row.sure) ** 2
        + DOUBT**2
    )
    centre, reach = logit(row.forecast), USUAL_LUCK * error
    low, high = float(expit(centre - reach)), float(expit(centre + reach))
    outcome: Outcome = "as forecast"
    if not low <= row.seen <= high:
        outcome = "better" if row.seen > high else "worse"
    elif _holds(row, row.forecast) and _holds(row, unchanged):
        outcome = "cannot tell apart"
    return Review(row, outcome, low, high)


def _holds(row: JournalRow, rate: float | None) -> bool:
    """Whether the range of what was seen holds a rate."""
    if rate is None or row.seen_low is None or row.seen_high is None:
        return False
    return row.seen_low <= rate <= row.seen_high
