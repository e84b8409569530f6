r"""How strong each card is, from its total games and wins.

The record of a card of faction :math:`h` deviates from the sample's mean by
:math:`t_i = \theta_i + f_h + \kappa_i` on the log-odds: its own effect, what its faction
shares, and what else it owes to players, archetype and deck. More games average none of these
out. A share :math:`\lambda` of what is left without the faction is taken to be the card's own:

.. math::

    \theta_i \mid t_i \sim N\big(\lambda (t_i - f_h),\; c\,\lambda(1-\lambda)\tau^2\big),

with :math:`\tau^2` the variance of records within factions. Were own effect and company
independent, :math:`c` would be 1; as good cards keep good company, less is left unknown.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit, ndtri

from winrate_tools.settings import Measure, Settings
from winrate_tools.stats.baseline import Baseline, baseline
from winrate_tools.stats.company import Company, company
from winrate_tools.stats.hyperparameters import cards_given, learn
from winrate_tools.stats.logit_normal import Evidence
from winrate_tools.stats.mixture import NormalMixture
from winrate_tools.stats.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.stats.prior import Classes, Prior, prior_for
from winrate_tools.stats.usage import Usage, usage
from winrate_tools.tables import CardTable

Numbers = npt.NDArray[np.float64]
MOST_SHARED = 0.9
"""Largest share of the sample's games that one card is taken to have."""

OWN_SHARE: dict[Measure, float] = {"held": 0.55, "opening": 0.55, "deck": 0.3}
"""Share of a record within its faction that is the card's own, where only totals are known."""
OWN_SHARE_MIXED: dict[Measure, float] = {"held": 0.42, "opening": 0.42, "deck": 0.2}
"""The same where factions are unknown and therefore mixed up in the record."""
OWN_SHARE_SD = 0.1
"""How far the share differs from one pool to the next."""
LEFT_UNKNOWN = 0.45
"""The constant c. These four come from simulated drafts; `tests/calibration` measures them."""


@dataclass(frozen=True, slots=True)
class Strength:
    """Posterior of each card's effect, on the log-odds, in the table's order.

    Components are the J pairs of a hyperparameter draw and a class of the prior; arrays given
    as (J, n) may have one column or one row that stands for all.

    Attributes
    ----------
    weight : ndarray of shape (J, n)
        Probability of each component.
    record_mean, record_sd : ndarray of shape (J, n)
        Posterior of the card's record under each component.
    company : ndarray of shape (J, n)
        What the card shares with its faction.
    expected : ndarray of shape (J, n)
        Record that the card's usage makes one expect.
    within : ndarray of shape (J, 1)
        Variance of records within factions, given usage.
    own_share : ndarray of shape (J, 1)
        Share of a record, less its company, that is the card's own.
    draw_weight : ndarray of shape (H,)
        Weight of each hyperparameter draw; J is H times the number of classes.
    level : Baseline
        What effects are counted from.
    allowance : float
        Mean of `own_share`.
    design_effect : float
        The assumption used.
    evidence : Evidence
        The effective counts used.
    usage : Usage
        The cleaned usage.
    factions : tuple of str
        Labels of the factions compared.
    """

    weight: Numbers
    record_mean: Numbers
    record_sd: Numbers
    company: Numbers
    expected: Numbers
    within: Numbers
    own_share: Numbers
    draw_weight: Numbers
    level: Baseline
    allowance: float
    design_effect: float
    evidence: Evidence
    usage: Usage
    factions: tuple[str, ...]

    def own(self, allowance: float | None = None) -> NormalMixture:
        """Own effects of the cards, as deviations from an average card.

        Parameters
        ----------
        allowance : float, optional
            Share of a record, less its company, that is the card's own, in (0, 1]; by default
            the one fitted with, and its uncertainty.

        Returns
        -------
        NormalMixture
            Over the n cards.
        """
        share = (
            self.own_share if allowance is None else np.full(self.own_share.shape, allowance)
        )
        mean = share * (self.record_mean - self.company)
        left = LEFT_UNKNOWN * share * (1 - share) * self.within
        return NormalMixture(self.weight, mean, np.sqrt((share * self.record_sd) ** 2 + left))

    def record(self) -> NormalMixture:
        """Return the records as they would be after endless games, company and all."""
        return NormalMixture(self.weight, self.record_mean, self.record_sd)

    def surprise(self) -> NormalMixture:
        """Own effects less what usage made one expect of each card."""
        own = self.own()
        usual = self.own_share * (self.expected - self.company)
        return NormalMixture(own.weight, own.mean - usual, own.sd)

    def removable(self) -> Numbers:
        """Variance of each own effect that endless games would remove, shape (n,)."""
        share = float((self.weight[:, :1] * self.own_share).sum())
        return np.asarray((share * self.record().scale) ** 2)

    def spread(self) -> tuple[float, float]:
        """Return the deviation between cards of their records and of their own effects."""
        record, own = self.record(), self.own()
        return tuple(
            float(np.sqrt(np.var(each.centre) + (each.scale**2).mean()))
            for each in (record, own)
        )  # type: ignore[return-value]

    def draws(self, count: int, seed: int) -> Numbers:
        """Draw own effects of all cards together, shape (count, n).

        Cards of one draw share their hyperparameters, so their errors move together.
        """
        rng = np.random.default_rng(seed)
        own, n = self.own(), self.weight.shape[1]
        steps = np.cumsum(self.draw_weight)
        drawn = np.searchsorted(steps / steps[-1], (np.arange(count) + 0.5) / count)
        first = self.weight[drawn] / self.draw_weight[drawn, None]
        second = rng.random((count, n)) > first
        component = drawn[:, None] + len(self.draw_weight) * second
        z = rng.standard_normal((count, n))
        card = np.arange(n)
        return np.asarray(own.mean[component, card] + z * own.sd[component, card])

    def rate(self, effect: float | Numbers) -> Numbers:
        """Turn effects on the log-odds into win rates of this sample."""
        return np.asarray(expit(logit(self.level.sample_mean) + effect))

    def effect(self, rate: float | Numbers) -> Numbers:
        """Turn win rates of this sample into effects on the log-odds."""
        return np.asarray(logit(rate) - logit(self.level.sample_mean))


