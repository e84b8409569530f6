"""Numbers as a reader sees them: rounding happens here and nowhere else.

Plain rounding can contradict a verdict: 49.97 % prints as 50.0 %, although the verdict rests
on its being below 50. So whatever is compared with the line is printed on its own side of the
printed line, with more digits where one is not enough, and a chance never rounds over the
number of twentieths that its verdict asks for.
"""

from decimal import Decimal
from math import ceil, floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from winrate_tools.decide.cards.rules import Verdict

TWENTY = 20
SAME = 1e-9
STEP = Decimal("0.001")
NEAR = 1e-3
"""Closer to a line than this, a number is printed on the side that its verdict says."""


def percent(rate: float, digits: int = 1) -> str:
    """Print a rate as a percentage.

    Examples
    --------
    >>> percent(0.526)
    '52.6%'
    """
    return f"{100 * rate:.{digits}f}%"


def points(difference: float, digits: int = 2) -> str:
    """Print a difference of rates in percentage points, with no more digits than it has.

    Examples
    --------
    >>> points(0.02), points(0.015), points(0.01)
    ('2 points', '1.5 points', '1 point')
    """
    number = plain(100 * difference, digits)
    return f"{number} point{'' if number == '1' else 's'}"


def exact_percent(rate: float) -> str:
    """Print a rate that others are compared with: two decimals where one would be rounded.

    Examples
    --------
    >>> exact_percent(0.5), exact_percent(0.48873)
    ('50.0%', '48.87%')
    """
    tidy = abs(100 * rate - round(100 * rate, 1)) < SAME
    return percent(rate, 1 if tidy else 2)


def beside_line(rate: float, line: float, side: int | None = None) -> str:
    """Print a rate so that it stands on its own side of the printed line.

    The side is -1 for below the line, 1 for above, 0 for on it; it is taken from the numbers
    if not given. One decimal if that will do, else up to three; at worst 0.006 points from
    the truth where the rate is on the side it is printed on.

    Examples
    --------
    >>> beside_line(0.4712, 0.5), beside_line(0.4997, 0.5), beside_line(0.50004, 0.5)
    ('47.1%', '49.97%', '50.004%')
    """
    side = side_of(rate, line) if side is None else side
    mark = Decimal(exact_percent(line)[:-1])
    for digits in (1, 2, 3):
        shown = Decimal(percent(rate, digits)[:-1])
        if (shown > mark) - (shown < mark) == side:
            return f"{shown}%"
    return f"{mark + side * STEP}%"


def near_line(rate: float, line: float, side: int | None) -> str:
    """Print a rate beside a line, on the side that its verdict says if it is very near."""
    return beside_line(rate, line, side if abs(rate - line) < NEAR else None)


def span(low: str, high: str) -> str:
    """Print a range between two printed percentages.

    Examples
    --------
    >>> span("42.0%", "52.8%")
    '42.0 to 52.8%'
    """
    return f"{low[:-1]} to {high}"


def signed(difference: float) -> str:
    """Print a difference of rates in points, with its sign.

    Examples
    --------
    >>> signed(0.0149), signed(-0.02), signed(-0.0001)
    ('+1.5', '-2.0', '0.0')
    """
    shown = f"{100 * difference:+.1f}"
    return shown[1:] if shown[1:] == "0.0" else shown


def side_of(rate: float, line: float) -> int:
    """Return -1 for a rate below the line, 1 above it, 0 where no double could tell."""
    return (rate > line + SAME) - (rate < line - SAME)


def twentieths(chance: float, sure: float, verdict: "Verdict") -> int:
    """Round a chance of lying below the line to twentieths, true to its verdict.

    Two cards with the same twentieths never have different verdicts.

    Examples
    --------
    >>> twentieths(0.89, 0.9, "more games"), twentieths(0.9, 0.9, "cut")
    (17, 18)
    """
    nearest = floor(TWENTY * chance + 0.5)
    cut_from, keep_to = bars(sure)
    if verdict == "cut":
        return max(nearest, cut_from)
    if verdict == "keep":
        return min(nearest, keep_to)
    return max(min(nearest, cut_from - 1), keep_to + 1)


def to_bar(chance: float, bar: float, *, reached: bool) -> int:
    """Round a chance to twentieths, true to whether it reached the bar of its verdict.

    Examples
    --------
    >>> to_bar(0.79, 0.8, reached=False), to_bar(0.8, 0.8, reached=True)
    (15, 16)
    """
    nearest, least = floor(TWENTY * chance + 0.5), bars(bar)[0]
    return max(nearest, least) if reached else min(nearest, least - 1)


