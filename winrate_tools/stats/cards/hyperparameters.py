"""Learn the prior from all cards at once, and keep what remains unknown about it.

The posterior of the hyperparameters is integrated, not maximised, and may have several modes.
Vectors are drawn from a mixture about them and weighed. Where each card's log-likelihood is
taken as quadratic the density is quick to work out, so thousands of vectors say where its mean
lies; a few are moved there, and weighed by the exact density against the quick one. All of it
moves smoothly with the counts: one more win never throws a card about.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.logit_normal import Evidence, Posterior, posterior
from winrate_tools.stats.cards.newton import Batch, Peak, peak
from winrate_tools.stats.cards.prior import SECOND_SD, WIDE_NET, Classes, Prior
from winrate_tools.stats.cards.proposal import Proposal, SpreadPath
from winrate_tools.stats.cards.quadratic import Quadratic

Numbers = npt.NDArray[np.float64]
Integral = Callable[[Numbers, Numbers], Posterior]
"""Integrates the likelihood of cards over normal priors of some means and deviations."""
FEWEST_DRAWS, MOST_DRAWS = 96, 2048
WORTH_OF_CARDS = 36_000
"""Few cards leave much unknown about the prior, and are cheap: they get more draws."""
TRIED = 3000
"""Vectors that say where the mean lies."""
SAME = 0.05
"""Climbs that end so near one another have found one mode."""
DEFENCE = 0.1
"""Share of the vectors that are tried where the second class is as it was believed to be."""


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


@dataclass(frozen=True, slots=True)
class Hyperparameters:
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
    Ionides, E. L. (2008). Truncated importance sampling. *JCGS* 17(2), 295-311; Barraquand, J.
    (1995). Numerical valuation of high dimensional multivariate European securities.
    *Management Science* 41(12), 1882-1891, for moving draws to a known mean (both from memory).
    """
    quick = _nearly(evidence, prior)
    log_density = partial(quick.log_posterior, prior)
    proposal = _proposal(_modes(quick, prior), prior, log_density)
    rng = np.random.default_rng(seed)
    centre = _weighted(proposal, log_density, rng, TRIED).centre
    cloud = _weighted(proposal, log_density, rng, _draws(evidence))
    draws = cloud.points + (centre - cloud.centre)
    cards = cards_given(evidence, prior, draws)
    log_exact = cards.log_likelihood + prior.log_density(draws)
    weight = cloud.weight * _truncated(log_exact - log_density(draws))
    return Hyperparameters(draws, weight / weight.sum(), cards)


class _Cloud(NamedTuple):
    """Weighted points."""

    points: Numbers
    weight: Numbers

    @property
    def centre(self) -> Numbers:
        """Return their mean."""
        return self.weight @ self.points


def _weighted(
    proposal: Proposal, log_density: Batch, rng: np.random.Generator, count: int
) -> _Cloud:
    points, log_proposed = proposal.sample(rng, count)
    return _Cloud(points, _truncated(log_density(points) - log_proposed))


def _nearly(evidence: Evidence, prior: Prior) -> Quadratic:
    """Take each card's log-likelihood as quadratic about its mean under a likely prior."""
    cards = cards_given(evidence, prior, prior.start()[None])
    return Quadratic.near(evidence, (cards.share * cards.mean).sum(axis=0)[0])


def _modes(quick: Quadratic, prior: Prior) -> list[Peak]:
    """Climb as is usual, then from there with a wide net: the two may end apart."""
    climb = partial(
        peak, partial(quick.log_posterior, prior), partial(_gradient, quick.posterior, prior)
    )
    first = climb(prior.start())
    if not prior.has_second_class:
        return [first]
    other = climb(np.concatenate([first.point[: -len(WIDE_NET)], WIDE_NET]))
    return [first, other] if np.abs(first.point - other.point).max() > SAME else [first]


def _proposal(modes: list[Peak], prior: Prior, log_density: Batch) -> Proposal:
    """Mix paths through the modes, one midway between two, and one as before the games."""
    tops = modes if len(modes) == 1 else [*modes, _midway(*modes)]
    paths = [SpreadPath.through(top, prior.spread_at, log_density) for top in tops]
    if not prior.has_second_class:
        return Proposal(paths, [1.0])
    before = SpreadPath.through(_defence(modes[0], prior), prior.spread_at, log_density)
    return Proposal([*paths, before], [*[(1 - DEFENCE) / len(paths)] * len(paths), DEFENCE])


def _midway(one: Peak, other: Peak) -> Peak:
    covariance = np.linalg.inv(one.information) + np.linalg.inv(other.information)
    information = np.asarray(np.linalg.inv(0.5 * covariance), dtype=np.float64)
    return Peak(0.5 * (one.point + other.point), one.height, information)


def _defence(mode: Peak, prior: Prior) -> Peak:
    """Forget what the games say of the second class."""
    second = slice(prior.spread_at + 1, None)
    point, information = mode.point.copy(), mode.information.copy()
    point[second] = prior.start()[second]
    information[second], information[:, second] = 0.0, 0.0
    information[second, second] = np.diag(SECOND_SD**-2.0)
    return Peak(point, mode.height, information)


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
