"""How far a raw win rate may stray by luck alone."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import bdtrik

Numbers = npt.NDArray[np.float64]


class Funnel(NamedTuple):
    """Limits of raw win rates, each of shape (n,)."""

    low: Numbers
    high: Numbers


def funnel(games: npt.ArrayLike, rate: float, design_effect: float, *, level: float) -> Funnel:
    """Limits between which the raw win rates of average cards lie.

    Parameters
    ----------
    games : array_like of float, shape (n,)
        Counts, above 0.
    rate : float
        Win rate of an average card, strictly between 0 and 1.
    design_effect : float
        How many games count as one independent game.
    level : float
        Share of average cards between the limits, in (0, 1).

    Returns
    -------
    Funnel
        Quantiles of the binomial distribution of ``games / design_effect`` games, made smooth:
        half a win above the number of wins at which its distribution, taken as continuous,
        reaches the level. 0 or 1 where so few games cannot reach it.

    References
    ----------
    Spiegelhalter, D. J. (2005). Funnel plots for comparing institutional performance.
    *Statistics in Medicine* 24:1185-1202, appendix A.1.1 for exact limits of proportions and
    section 4 for counts that vary by more than chance (value from memory).

    Examples
    --------
    >>> low, high = funnel([100, 10_000], 0.5, 1.0, level=0.8)
    >>> low.round(3).tolist(), high.round(3).tolist()
    ([0.436, 0.494], [0.564, 0.506])
    """
    trials, tail = np.asarray(games, dtype=np.float64) / design_effect, (1 - level) / 2
    return Funnel(_least(trials, rate, tail), 1 - _least(trials, 1 - rate, tail))


def _least(trials: Numbers, rate: float, tail: float) -> Numbers:
    """Return the rate below which a tail lies; no record lies below that of no wins."""
    wins = bdtrik(tail, trials, rate)
    return np.asarray(np.where((1 - rate) ** trials < tail, (wins + 0.5) / trials, 0.0))
