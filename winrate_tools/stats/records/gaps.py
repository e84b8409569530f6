"""The gap between two win rates, such as with a card in hand and without it."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError
from winrate_tools.stats.records.intervals import Floats, Numbers, wilson


class Gap(NamedTuple):
    """How far apart two win rates are, and how sure that is.

    Attributes
    ----------
    estimate : float or ndarray
        First rate minus second, between -1 and 1: 0.05 is five more wins in 100 games. NaN
        where a side has no games.
    low, high : float or ndarray
        Ends of the interval, in the same unit; ``low <= estimate <= high``.
    """

    estimate: Floats
    low: Floats
    high: Floats


def win_rate_gap(
    first_wins: npt.ArrayLike,
    first_games: npt.ArrayLike,
    second_wins: npt.ArrayLike,
    second_games: npt.ArrayLike,
    *,
    level: float = 0.95,
) -> Gap:
    r"""Gap between two independent win rates, with Newcombe's hybrid score interval.

    The interval squares and adds the distances from each rate to the facing end of its own
    Wilson interval, so it stays inside [-1, 1] and keeps a width where all or no games are won:

    .. math::

        L = d - \sqrt{(p_1 - l_1)^2 + (u_2 - p_2)^2}, \quad
        U = d + \sqrt{(u_1 - p_1)^2 + (p_2 - l_2)^2}

    Parameters
    ----------
    first_wins, first_games, second_wins, second_games : array_like of float
        Counts, ``0 <= wins <= games``; they broadcast. The two sides must share no game.
    level : float, optional
        How often intervals of this kind hold the true gap, strictly between 0 and 1.

    Returns
    -------
    Gap
        Swapping the sides flips every sign. Without games on a side the interval is as wide as
        the other side leaves it.

    Raises
    ------
    CountError
        If the counts break a bound, are unknown or do not broadcast.
    LevelError
        If `level` is not between 0 and 1.

    See Also
    --------
    winrate_tools.stats.records.intervals.wilson : The interval for one rate.

    Notes
    -----
    The gap is an association. A card that good players choose shows a gap of theirs.

    References
    ----------
    Newcombe, R. G. (1998). Interval estimation for the difference between independent
    proportions: comparison of eleven methods. *Statistics in Medicine* 17(8), 873-890,
    method 10.

    Examples
    --------
    >>> gap = win_rate_gap(56, 70, 48, 80)
    >>> f"{gap.estimate:+.2f} ({gap.low:+.4f} to {gap.high:+.4f})"
    '+0.20 (+0.0524 to +0.3339)'
    """
    low_1, high_1 = wilson(first_wins, first_games, level=level)
    low_2, high_2 = wilson(second_wins, second_games, level=level)
    rate_1, rate_2 = _rate(first_wins, first_games), _rate(second_wins, second_games)
    try:
        estimate = rate_1 - rate_2
    except ValueError as error:
        shapes = f"{np.shape(rate_1)} and {np.shape(rate_2)}"
        msg = f"both sides must have one shape, got {shapes}"
        raise CountError(msg) from error
    low = estimate - np.hypot(rate_1 - low_1, high_2 - rate_2)
    high = estimate + np.hypot(high_1 - rate_1, rate_2 - low_2)
    known = np.isfinite(estimate)
    return Gap(
        estimate[()],
        np.where(known, low, low_1 - high_2)[()],
        np.where(known, high, high_1 - low_2)[()],
    )


def _rate(wins: npt.ArrayLike, games: npt.ArrayLike) -> Numbers:
    n = np.asarray(games, dtype=np.float64)
    return np.asarray(np.asarray(wins, dtype=np.float64) / np.where(n > 0, n, np.nan))
