"""Ranges of what is no win rate, as a reader sees them."""

from winrate_tools.report import words


def points(low: float, high: float) -> str:
    """Print a range of differences of rates, in points.

    Examples
    --------
    >>> points(0.018, 0.0269)
    '1.8 to 2.7'
    """
    return f"{words.percent(low)[:-1]} to {words.percent(high)[:-1]}"


def shares(low: float, high: float) -> str:
    """Print a range of shares.

    Examples
    --------
    >>> shares(0.263, 0.566), shares(0.001, 0.999)
    ('26 to 57%', 'under 1% to over 99%')
    """
    ends = words.share(low), words.share(high)
    if ends[0].startswith("under") or ends[1].startswith("over"):
        return " to ".join(ends)
    return words.span(*ends)