def strength(table: CardTable, settings: Settings | None = None) -> Strength:
    """Estimate every card's own effect from its totals and its usage.

    Parameters
    ----------
    table : CardTable
        One row a card; see `CardTable.totals`.
    settings : Settings, optional
        Baseline, measure, allowance, design effect and seed are used.

    Returns
    -------
    Strength
        Finite for every card, with or without games.

    Raises
    ------
    FitError
        If no card has a game, or the baseline is asked of a column that is not there.

    References
    ----------
    Efron, B. and Morris, C. (1975). Data analysis using Stein's estimator and its
    generalizations. *JASA* 70(350), 311-319, for the shrinkage; Silber, J. H. et al. (2010).
    The hospital compare mortality model and the volume-outcome relationship. *Health Services
    Research* 45(5), 1148-1167, for volume in the prior's mean (both values from memory).

    Examples
    --------
    >>> from winrate_tools.tables import CardTable
    >>> table = CardTable(["Ash Vine", "Tin Moth", "Elm Bell"], [400, 400, 0], [180, 240, 0])
    >>> fitted = strength(table)
    >>> [f"{rate:.3f}" for rate in fitted.rate(fitted.own().centre)]
    ['0.498', '0.553', '0.530']
    """
    settings = settings or Settings()
    level = baseline(table, settings)
    played = ~np.isnan(table.wins)
    games, wins = np.where(played, table.games, 0.0), np.where(played, table.wins, 0.0)
    design_effect = settings.design_effect or DEFAULT_DESIGN_EFFECT
    factor = 1 / (design_effect * (1 - np.minimum(games / games.sum(), MOST_SHARED)))
    evidence = Evidence(wins * factor, games * factor, level.offset)
    cleaned, together = usage(table), company(table.faction, evidence)
    prior = prior_for(cleaned, together, int((games > 0).sum()))
    return _integrated(_Sample(evidence, cleaned, together, level), prior, settings)


class _Sample(NamedTuple):
    evidence: Evidence
    usage: Usage
    company: Company
    level: Baseline


def _integrated(sample: _Sample, prior: Prior, settings: Settings) -> Strength:
    hyper = learn(sample.evidence, prior, seed=settings.seed)
    classes = prior.classes(hyper.draws)
    cards = cards_given(sample.evidence, prior, hyper.draws)
    count, n = len(classes.mean), len(sample.evidence.games)
    own_share = _own_share(settings, len(hyper.weight), known=bool(prior.factions.size))

    def repeated(each: Numbers) -> Numbers:
        return np.tile(each, (count, 1))

    return Strength(
        weight=(cards.share * hyper.weight[:, None]).reshape(-1, n),
        record_mean=cards.mean.reshape(-1, n),
        record_sd=cards.sd.reshape(-1, n),
        company=repeated(prior.shared(hyper.draws)),
        expected=repeated(classes.mean[0]),
        within=repeated(_within(classes)),
        own_share=repeated(own_share),
        draw_weight=hyper.weight,
        level=sample.level,
        allowance=float(hyper.weight @ own_share[:, 0]),
        design_effect=settings.design_effect or DEFAULT_DESIGN_EFFECT,
        evidence=sample.evidence,
        usage=sample.usage,
        factions=sample.company.names if prior.factions.size else (),
    )


def _own_share(settings: Settings, draws: int, *, known: bool) -> Numbers:
    """One share for each draw: as given, else around what simulated drafts have shown."""
    if settings.allowance is not None:
        return np.full((draws, 1), float(settings.allowance))
    usual = (OWN_SHARE if known else OWN_SHARE_MIXED)[settings.measure]
    places = np.random.default_rng(settings.seed).permutation(draws)
    shares = usual + OWN_SHARE_SD * ndtri((places + 0.5) / draws)
    return np.asarray(np.clip(shares, 0.05, 0.95)[:, None])


def _within(classes: Classes) -> Numbers:
    """Variance of records within factions about what usage makes one expect, shape (H, 1)."""
    about = classes.mean - classes.mean[0]
    square = np.exp(classes.log_share) * (classes.sd**2 + about**2)
    return np.asarray(square.sum(axis=0).mean(axis=1, keepdims=True))
