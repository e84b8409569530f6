"""Learn the prior from all cards at once, and keep what remains unknown about it.

The posterior of the hyperparameters is integrated, not maximised, and may have several modes.
The shape of the prior (its spread, its second class) is drawn from a mixture of normals about
them, which has learnt from two first looks; the coefficients are drawn about their own mode at
each shape; and both are weighed by the exact density. All of it moves smoothly with the counts:
one more win never throws a card about.
"""

from collections.abc import Callable
from functools import partial
from typing import NamedTuple, Self

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.coefficients import Coefficients
from winrate_tools.stats.cards.logit_normal import Evidence, Posterior, posterior
from winrate_tools.stats.cards.newton import Peak, peak
from winrate_tools.stats.cards.prior import SECOND_MEAN, SECOND_SD, WIDE_NET, Classes, Prior
from winrate_tools.stats.cards.proposal import Proposal, stratified_normals
from winrate_tools.stats.cards.quadratic import Quadratic

Numbers = npt.NDArray[np.float64]
Integral = Callable[[Numbers, Numbers], Posterior]
"""Integrates the likelihood of cards over normal priors of some means and deviations."""
FEWEST_DRAWS, MOST_DRAWS = 96, 2048
WORTH_OF_CARDS = 24_000
"""Few cards leave much unknown about the prior, and are cheap: they get more draws."""
LOOKS, TRIED = 2, 2
"""How many times shapes of the prior are tried before they are drawn, and how many, a draw."""
MOST_EXPANSIONS, NEAR = 12, 0.1
"""How often evidence is looked at afresh, and how far a mode may still move at the end."""
PARTS = np.array([0.3, 0.3, 0.3, 0.1])
"""Shares of the two modes, of the way between them, and of what was believed beforehand."""


class CardPosterior(NamedTuple):
    """Each of n cards' posterior at each of H vectors of hyperparameters, for C classes.

    Attributes
    ----------
    share : ndarray of shape (C, H, n)
        Probability of each class.
    mean, sd : ndarray of shape (C, H, n)
        Within the class.
    log_likelihood : ndarray of shape (H,)
        Log probability of all counts, up to a constant.
    """

    share: Numbers
    mean: Numbers
    sd: Numbers
    log_likelihood: Numbers


