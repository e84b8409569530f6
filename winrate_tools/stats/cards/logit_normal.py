r"""Counts of wins under a normal prior on the log-odds, one item at a time.

With effective wins :math:`w`, games :math:`n`, offset :math:`o` and prior
:math:`t \sim N(\mu, \tau^2)`, every quantity here comes from the integral

.. math:: m = \int e^{w(o+t) - n\log(1 + e^{o+t})}\, N(t; \mu, \tau^2)\, dt

by Gauss-Hermite quadrature centred on the integrand's own mode, so it holds at no games, no
wins, all wins and a thousand million games alike.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
MOST_STEPS = 60
NEAR = 1e-6
"""Newton's method stops after a step this small: the next would be about its square."""
NODES = 9


@dataclass(frozen=True, slots=True)
class Evidence:
    """Effective counts behind each item, and the log-odds expected of it.

    Parameters
    ----------
    wins, games : ndarray of shape (n,)
        Effective counts, ``0 <= wins <= games``; need not be whole.
    offset : ndarray of shape (n,)
        Log-odds at which an average item would have won.

    Raises
    ------
    CountError
        If a count is negative or not finite, or wins exceed games.
    """

    wins: Numbers
    games: Numbers
    offset: Numbers

    def __post_init__(self) -> None:
        fine = (self.wins >= 0) & (self.wins <= self.games) & np.isfinite(self.games)
        if not np.all(fine & np.isfinite(self.offset)):
            msg = "effective counts must be finite with 0 <= wins <= games"
            raise CountError(msg)


class Posterior(NamedTuple):
    """What the counts say under one prior; arrays broadcast priors against items.

    Attributes
    ----------
    log_marginal : ndarray
        Log of the integral of likelihood times prior.
    mean, sd : ndarray
        Posterior mean and standard deviation of `t`.
    """

    log_marginal: Numbers
    mean: Numbers
    sd: Numbers


def posterior(
    evidence: Evidence, mean: npt.ArrayLike, sd: npt.ArrayLike, *, nodes: int = NODES
) -> Posterior:
    """Integrate the likelihood of the counts over a normal prior.

    Parameters
    ----------
    evidence : Evidence
        Counts of n items.
    mean, sd : array_like
        Prior mean and standard deviation (above 0), broadcastable to (..., n).
    nodes : int, optional
        Quadrature nodes, at least 1; 1 is Laplace's approximation of the marginal.

    Returns
    -------
    Posterior
        Arrays of shape (..., n).

    References
    ----------
    Pinheiro, J. C. and Bates, D. M. (1995). Approximations to the log-likelihood function in
    the nonlinear mixed-effects model. *JCGS* 4(1), 12-35, section 2.4 (value from memory).

    Examples
    --------
    >>> import numpy as np
    >>> evidence = Evidence(np.array([0.0]), np.array([0.0]), np.array([0.2]))
    >>> found = posterior(evidence, 0.1, 0.3)
    >>> f"{found.mean[0]:.3f} {found.sd[0]:.3f}"
    '0.100 0.300'
    """
    shape = np.broadcast_shapes(np.shape(mean), np.shape(sd), evidence.games.shape)
    mu = np.broadcast_to(np.asarray(mean, dtype=np.float64), shape)
    precision = np.broadcast_to(np.asarray(sd, dtype=np.float64), shape) ** -2.0
    mode = _mode(evidence, mu, precision)
    scale = (_curvature(evidence, mode) + precision) ** -0.5
    return _integrated(_Integrands(evidence, mu, precision, mode, scale), nodes)


class _Integrands(NamedTuple):
    """Likelihoods times priors, each with its mode and the scale of its peak."""

    evidence: Evidence
    mu: Numbers
    precision: Numbers
    mode: Numbers
    scale: Numbers


