r"""Plain shrinkage: every item's rate is a draw from one beta distribution.

The transparent neighbour of the full model: it knows no usage, no baseline and no company, and
serves shares that need none, such as the share of a card's drafted copies that is played.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import betainc, expit, gammaln, logit, psi

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.cards.newton import peak

Numbers = npt.NDArray[np.float64]
MOST_CONCENTRATED = 1e7
"""Concentration from which on a beta distribution is as good as a point."""


class BetaBinomial(NamedTuple):
    """A beta distribution of rates, fitted to counts.

    Attributes
    ----------
    mean : float
        Mean rate, between 0 and 1.
    concentration : float
        Sum of the two shape parameters, above 0: how many tries the prior is worth. ``inf``
        where the counts vary no more than one common rate explains.
    log_likelihood : float
        At the fit, without the binomial coefficients.

    References
    ----------
    Skellam, J. G. (1948). A probability distribution derived from the binomial distribution
    by regarding the probability of success as variable between the sets of trials. *JRSS B*
    10(2), 257-261 (value from memory).
    """

    mean: float
    concentration: float
    log_likelihood: float

    def posterior_mean(self, successes: npt.ArrayLike, tries: npt.ArrayLike) -> Numbers:
        """Estimate of each item's rate, shape (n,)."""
        if np.isinf(self.concentration):
            return np.full(np.shape(tries), self.mean)
        prior = self.concentration
        return np.asarray(
            (np.asarray(successes) + prior * self.mean) / (np.asarray(tries) + prior)
        )

    def chance_below(
        self, rate: float, successes: npt.ArrayLike, tries: npt.ArrayLike
    ) -> Numbers:
        """Probability that each item's rate lies below one rate, shape (n,)."""
        prior = min(self.concentration, MOST_CONCENTRATED)
        wins, losses = np.asarray(successes), np.asarray(tries) - np.asarray(successes)
        return np.asarray(
            betainc(wins + prior * self.mean, losses + prior * (1 - self.mean), rate)
        )


def beta_binomial(successes: npt.ArrayLike, tries: npt.ArrayLike) -> BetaBinomial:
    """Fit a beta distribution of rates by maximum likelihood.

    Parameters
    ----------
    successes, tries : array_like of float, shape (n,)
        Whole numbers, ``0 <= successes <= tries``; items without tries are ignored.

    Returns
    -------
    BetaBinomial
        With infinite concentration where the likelihood rises towards a common rate.

    Raises
    ------
    CountError
        If counts are impossible.
    FitError
        If there are no tries, or all of them or none succeeded.

    Examples
    --------
    >>> fit = beta_binomial([2, 8, 5, 9, 1], [10, 10, 10, 10, 10])
    >>> f"{fit.mean:.3f} {fit.concentration:.2f}"
    '0.500 2.55'
    """
    y, n = np.asarray(successes, dtype=np.float64), np.asarray(tries, dtype=np.float64)
    if not np.all((y >= 0) & (y <= n) & np.isfinite(n)):
        msg = "counts must be finite with 0 <= successes <= tries"
        raise CountError(msg)
    if not 0 < y.sum() < n.sum():
        msg = f"a spread of rates needs successes and failures, got {y.sum():g} of {n.sum():g}"
        raise FitError(msg)
    rate = float(y.sum() / n.sum())
    excess = _excess(y, n, rate)
    if excess <= 0:
        top = float(y.sum() * np.log(rate) + (n - y).sum() * np.log1p(-rate))
        return BetaBinomial(rate, np.inf, top)
    alike = np.clip(excess / max((n * (n - 1)).sum(), 1), 1e-6, 0.5)
    start = np.array([logit(rate), -logit(alike)])
    counts = _Met(y), _Met(n - y), _Met(n)
    found = peak(lambda x: _log_likelihood(x, *counts), lambda x: _gradient(x, *counts), start)
    return BetaBinomial(
        float(expit(found.point[0])), float(np.exp(found.point[1])), found.height
    )


def _excess(y: Numbers, n: Numbers, rate: float) -> float:
    """Tarone's (1979) score for variation beyond one common rate; above 0 if there is some."""
    return float((((y - n * rate) ** 2) / (rate * (1 - rate))).sum() - n.sum())


def _shapes(x: Numbers) -> tuple[Numbers, Numbers]:
    total = np.exp(x[:, 1:])
    return total * expit(x[:, :1]), total * expit(-x[:, :1])


class _Met:
    """The different counts among many, with how often each is met."""

    def __init__(self, counts: Numbers) -> None:
        self.count, self.often = np.unique(counts, return_counts=True)

    def summed(self, function: Callable[[Numbers], Numbers], shape: Numbers) -> Numbers:
        """Sum what a function rises by from each shape, in steps of all counts."""
        return np.asarray((function(self.count + shape) - function(shape)) @ self.often)


def _log_likelihood(x: Numbers, won: _Met, lost: _Met, tried: _Met) -> Numbers:
    a, b = _shapes(x)
    return won.summed(gammaln, a) + lost.summed(gammaln, b) - tried.summed(gammaln, a + b)


def _gradient(x: Numbers, won: _Met, lost: _Met, tried: _Met) -> Numbers:
    a, b = _shapes(x)
    common = tried.summed(psi, a + b)
    by_a, by_b = won.summed(psi, a) - common, lost.summed(psi, b) - common
    a, b = a[:, 0], b[:, 0]
    return np.array([(by_a - by_b) * a * b / (a + b), by_a * a + by_b * b]).T
