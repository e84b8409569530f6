"""What is printed of a table's own games: numbers, true to their verdicts."""

from typing import Literal

from winrate_tools.decide.home.home_verdicts import HomeArchetype, HomeUpdate
from winrate_tools.report import words

NEAR = 1e-3
"""Closer to a line than this, a number is printed on the side its verdict says."""
Place = Literal["below", "between", "above"]
PLACES: tuple[Place, ...] = ("below", "between", "above")
SAID: dict[str, Place] = {
    "underpowered": "below",
    "overpowered": "above",
    "balanced": "between",
}


def won(wins: float, games: int) -> str:
    """Print a record; a draw is half a win.

    Examples
    --------
    >>> won(33.5, 67), won(26.0, 59), won(0.0, 0)
    ('33.5 of 67', '26 of 59', 'none')
    """
    return f"{words.plain(wins, 1)} of {words.count(games)}" if games else "none"


def spread(low: float, high: float) -> str:
    """Print a range that no verdict hangs on.

    Examples
    --------
    >>> spread(0.42, 0.528)
    '42.0 to 52.8%'
    """
    return f"{words.percent(low)[:-1]} to {words.percent(high)}"


def estimate(one: HomeArchetype, update: HomeUpdate) -> str:
    """Print an estimate for this table, on its side of the nearer line."""
    return _beside(one.estimate, update, {"below": -1, "above": 1}.get(_said(one)))


def range_of(one: HomeArchetype, update: HomeUpdate) -> str:
    """Print the range for this table; it lies beyond a line exactly where the verdict does."""
    said = _said(one)
    low, high = (
        (one.low, update.high_line, 1 if said == "above" else -1),
        (one.high, update.low_line, -1 if said == "below" else 1),
    )
    low_shown, high_shown = (
        words.beside_line(rate, line, side if abs(rate - line) < NEAR else None)
        for rate, line, side in (low, high)
    )
    return f"{low_shown[:-1]} to {high_shown}"


def _said(one: HomeArchetype) -> str:
    return SAID.get(one.verdict, "")


def _beside(rate: float, update: HomeUpdate, side: int | None) -> str:
    is_low = abs(rate - update.low_line) <= abs(rate - update.high_line)
    line = update.low_line if is_low else update.high_line
    return words.beside_line(rate, line, side if abs(rate - line) < NEAR else None)


def place(one: HomeArchetype) -> Place:
    """Tell where an archetype is said to lie, or where it most likely does."""
    likeliest = max(PLACES, key=lambda where: getattr(one, f"chance_{where}"))
    return SAID.get(one.verdict, likeliest)


def twentieths(one: HomeArchetype, where: Place, update: HomeUpdate) -> int:
    """Round the chance of a place, true to the verdict."""
    bar = update.balanced if where == "between" else update.sure
    return words.to_bar(
        getattr(one, f"chance_{where}"), bar, reached=SAID.get(one.verdict) == where
    )


def chance(one: HomeArchetype, update: HomeUpdate) -> str:
    """Print the chance of the likeliest place, and the place."""
    where = place(one)
    return f"{words.of_twenty(twentieths(one, where, update))} {where}"


def needed(one: HomeArchetype) -> str:
    """Print how long the verdict will take, short enough for a cell.

    Nights are counted where matches have dates, games of the whole table where not.
    """
    if one.verdict != "unsettled":
        return "settled"
    if one.never == "too slow":
        return "too long"
    if one.games_needed is None:
        return "never here"
    if one.nights_needed is None:
        return f"{words.about(one.games_needed)} games"
    return words.plural(int(words.about(one.nights_needed).replace(",", "")), "night")


def share_of_say(weight: float) -> str:
    """Print how much of the say home games have.

    Examples
    --------
    >>> share_of_say(0.42), share_of_say(0.0)
    ('42%', 'none')
    """
    return words.share(weight) if weight else "none"
