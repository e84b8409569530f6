r"""Win rates made comparable where games are spread unevenly over strata.

A stratum is an archetype, a skill band or both. *Direct*: a card's own rates, at a spread of
games that is the same for all. *Indirect*: the wins it really has, against those expected at
rates that are the same for all. Direct standardisation needs every stratum to be well filled;
indirect does not.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import gammaincinv, logit

from winrate_tools.errors import CountError, LevelError
from winrate_tools.stats.records.intervals import Interval

Numbers = npt.NDArray[np.float64]
PRIOR_GAMES = 20.0
"""Games at the overall rate that every stratum's rate starts with."""


class Indirect(NamedTuple):
    """Wins against those that the strata lead one to expect.

    Attributes
    ----------
    wins, expected : float or ndarray of shape (...)
        Observed, and expected at the strata's rates.
    ratio : float or ndarray of shape (...)
        Wins divided by expected; above 1 for better than the strata; NaN without games.
    """

    wins: Numbers
    expected: Numbers
    ratio: Numbers


def direct(wins: npt.ArrayLike, games: npt.ArrayLike, standard_games: npt.ArrayLike) -> Numbers:
    """Win rates at a standard spread of games over strata.

    Parameters
    ----------
    wins, games : array_like of float, shape (..., K)
        Counts in K strata; leading axes are items, all standardised at once.
    standard_games : array_like of float, shape (K,)
        The standard spread, at least 0, not all 0.

    Returns
    -------
    ndarray of shape (...)
        Rates; NaN where an item has no games in a stratum of the standard.

    Raises
    ------
    CountError
        If the counts break a bound, are unknown or do not fit together.

    References
    ----------
    Fleiss, J. L. (1981). *Statistical Methods for Rates and Proportions*, 2nd edition,
    chapter 14 (from memory).

    Examples
    --------
    >>> float(direct([30, 80], [100, 100], [1, 3]).round(4))
    0.675
    """
    x, n, share = _strata(wins, games, standard_games)
    rate = x / np.where(n > 0, n, np.nan)
    return np.asarray(np.sum(np.where(share > 0, share * rate, 0.0), axis=-1))


def gamma_interval(
    wins: npt.ArrayLike,
    games: npt.ArrayLike,
    standard_games: npt.ArrayLike,
    *,
    level: float = 0.95,
) -> Interval:
    """Interval for a directly standardised rate of rare events.

    Parameters
    ----------
    wins, games, standard_games : array_like of float
        As for `direct`, but every item needs games in every stratum of the standard.
    level : float, optional
        How often intervals of this kind hold the true rate, strictly between 0 and 1.

    Returns
    -------
    Interval
        Exact where one stratum holds all; NaN where `direct` is. Wins count as Poisson, so for
        rates near a half the interval is wider than it need be, by 4 in 10.

    Raises
    ------
    CountError
        As for `direct`.
    LevelError
        If `level` is not between 0 and 1.

    References
    ----------
    Fay, M. P. and Feuer, E. J. (1997). Confidence intervals for directly standardized rates: a
    method based on the gamma distribution. *Statistics in Medicine* 16(7), 791-801.

    Examples
    --------
    >>> low, high = gamma_interval([3, 5], [1000, 500], [1, 1])
    >>> f"{low:.4f} to {high:.4f}"
    '0.0027 to 0.0134'
    """
    tail = _tail(level)
    x, n, share = _strata(wins, games, standard_games)
    weight = np.where(share > 0, share / np.where(n > 0, n, np.nan), 0.0)
    rate, variance = np.sum(weight * x, axis=-1), np.sum(weight**2 * x, axis=-1)
    most = weight.max(axis=-1)
    low = np.where(rate == 0, 0.0, _gamma_quantile(rate, variance, tail))
    return Interval(low[()], _gamma_quantile(rate + most, variance + most**2, 1 - tail)[()])


def _gamma_quantile(mean: Numbers, variance: Numbers, chance: float) -> Numbers:
    mean = np.where(mean > 0, mean, np.nan)
    return np.asarray(gammaincinv(mean**2 / variance, chance) * variance / mean)


def indirect(
    games: npt.ArrayLike, wins: npt.ArrayLike, stratum_rate: npt.ArrayLike
) -> Indirect:
    """Wins against those expected at the strata's rates.

    Parameters
    ----------
    games, wins : array_like of float, shape (..., K)
        Counts in K strata; leading axes are items.
    stratum_rate : array_like of float, shape (K,)
        The strata's win rates, from 0 to 1.

    Returns
    -------
    Indirect

    Raises
    ------
    CountError
        If the counts break a bound, are unknown or do not fit together.

    References
    ----------
    Fleiss, J. L. (1981). *Statistical Methods for Rates and Proportions*, 2nd edition,
    chapter 14 (from memory).

    Examples
    --------
    >>> found = indirect([100, 100], [30, 80], [0.4, 0.6])
    >>> float(found.expected), float(found.ratio)
    (100.0, 1.1)
    """
    x, n, rate = _together(wins, games, stratum_rate)
    if (bad := ~((rate >= 0) & (rate <= 1))).any():
        msg = f"stratum rates must lie from 0 to 1, got {rate[bad][0]:g}"
        raise CountError(msg)
    observed, expected = x.sum(axis=-1), np.sum(n * rate, axis=-1)
    ratio = observed / np.where(expected > 0, expected, np.nan)
    return Indirect(observed, expected, ratio)


