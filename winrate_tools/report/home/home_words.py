"""What is printed of a table's own games: numbers, true to their verdicts."""

from winrate_tools.decide.home.home_verdicts import HomeArchetype, HomeUpdate
from winrate_tools.report import words


def is_foretold(update: HomeUpdate) -> bool:
    """Tell whether strangers played any of the archetypes."""
    return any(one.strangers is not None for one in update.archetypes)


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
    return words.span(words.percent(low), words.percent(high))


def range_of(one: HomeArchetype, update: HomeUpdate) -> str:
    """Print the range for this table; it lies beyond a line exactly where the verdict does."""
    low_side = 1 if one.verdict == "overpowered" else -1
    high_side = -1 if one.verdict == "underpowered" else 1
    low = words.near_line(one.low, update.high_line, low_side)
    return words.span(low, words.near_line(one.high, update.low_line, high_side))


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
