"""Learn the prior from all cards at once, and keep what remains unknown about it.

The posterior of the hyperparameters is integrated, not maximised: its mode and curvature give
a proposal, in which the log spread follows its own curve on a grid (it is far from normal when
the data show no spread); draws from the proposal are then weighted by the exact density.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from winrate_tools.stats.cards.logit_normal import Evidence, Posterior, posterior
from winrate_tools.stats.cards.newton import Batch, peak
from winrate_tools.stats.cards.prior import Classes, Prior

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
FEWEST_DRAWS, MOST_DRAWS = 64, 1024
WORTH_OF_CARDS = 20_000
"""Few cards leave much unknown about the prior, and are cheap: they get more draws."""
SPREAD_GRID = np.linspace(np.log(0.003), np.log(1.5), 50)


@dataclass(frozen=True, slots=True)
class Hyperparameters:
    """Weighted draws from the posterior of the hyperparameters.

    Attributes
    ----------
    draws : ndarray of shape (H, size)
        Vectors as `Prior` orders them.
    weight : ndarray of shape (H,)
        At least 0, sums to 1.
    mode : ndarray of shape (size,)
        The most probable vector.
    """

    draws: Numbers
    weight: Numbers
    mode: Numbers

    @property
    def effective_draws(self) -> float:
        """How many equally weighted draws these are worth."""
        return float(1 / (self.weight**2).sum())


class CardPosterior(NamedTuple):
    """Each card's posterior given the hyperparameters; arrays of shape (C, H, n)."""

    share: Numbers
    mean: Numbers
    sd: Numbers


def learn(evidence: Evidence, prior: Prior, *, seed: int) -> Hyperparameters:
    """Draw hyperparameters from their posterior.

    Parameters
    ----------
    evidence : Evidence
        Counts of n cards.
    prior : Prior
        Shape of the prior, for the same cards.
    seed : int
        Seed of the draws.

    Returns
    -------
    Hyperparameters
        Weighted so that any average over them estimates the posterior's.

    Raises
    ------
    FitError
        If the search for the mode does not settle.

    References
    ----------
    Ionides, E. L. (2008). Truncated importance sampling. *JCGS* 17(2), 295-311 (from memory).
    """

    def log_density(hyper: Numbers) -> Numbers:
        return _log_posterior(evidence, prior, hyper)

    found = peak(log_density, lambda hyper: _gradient(evidence, prior, hyper), prior.start())
    path = _SpreadPath(found.point, found.information, prior.spread_at)
    proposal, log_proposal = path.sample(log_density, seed, _draws(evidence))
    log_weight = log_density(proposal) - log_proposal
    return Hyperparameters(proposal, _truncated(log_weight), found.point)


def _truncated(log_weight: Numbers) -> Numbers:
    """Weights that sum to 1, none above the mean times the root of their number."""
    weight = np.exp(log_weight - log_weight.max())
    weight = np.minimum(weight, weight.mean() * np.sqrt(len(weight)))
    return np.asarray(weight / weight.sum())


def _draws(evidence: Evidence) -> int:
    wanted = WORTH_OF_CARDS // len(evidence.games)
    return min(max(wanted, FEWEST_DRAWS), MOST_DRAWS)


def cards_given(evidence: Evidence, prior: Prior, hyper: Numbers) -> CardPosterior:
    """Posterior of each card in each class at each vector of hyperparameters."""
    classes = prior.classes(hyper)
    found = posterior(evidence, classes.mean, classes.sd)
    return CardPosterior(_shares(classes, found), found.mean, found.sd)


def _log_posterior(evidence: Evidence, prior: Prior, hyper: Numbers) -> Numbers:
    classes = prior.classes(hyper)
    found = posterior(evidence, classes.mean, classes.sd)
    per_card = np.logaddexp.reduce(classes.log_share + found.log_marginal, axis=0)
    return np.asarray(per_card.sum(axis=1) + prior.log_density(hyper))


def _shares(classes: Classes, found: Posterior) -> Numbers:
    joint = classes.log_share + found.log_marginal
    return np.asarray(np.exp(joint - np.logaddexp.reduce(joint, axis=0)))


def _gradient(evidence: Evidence, prior: Prior, hyper: Numbers) -> Numbers:
    """Fisher's identity: the score is the posterior mean of the complete data's score."""
    classes = prior.classes(hyper)
    found = posterior(evidence, classes.mean, classes.sd)
    share = _shares(classes, found)
    off = found.mean - classes.mean
    by_mean = share * off / classes.sd**2
    by_log_sd = share * ((off**2 + found.sd**2) / classes.sd**2 - 1)
    columns = [by_mean.sum(axis=(0, 2))]
    columns += list((by_mean[0] @ prior.usage).T)
    columns += list((by_mean.sum(axis=0) @ prior.factions).T)
    columns.append(by_log_sd[0].sum(axis=1))
    if prior.has_second_class:
        surplus = share[1] - np.exp(classes.log_share[1])
        columns += [
            -np.exp(hyper[:, prior.spread_at + 1]) * by_mean[1].sum(axis=1),
            by_log_sd[1].sum(axis=1),
            surplus.sum(axis=1),
            -surplus @ prior.score,
        ]
    return np.array(columns).T + prior.gradient(hyper)


@dataclass(frozen=True, slots=True)
class _SpreadPath:
    """A proposal: the log spread from its own curve, the rest normal around a line in it."""

    mode: Numbers
    information: Numbers
    at: int

    def sample(self, log_density: Batch, seed: int, draws: int) -> tuple[Numbers, Numbers]:
        rest = np.delete(np.arange(len(self.mode)), self.at)
        inner = self.information[np.ix_(rest, rest)]
        slope = -np.linalg.solve(inner, self.information[rest, self.at])
        log_spread, log_curve = self._spreads(log_density, rest, slope, draws)
        root = np.linalg.cholesky(inner)
        z = _stratified_normals(np.random.default_rng(seed), draws, len(rest))
        hyper = self._along(log_spread, rest, slope)
        hyper[:, rest] += np.linalg.solve(root.T, z.T).T
        return hyper, log_curve - 0.5 * (z**2).sum(axis=1)

    def _along(self, log_spread: Numbers, rest: Places, slope: Numbers) -> Numbers:
        hyper = np.tile(self.mode, (len(log_spread), 1))
        hyper[:, self.at] = log_spread
        hyper[:, rest] += np.outer(log_spread - self.mode[self.at], slope)
        return hyper

    def _spreads(
        self, log_density: Batch, rest: Places, slope: Numbers, draws: int
    ) -> tuple[Numbers, Numbers]:
        """Log spreads at equal steps of the curve's mass, and the log of their density."""
        curve = log_density(self._along(SPREAD_GRID, rest, slope))
        density = np.exp(curve - curve.max())
        mass = np.concatenate([[0], np.cumsum(0.5 * (density[1:] + density[:-1]))])
        places = (np.arange(draws) + 0.5) / draws * mass[-1]
        log_spread = np.interp(places, mass, SPREAD_GRID)
        cell = np.clip(np.searchsorted(mass, places) - 1, 0, len(SPREAD_GRID) - 2)
        return log_spread, np.log(mass[cell + 1] - mass[cell])


def _stratified_normals(rng: np.random.Generator, draws: int, columns: int) -> Numbers:
    """Latin hypercube of standard normals, shape (draws, columns)."""
    places = (np.arange(draws) + 0.5) / draws
    return (
        np.array([ndtri(rng.permutation(places)) for _ in range(columns)])
        .reshape(columns, draws)
        .T
    )