def ratio_interval(found: Indirect, *, level: float = 0.95) -> Interval:
    """Exact interval for wins against expected, wins taken as Poisson.

    Parameters
    ----------
    found : Indirect
        Wins and expected.
    level : float, optional
        How often, at least, intervals of this kind hold the true ratio, in (0, 1).

    Returns
    -------
    Interval
        Low is 0 without a win; NaN where nothing is expected.

    Raises
    ------
    LevelError
        If `level` is not between 0 and 1.

    References
    ----------
    Spiegelhalter, D. J. (2005). Funnel plots for comparing institutional performance.
    *Statistics in Medicine* 24(8), 1185-1202, appendix A.1.1 (from memory).

    Examples
    --------
    >>> low, high = ratio_interval(indirect([50], [15], [0.3]))
    >>> f"{low:.4f} to {high:.4f}"
    '0.5597 to 1.6493'
    """
    tail = _tail(level)
    expected = np.where(found.expected > 0, found.expected, np.nan)
    lowest = gammaincinv(np.maximum(found.wins, 1e-300), tail)
    highest = gammaincinv(found.wins + 1, 1 - tail)
    low = np.where(found.wins > 0, lowest, 0.0)
    return Interval((low / expected)[()], (highest / expected)[()])


def expected_log_odds(
    card: npt.ArrayLike,
    stratum: npt.ArrayLike,
    games: npt.ArrayLike,
    wins: npt.ArrayLike,
    *,
    prior_games: float = PRIOR_GAMES,
) -> Numbers:
    r"""Log-odds at which an average card would win, played where and by whom a card is.

    .. math:: o_i = \mathrm{logit} \frac{\sum_k n_{ik} r_k}{\sum_k n_{ik}}, \qquad
              r_k = \frac{V_k + m B}{G_k + m}

    with :math:`G_k, V_k` games and wins of stratum k over all cards, :math:`B` the rate of all
    games and :math:`m` = `prior_games`.

    Parameters
    ----------
    card, stratum : array_like of int, shape (m,)
        Codes from 0.
    games, wins : array_like of float, shape (m,)
        Counts, one row a card in a stratum. A row with an unknown count is left out.
    prior_games : float, optional
        Games at the overall rate that every stratum's rate starts with, above 0.

    Returns
    -------
    ndarray of shape (n,)
        For the n cards up to the highest code; that of all games for a card without any.

    Raises
    ------
    CountError
        If the counts break a bound, or no game was won or none lost.

    Examples
    --------
    The second card is played in the stronger archetype only:

    >>> expected_log_odds([0, 0, 1], [0, 1, 1], [500, 500, 1000], [200, 300, 600]).round(3)
    array([0.01 , 0.403])
    """
    code, layer = np.asarray(card, dtype=np.intp), np.asarray(stratum, dtype=np.intp)
    columns = np.array([games, wins], dtype=np.float64)
    n, x = np.where(np.isnan(columns).any(axis=0), 0.0, columns)
    _demand_counts(x, n)
    if not 0 < x.sum() < n.sum():
        msg = f"some games must be won and some lost, got {x.sum():g} wins in {n.sum():g} games"
        raise CountError(msg)
    overall = x.sum() / n.sum()
    rate = np.bincount(layer, x) + prior_games * overall
    rate /= np.bincount(layer, n) + prior_games
    played, expected = np.bincount(code, n), np.bincount(code, n * rate[layer])
    mean = np.divide(expected, played, out=np.full(len(played), overall), where=played > 0)
    return np.asarray(logit(mean))


def _strata(
    wins: npt.ArrayLike, games: npt.ArrayLike, standard_games: npt.ArrayLike
) -> tuple[Numbers, Numbers, Numbers]:
    """Return wins, games and the share of the standard in each stratum, or refuse them."""
    x, n, standard = _together(wins, games, standard_games)
    if not ((standard >= 0) & np.isfinite(standard)).all() or not standard.any():
        msg = "games of the standard must be numbers from 0, not all 0"
        raise CountError(msg)
    return x, n, standard / standard.sum(axis=-1, keepdims=True)


def _together(*columns: npt.ArrayLike) -> tuple[Numbers, Numbers, Numbers]:
    """Return wins, games and one more column in one shape, or refuse them."""
    arrays = [np.atleast_1d(np.asarray(column, dtype=np.float64)) for column in columns]
    try:
        x, n, other = np.broadcast_arrays(*arrays)
    except ValueError as error:
        shapes = ", ".join(str(array.shape) for array in arrays)
        msg = f"strata must be the same for all columns, got shapes {shapes}"
        raise CountError(msg) from error
    _demand_counts(x, n)
    return x, n, other


def _demand_counts(wins: Numbers, games: Numbers) -> None:
    if (bad := ~((wins >= 0) & (wins <= games) & np.isfinite(games))).any():
        msg = f"wins must lie between 0 and games ({games[bad][0]:g}), got {wins[bad][0]:g}"
        raise CountError(msg)


def _tail(level: float) -> float:
    """Return the probability left out at each end."""
    if not 0 < level < 1:
        msg = f"level must lie strictly between 0 and 1, got {level}"
        raise LevelError(msg)
    return (1 - level) / 2
