"""A table's journal: what was changed when, what was forecast, and what was then seen."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, fields
from itertools import pairwise

from winrate_tools.errors import CountError
from winrate_tools.kinds import demand_kinds


@dataclass(frozen=True, slots=True)
class JournalRow:
    """One change of one archetype.

    Rates are win rates at an even table, where the mean of all games is a half.

    Attributes
    ----------
    date : datetime.date
        First day of the change.
    change : str
        What was changed, in its owner's words.
    archetype : str
        Which archetype it was meant for.
    forecast, low, high : float or None
        What was forecast of it, and the range; None where nothing was.
    sure : float
        The range was meant to hold the central ``2 * sure - 1``.
    seen_on : datetime.date or None
        Day of the last game that is counted in what was seen.
    seen, seen_low, seen_high : float or None
        What the table's own games since the change say by themselves; None before any.
    games : int or None
        How many games of the archetype these were.

    Raises
    ------
    CountError
        If a field is of the wrong kind, a text is blank, or a number makes no sense.

    Examples
    --------
    >>> JournalRow(dt.date(2026, 1, 9), "3 out, 3 in", "Kites", 0.48, 0.46, 0.5).forecast
    0.48
    """

    date: dt.date
    change: str
    archetype: str
    forecast: float | None = None
    low: float | None = None
    high: float | None = None
    sure: float = 0.9
    seen_on: dt.date | None = None
    seen: float | None = None
    seen_low: float | None = None
    seen_high: float | None = None
    games: int | None = None

    def __post_init__(self) -> None:
        demand_kinds(self, CountError)
        for name in ("change", "archetype"):
            _demand(bool(getattr(self, name).strip()), name, "some text", "a blank")
        for name in RATES:
            rate = getattr(self, name)
            _demand(rate is None or 0 < rate < 1, name, "between 0 and 1", rate)
        _demand(0.5 < self.sure < 1, "sure", "above 0.5 and below 1", self.sure)
        for ends in (("low", "forecast", "high"), ("seen_low", "seen", "seen_high")):
            _demand_range([getattr(self, name) for name in ends], ends)
        _demand(self.games is None or self.games >= 0, "games", "a count from 0", self.games)


RATES = ("forecast", "low", "high", "seen", "seen_low", "seen_high")
DATES = ("date", "seen_on")
JOURNAL_COLUMNS = tuple(field.name for field in fields(JournalRow))
"""Columns of the file, in their order."""


def demand_in_order(rows: Sequence[JournalRow]) -> None:
    """Refuse a journal that goes back in time.

    Raises
    ------
    CountError
        If a row is dated before the one above it.

    Examples
    --------
    >>> demand_in_order([JournalRow(dt.date(2026, 1, 9), "3 in", "Kites")])
    """
    for before, after in pairwise(rows):
        wanted = f"{before.date} or later, as the row above is of that day"
        _demand(after.date >= before.date, "date", wanted, after.date)


def _demand_range(rates: Sequence[float | None], names: Sequence[str]) -> None:
    known = [rate for rate in rates if rate is not None]
    is_whole = len(known) in {0, 3} or (rates[1] is not None and len(known) == 1)
    wanted = f"given with {names[0]} and {names[2]}, both or neither"
    _demand(is_whole, names[1], wanted, f"{len(known)} of the three")
    _demand(known == sorted(known), names[1], f"from {names[0]} to {names[2]}", rates[1])


def _demand(holds: bool, name: str, wanted: str, got: object) -> None:
    if not holds:
        msg = f"{name} must be {wanted}, got {got}"
        raise CountError(msg)
