"""Intervals for one win rate from its counts alone: what the numbers say before any model."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import betainccinv, betaincinv, ndtri

from winrate_tools.errors import CountError, LevelError

Numbers = npt.NDArray[np.float64]
Floats = np.float64 | Numbers
SMALLEST = np.finfo(np.float64).tiny


class Interval(NamedTuple):
    """Both ends of an interval, fractions from 0 to 1.

    Attributes
    ----------
    low, high : float or ndarray
        Of the shape that the counts have together; plain numbers where both counts are.
    """

    low: Floats
    high: Floats


def wilson(wins: npt.ArrayLike, games: npt.ArrayLike, *, level: float = 0.95) -> Interval:
    """Score interval: the rates that a normal test at `level` would not refuse.

    Parameters
    ----------
    wins, games : array_like of float
        Counts, ``0 <= wins <= games``; they broadcast. Fractions are taken, because games
        divided by a design effect are seldom whole. Without games the interval is (0, 1).
    level : float, optional
        How often intervals of this kind hold the true rate, strictly between 0 and 1.

    Returns
    -------
    Interval
        Low is exactly 0 without a win, high exactly 1 without a loss.

    Raises
    ------
    CountError
        If the counts break a bound, are unknown or do not broadcast.
    LevelError
        If `level` is not between 0 and 1.

    Notes
    -----
    The two ends are the roots of ``(x - n p)^2 = z^2 n p (1 - p)``. The lower one comes from
    the product of the roots, so that a handful of wins in a million games keeps its digits.

    References
    ----------
    Wilson, E. B. (1927). Probable inference, the law of succession, and statistical
    inference. *JASA* 22(158), 209-212.

    Examples
    --------
    >>> low, high = wilson(81, 263)
    >>> f"{low:.4f} to {high:.4f}"
    '0.2553 to 0.3662'
    """
    z = -ndtri(_tail(level))
    x, n = _counts(wins, games)
    rate = x / np.maximum(n, SMALLEST)
    upper = 2 * x + z**2 + z * np.sqrt(z**2 + 4 * rate * (n - x))
    return _ends(2 * x * rate / upper, upper / (2 * (n + z**2)), x == 0, x == n)


def agresti_coull(
    wins: npt.ArrayLike, games: npt.ArrayLike, *, level: float = 0.95
) -> Interval:
    """Interval of the textbook form after adding z²/2 wins and as many losses.

    Parameters
    ----------
    wins, games : array_like of float
        Counts, as for `wilson`.
    level : float, optional
        How often intervals of this kind hold the true rate, strictly between 0 and 1.

    Returns
    -------
    Interval
        Cut off at 0 and 1: for rates near an end the bare formula reaches beyond it (0 wins in
        20 games give -0.0286 at 95 %).

    Raises
    ------
    CountError, LevelError
        As for `wilson`.

    References
    ----------
    Agresti, A. and Coull, B. A. (1998). Approximate is better than "exact" for interval
    estimation of binomial proportions. *The American Statistician* 52(2), 119-126.

    Examples
    --------
    >>> low, high = agresti_coull(4, 20)
    >>> f"{low:.4f} to {high:.4f}"
    '0.0749 to 0.4218'
    """
    z = -ndtri(_tail(level))
    x, n = _counts(wins, games)
    centre = (x + z**2 / 2) / (n + z**2)
    reach = z * np.sqrt(centre * (1 - centre) / (n + z**2))
    low, high = np.maximum(centre - reach, 0), np.minimum(centre + reach, 1)
    return _ends(low, high, n == 0, n == 0)


def clopper_pearson(
    wins: npt.ArrayLike, games: npt.ArrayLike, *, level: float = 0.95
) -> Interval:
    """Exact interval: never too short, and for that reason wider than it need be.

    Parameters
    ----------
    wins, games : array_like of float
        Counts, as for `wilson`.
    level : float, optional
        How often, at least, intervals of this kind hold the true rate; between 0 and 1.

    Returns
    -------
    Interval
        Low is exactly 0 without a win, high exactly 1 without a loss.

    Raises
    ------
    CountError, LevelError
        As for `wilson`.

    References
    ----------
    Clopper, C. J. and Pearson, E. S. (1934). The use of confidence or fiducial limits
    illustrated in the case of the binomial. *Biometrika* 26(4), 404-413.

    Examples
    --------
    >>> low, high = clopper_pearson(0, 20)
    >>> f"{low:.4f} to {high:.4f}"
    '0.0000 to 0.1684'
    """
    tail = _tail(level)
    x, n = _counts(wins, games)
    low, _ = _central(x, n - x + 1, tail)
    _, high = _central(x + 1, n - x, tail)
    return _ends(low, high, x == 0, x == n)


def jeffreys(wins: npt.ArrayLike, games: npt.ArrayLike, *, level: float = 0.95) -> Interval:
    """Central interval under the prior Beta(1/2, 1/2), opened at the ends.

    Parameters
    ----------
    wins, games : array_like of float
        Counts, as for `wilson`.
    level : float, optional
        Posterior probability inside, strictly between 0 and 1.

    Returns
    -------
    Interval
        Low is 0 without a win and high is 1 without a loss, where the bare posterior would
        shut the true rate out (section 4.1.2 of the source).

    Raises
    ------
    CountError, LevelError
        As for `wilson`.

    References
    ----------
    Brown, L. D., Cai, T. T. and DasGupta, A. (2001). Interval estimation for a binomial
    proportion. *Statistical Science* 16(2), 101-133.

    Examples
    --------
    >>> low, high = jeffreys([4, 0], [20, 20])
    >>> low.round(4).tolist(), high.round(4).tolist()
    ([0.0715, 0.0], [0.4082, 0.1166])
    """
    x, n = _counts(wins, games)
    low, high = beta_interval(x, n, prior=(0.5, 0.5), level=level)
    return _ends(low, high, x == 0, x == n)


def beta_interval(
    wins: npt.ArrayLike,
    games: npt.ArrayLike,
    *,
    prior: tuple[float, float] = (1.0, 1.0),
    level: float = 0.95,
) -> Interval:
    """Central posterior interval under a beta prior.

    Parameters
    ----------
    wins, games : array_like of float
        Counts, as for `wilson`.
    prior : pair of float, optional
        The prior's weight in wins and in losses, both above 0; (1, 1) is flat.
    level : float, optional
        Posterior probability inside, strictly between 0 and 1.

    Returns
    -------
    Interval
        Quantiles of Beta(prior wins + wins, prior losses + losses); without games, the prior's.

    Raises
    ------
    CountError
        As for `wilson`, and if a weight of the prior is not above 0.
    LevelError
        If `level` is not between 0 and 1.

    References
    ----------
    Gelman, A. et al. (2013). *Bayesian Data Analysis*, 3rd edition, section 2.4.

    Examples
    --------
    >>> low, high = beta_interval(437, 980)
    >>> f"{low:.3f} to {high:.3f}"
    '0.415 to 0.477'
    """
    if not all(0 < weight < np.inf for weight in prior):
        msg = f"both weights of the prior must be above 0, got {prior[0]:g} and {prior[1]:g}"
        raise CountError(msg)
    tail = _tail(level)
    x, n = _counts(wins, games)
    return _central(prior[0] + x, prior[1] + (n - x), tail)


def _tail(level: float) -> float:
    """Return the probability left out at each end."""
    if not 0 < level < 1:
        msg = f"level must lie strictly between 0 and 1, got {level}"
        raise LevelError(msg)
    return (1 - level) / 2


def _counts(wins: npt.ArrayLike, games: npt.ArrayLike) -> tuple[Numbers, Numbers]:
    """Return both counts in one shape, or refuse them."""
    x, n = np.asarray(wins, dtype=np.float64), np.asarray(games, dtype=np.float64)
    try:
        x, n = np.broadcast_arrays(x, n)
    except ValueError as error:
        msg = f"wins and games must have one shape, got {x.shape} and {n.shape}"
        raise CountError(msg) from error
    if (bad := ~((n >= 0) & np.isfinite(n))).any():
        msg = f"games must be a finite number from 0, got {n[bad][0]:g}"
        raise CountError(msg)
    if (bad := ~((x >= 0) & (x <= n))).any():
        msg = f"wins must lie between 0 and games ({n[bad][0]:g}), got {x[bad][0]:g}"
        raise CountError(msg)
    return x, n


def _central(a: Numbers, b: Numbers, tail: float) -> Interval:
    """Return the quantiles of Beta(a, b) with probability `tail` beyond either."""
    low = np.asarray(betaincinv(a, b, tail), dtype=np.float64)
    high = np.asarray(betainccinv(a, b, tail), dtype=np.float64)
    return Interval(low[()], high[()])


def _ends(
    low: Floats, high: Floats, low_is_0: npt.ArrayLike, high_is_1: npt.ArrayLike
) -> Interval:
    """Set the ends that are known exactly."""
    return Interval(np.where(low_is_0, 0.0, low)[()], np.where(high_is_1, 1.0, high)[()])