class Hyperparameters(NamedTuple):
    """Weighted draws from the posterior of the hyperparameters.

    Attributes
    ----------
    draws : ndarray of shape (H, size)
        Vectors as `Prior` orders them.
    weight : ndarray of shape (H,)
        At least 0, sums to 1.
    cards : CardPosterior
        The cards at each draw.
    """

    draws: Numbers
    weight: Numbers
    cards: CardPosterior

    @property
    def effective_draws(self) -> float:
        """How many equally weighted draws these are worth."""
        return float(1 / (self.weight**2).sum())


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
        If the search for a mode does not settle.

    References
    ----------
    Ionides, E. L. (2008). Truncated importance sampling. *JCGS* 17(2), 295-311 (from memory);
    Rue, H., Martino, S. and Chopin, N. (2009). Approximate Bayesian inference for latent
    Gaussian models by using integrated nested Laplace approximations. *JRSS B* 71(2), 319-392,
    section 3.1, for coefficients given the rest (from memory).
    """
    modes, coefficients = _modes(evidence, prior)
    rng = np.random.default_rng(seed)
    near, proposal = _Line.through(modes[0], prior.spread_at), _proposal(modes, prior)
    count = _draws(evidence)
    for _ in range(LOOKS):
        shape = proposal.sample(rng, TRIED * count)
        log_mass = coefficients.given(shape, near.at(shape)).log_mass
        proposal = proposal.nearer(shape, _truncated(log_mass - proposal.log_density(shape)))
    shape = proposal.sample(rng, count)
    given = coefficients.given(shape, near.at(shape))
    shares = _truncated(given.log_mass - proposal.log_density(shape))
    z = _weighed_normals(rng, shares, prior.spread_at)
    draws = np.hstack([given.at(z), shape])
    cards = cards_given(evidence, prior, draws)
    log_proposed = proposal.log_density(shape) + given.log_density(z)
    weight = _truncated(cards.log_likelihood + prior.log_density(draws) - log_proposed)
    return Hyperparameters(draws, weight, cards)


def _weighed_normals(rng: np.random.Generator, weight: Numbers, columns: int) -> Numbers:
    """Draw standard normals whose weighted means are 0 and variances 1, as they should be."""
    z = stratified_normals(rng, len(weight), columns)
    z = z - weight @ z
    return np.asarray(z / np.sqrt(weight @ z**2))


class _Line(NamedTuple):
    """Likely coefficients as they move with the shape, about a mode."""

    mode: Numbers
    first: int
    slope: Numbers

    @classmethod
    def through(cls, found: Peak, first: int) -> Self:
        covariance = np.linalg.inv(found.information)
        within, across = covariance[first:, first:], covariance[first:, :first]
        return cls(found.point, first, np.asarray(np.linalg.solve(within, across)))

    def at(self, shape: Numbers) -> Numbers:
        off = shape - self.mode[self.first :]
        return self.mode[: self.first] + off @ self.slope


def _modes(evidence: Evidence, prior: Prior) -> tuple[list[Peak], Coefficients]:
    """Climb as is usual, then from there with a wide net: the two may end apart.

    Each card's log-likelihood is taken as quadratic about its mean under a likely prior: first
    the usual one, then that of the mode found so, until that hardly moves.
    """
    start = prior.start()
    for _ in range(MOST_EXPANSIONS):
        coefficients = _nearly(evidence, prior, start)
        first = _climb(coefficients, start)
        if np.abs(first.point - start).max() < NEAR:
            break
        start = first.point
    if not prior.has_second_class:
        return [first], coefficients
    wide = np.concatenate([first.point[: -len(WIDE_NET)], WIDE_NET])
    return [first, _climb(coefficients, wide)], coefficients


def _nearly(evidence: Evidence, prior: Prior, hyper: Numbers) -> Coefficients:
    cards = cards_given(evidence, prior, hyper[None])
    about = (cards.share * cards.mean).sum(axis=0)[0]
    return Coefficients.of(Quadratic.near(evidence, about), prior)


def _climb(coefficients: Coefficients, start: Numbers) -> Peak:
    quick, prior = coefficients.quick, coefficients.prior
    return peak(
        partial(quick.log_posterior, prior),
        partial(_gradient, quick.posterior, prior),
        start,
        block=lambda hyper: coefficients.slopes(hyper[None], lost=np.inf)[2][0],
    )


def _proposal(modes: list[Peak], prior: Prior) -> Proposal:
    """Lay parts about the modes, one midway between two, and one as before the games."""
    at = prior.spread_at
    point = [mode.point[at:] for mode in modes]
    covariance = [np.linalg.inv(mode.information)[at:, at:] for mode in modes]
    if not prior.has_second_class:
        return Proposal.about(np.ones(1), np.array(point), np.array(covariance))
    before = covariance[0].copy()
    before[1:], before[:, 1:] = 0.0, 0.0
    before[1:, 1:] = np.diag(SECOND_SD**2)
    point += [0.5 * (point[0] + point[1]), np.append(point[0][0], SECOND_MEAN)]
    covariance += [0.5 * (covariance[0] + covariance[1]), before]
    return Proposal.about(PARTS, np.array(point), np.array(covariance))


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
    share, log_marginal = _shares(classes, found)
    return CardPosterior(share, found.mean, found.sd, log_marginal.sum(axis=1))


def _shares(classes: Classes, found: Posterior) -> tuple[Numbers, Numbers]:
    """Return probabilities of the classes, and what all of them make of each card."""
    joint = classes.log_share + found.log_marginal
    total = np.logaddexp.reduce(joint, axis=0)
    return np.exp(joint - total), total


def _gradient(integral: Integral, prior: Prior, hyper: Numbers) -> Numbers:
    """Fisher's identity: the score is the posterior mean of the complete data's score."""
    classes = prior.classes(hyper)
    found = integral(classes.mean, classes.sd)
    share, _ = _shares(classes, found)
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