def _integrated(of: _Integrands, nodes: int) -> Posterior:
    """Add up node by node, in units of each integrand's height: no memory but for the sums."""
    total, first, second = np.zeros((3, *of.scale.shape))
    for point, term in _terms(of, nodes):
        moment = term * point
        total += term
        first += moment
        second += moment * point
    first /= total
    second /= total
    log_marginal = _log_height(of) + np.log(total * of.scale * np.sqrt(of.precision))
    spread = np.sqrt(np.maximum(second - first**2, 0)) if nodes > 1 else 1.0
    return Posterior(log_marginal, of.mode + of.scale * first, of.scale * spread)


def _terms(of: _Integrands, nodes: int) -> Iterator[tuple[float, Numbers]]:
    """Yield each node and the integrand there, weighted, over its height at the mode.

    Only differences from the mode are worked out, so huge counts lose no digits.
    """
    rate = expit(of.evidence.offset + of.mode)
    slope = of.evidence.wins - of.precision * (of.mode - of.mu)
    for point, weight in zip(*_hermite(nodes), strict=True):
        step = of.scale * point
        term = np.expm1(step)
        term *= rate
        np.log1p(term, out=term)
        term *= -of.evidence.games
        term += (slope - 0.5 * of.precision * step) * step
        np.exp(term, out=term)
        term *= weight
        yield point, term


def _log_height(of: _Integrands) -> Numbers:
    """Log of the integrand at its mode, less the highest log-likelihood of any rate."""
    wins, games = of.evidence.wins, of.evidence.games
    eta = of.evidence.offset + of.mode
    height = wins * eta - games * np.logaddexp(0, eta) - _log_likelihood_at_best(wins, games)
    return np.asarray(height - 0.5 * of.precision * (of.mode - of.mu) ** 2)


@cache
def _hermite(nodes: int) -> tuple[Numbers, Numbers]:
    """Return standard-normal nodes, and weights that undo the normal kernel's decay.

    Golub, G. H. and Welsch, J. H. (1969). Calculation of Gauss quadrature rules. *Mathematics
    of Computation* 23(106), 221-230: nodes are eigenvalues (from memory).
    """
    beside = np.diag(np.sqrt(np.arange(1.0, nodes)), 1)
    points, vectors = np.linalg.eigh(beside + beside.T)
    return points, vectors[0] ** 2 * np.exp(points**2 / 2)


def _mode(evidence: Evidence, mu: Numbers, precision: Numbers) -> Numbers:
    """Climb to each integrand's only peak, by Newton's method kept inside a bracket.

    Where its steps are not half of the last but one, it goes round in circles, and the bracket
    is halved (Press, W. H. et al., 2007, *Numerical Recipes*, 3rd ed., section 9.4; from
    memory).
    """
    reach = evidence.games / precision
    low, high = mu - reach, mu + reach
    before = last = high - low
    t = np.clip(_near_mode(evidence, mu, precision), low, high)
    for _ in range(MOST_STEPS):
        rate = expit(evidence.offset + t)
        slope = evidence.wins - evidence.games * rate - precision * (t - mu)
        low, high = np.where(slope > 0, t, low), np.where(slope < 0, t, high)
        moved = t + slope / (evidence.games * rate * (1 - rate) + precision)
        astray = (moved < low) | (moved > high) | (np.abs(moved - t) > 0.5 * before)
        moved = np.where(astray, 0.5 * (low + high), moved)
        before, last = last, np.abs(moved - t)
        if np.all(last <= NEAR * (1 + np.abs(t))):
            return moved
        t = moved
    return t


def _near_mode(evidence: Evidence, mu: Numbers, precision: Numbers) -> Numbers:
    """Mode if the likelihood of the log-odds were normal."""
    share = (evidence.wins + 0.5) / (evidence.games + 1)
    information = evidence.games * share * (1 - share)
    away = logit(share) - evidence.offset - mu
    return np.asarray(mu + away * (information / (information + precision)))


def _curvature(evidence: Evidence, t: Numbers) -> Numbers:
    rate = expit(evidence.offset + t)
    return np.asarray(evidence.games * rate * (1 - rate))


def _log_likelihood_at_best(wins: Numbers, games: Numbers) -> Numbers:
    losses = games - wins
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = [np.where(k > 0, k * np.log(k / games), 0.0) for k in (wins, losses)]
    return np.asarray(parts[0] + parts[1])