def bars(sure: float) -> tuple[int, int]:
    """Return the fewest twentieths that a cut needs and the most that a keep may have.

    Examples
    --------
    >>> bars(0.9), bars(0.95)
    ((18, 2), (19, 1))
    """
    return ceil(round(TWENTY * sure, 9)), floor(round(TWENTY * (1 - sure), 9))


def in_twenty(chance: float) -> str:
    """Print a chance that no verdict hangs on.

    Examples
    --------
    >>> in_twenty(0.5), in_twenty(0.999), in_twenty(0.001)
    ('10 in 20', 'over 19 in 20', 'under 1 in 20')
    """
    return of_twenty(floor(TWENTY * chance + 0.5))


def of_twenty(number: int) -> str:
    """Print twentieths; neither certainty nor impossibility is ever claimed."""
    if number >= TWENTY:
        return f"over {TWENTY - 1} in {TWENTY}"
    return f"{number} in {TWENTY}" if number > 0 else f"under 1 in {TWENTY}"


def cut_bar(sure: float) -> str:
    """Print the chance that a cut takes.

    Examples
    --------
    >>> cut_bar(0.9), cut_bar(0.99)
    ('18 in 20 or more', 'over 19 in 20')
    """
    number = bars(sure)[0]
    return f"{of_twenty(number)}{' or more' if number < TWENTY else ''}"


def keep_bar(sure: float) -> str:
    """Print the chance that a keep takes.

    Examples
    --------
    >>> keep_bar(0.9), keep_bar(0.99)
    ('2 in 20 or less', 'under 1 in 20')
    """
    number = bars(sure)[1]
    return f"{of_twenty(number)}{' or less' if number else ''}"


def range_name(sure: float) -> str:
    """Name the range that agrees with a verdict: the central ``2 * sure - 1``.

    Examples
    --------
    >>> range_name(0.9), range_name(0.95), range_name(0.92)
    ('8 in 10', '9 in 10', '84 in 100')
    """
    level = round(2 * sure - 1, 9)
    for whole in (10, 100, 1000):
        if abs(level * whole - round(level * whole)) < SAME and 0 < level * whole < whole:
            return f"{round(level * whole)} in {whole:,}"
    nearest = min(max(round(level * 1000), 1), 999)
    return f"about {nearest} in 1,000"


def count(number: int | None) -> str:
    """Print a count; a blank is unknown, never 0.

    Examples
    --------
    >>> count(61240), count(None)
    ('61,240', '?')
    """
    return "?" if number is None else f"{number:,}"


def about(number: int) -> str:
    """Print a count to two digits, as befits a forecast.

    Examples
    --------
    >>> about(1234), about(87), about(3)
    ('1,200', '87', '3')
    """
    return f"{int(float(f'{number:.2g}')):,}"


def expected(number: float) -> str:
    """Print an expected number of cards.

    Examples
    --------
    >>> expected(0.62), expected(0.01), expected(14.3)
    ('about 0.6', 'under 0.1', 'about 14')
    """
    if number < 0.1:
        return "under 0.1"
    return f"about {number:.0f}" if number >= 9.95 else f"about {number:.1f}"


def share(fraction: float) -> str:
    """Print a share without decimals, never as none or all unless it is.

    Examples
    --------
    >>> share(0.4), share(0.999), share(1.0), share(0.001)
    ('40%', 'over 99%', '100%', 'under 1%')
    """
    whole = round(100 * fraction)
    if whole == 100 and fraction < 1:
        return "over 99%"
    return "under 1%" if whole == 0 < fraction else f"{whole}%"


def plain(number: float, digits: int = 2) -> str:
    """Print a plain number with no more decimals than asked for and none that are 0.

    Examples
    --------
    >>> plain(1.4), plain(2.0), plain(0.3333)
    ('1.4', '2', '0.33')
    """
    return f"{number:.{digits}f}".rstrip("0").rstrip(".")


def plural(number: int, noun: str, many: str = "") -> str:
    """Count a noun.

    Examples
    --------
    >>> plural(1, "card"), plural(1200, "game"), plural(2, "match", "matches")
    ('1 card', '1,200 games', '2 matches')
    """
    return f"{number:,} {noun if number == 1 else many or f'{noun}s'}"


def use(usage: float | None) -> str:
    """Print how drafters treat a card, in standard deviations from the pool's usual card.

    Examples
    --------
    >>> use(-1.83), use(0.4), use(0.02), use(None)
    ('1.8 below usual', '0.4 above usual', 'as usual', 'not known')
    """
    if usage is None:
        return "not known"
    shown = f"{abs(usage):.1f}"
    if shown == "0.0":
        return "as usual"
    return f"{shown} {'below' if usage < 0 else 'above'} usual"
