r"""How strong each card is, whatever the detail of its counts.

The record of a card deviates from what its archetypes and skill bands (or, without them, its
faction's cards) lead one to expect by :math:`t_i`: its own effect and what else it owes to
players and decks. More games average none of that out, so of :math:`t_i` a share :math:`s`
is taken to be the card's own:

.. math:: \theta_i \mid t_i \sim N\big(s\,(t_i - f_h),\; \ell\,\tau^2\big),

with :math:`f_h` what its faction shares and :math:`\tau^2` the variance of records; see
`winrate_tools.stats.cards.allowance` for :math:`s` and :math:`\ell`. A contrast of the card in
hand against the same card in the deck is a second, independent look at :math:`\theta_i`. Skill
shifts it; see `winrate_tools.stats.cards.skill`.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.settings import Settings
from winrate_tools.stats.cards.allowance import (
    Allowance,
    given_allowance,
    learnt_allowance,
    scaled,
    shares,
    usual_allowance,
)
from winrate_tools.stats.cards.hyperparameters import learn
from winrate_tools.stats.cards.joint_draws import joint_draws
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.cards.model_checks import deviates
from winrate_tools.stats.cards.prior import Classes, Prior, prior_for
from winrate_tools.stats.cards.target import Target, target
from winrate_tools.stats.crossed.sample import Sample, sample
from winrate_tools.tables import CardTable

Numbers = npt.NDArray[np.float64]
ALWAYS = 1
"""Seed of the points at which the prior is integrated: no user's seed moves an estimate."""


@dataclass(frozen=True, eq=False)
class Strength:
    """Posterior of each card's effect, on the log-odds, in the order of the table's totals.

    Components are the J pairs of a hyperparameter draw and a class of the prior.

    Attributes
    ----------
    sample : Sample
        The counts used.
    target : Target
        Whose games the effects are for.
    allowance : Allowance
        How much of a record is the card's own.
    weight : ndarray of shape (J, n)
        Probability of each component, given the records.
    record_mean, record_sd : ndarray of shape (J, n)
        Posterior of the card's record under each component.
    company : ndarray of shape (J, n)
        What the card shares with its faction.
    expected : ndarray of shape (J, n)
        Record that the card's usage makes one expect.
    between : ndarray of shape (J, 1)
        Variance between records of alike usage and faction.
    own_share : ndarray of shape (J, 1)
        Share of a record, less its company, that is the card's own.
    draw_weight : ndarray of shape (H,)
        Weight of each hyperparameter draw; J is H times the number of classes.
    deviates : ndarray of shape (n,)
        How far each record lies from what the prior expects, see `model_checks.deviates`.
    """

    sample: Sample
    target: Target
    allowance: Allowance
    weight: Numbers
    record_mean: Numbers
    record_sd: Numbers
    company: Numbers
    expected: Numbers
    between: Numbers
    own_share: Numbers
    draw_weight: Numbers
    deviates: Numbers

    def own(
        self, allowance: float | None = None, *, level: float | None = None
    ) -> NormalMixture:
        """Own effects of the cards, as deviations from an average card.

        Parameters
        ----------
        allowance : float, optional
            Share of a record, less its company, that is the card's own, in (0, 1]; by default
            the one fitted with, and its uncertainty.
        level : float, optional
            Level of skill, log-odds above the sample's; the target's by default.

        Returns
        -------
        NormalMixture
            Over the n cards.
        """
        own, variance = self._among(allowance, level), self.sample.level.variance
        return NormalMixture(own.weight, own.mean, np.sqrt(own.sd**2 + variance))

    def record(self) -> NormalMixture:
        """Return the records as they would be after endless games, company and all."""
        return NormalMixture(self.weight, self.record_mean, self.record_sd)

    def looks(self) -> tuple[NormalMixture, Numbers, Numbers]:
        """Return own effects by records alone, and the contrasts with their variances."""
        return self._by_record(self.allowance), *_on_scale(self.sample)

    def surprise(self) -> NormalMixture:
        """Own effects less what usage made one expect of each card."""
        own = self._among()
        usual = self.own_share * (self.expected - self.company)
        return NormalMixture(own.weight, own.mean - usual, own.sd)

    def removable(self) -> Numbers:
        """Variance of each own effect that endless games would remove, shape (n,)."""
        if self.sample.contrast is None:
            of_record = (self.allowance.share * self.record().scale) ** 2
            return np.asarray(of_record + self.sample.level.variance)
        _, by_skill = self.sample.slopes.shift(self.target.level)
        return np.asarray(self.own().scale ** 2 - by_skill)

    def spread(self) -> tuple[float, float]:
        """Return the deviation between cards of their records and of their own effects."""
        record, own = (
            float(np.sqrt(np.var(each.centre) + (each.scale**2).mean()))
            for each in (self.record(), self._among())
        )
        return record, own

    def draws(self, count: int, seed: int) -> Numbers:
        """Draw own effects of all cards together, shape (count, n).

        Cards of one draw share their hyperparameters, so their errors move together.
        """
        names = self.sample.totals.card
        return joint_draws(self._among(), self.draw_weight, names, count, seed)

    def rate(self, effect: float | Numbers) -> Numbers:
        """Turn effects on the log-odds into win rates of the target."""
        return np.asarray(expit(logit(self.target.mean) + effect))

    def effect(self, rate: float | Numbers) -> Numbers:
        """Turn win rates of the target into effects on the log-odds."""
        return np.asarray(logit(rate) - logit(self.target.mean))

    def _among(
        self, allowance: float | None = None, level: float | None = None
    ) -> NormalMixture:
        """Own effects against one another, whose common level is no matter."""
        if allowance is None and level is None:
            return self._as_fitted
        used = self.allowance if allowance is None else given_allowance(allowance)
        return self._with(used, self.target.level if level is None else level)

    @cached_property
    def _as_fitted(self) -> NormalMixture:
        return self._with(self.allowance, self.target.level)

    def _with(self, allowance: Allowance, level: float) -> NormalMixture:
        own = self._by_record(allowance)
        if self.sample.contrast is not None:
            own = own.given(*self._contrast(own))
        shift, variance = self.sample.slopes.shift(level)
        games = self.sample.evidence.games
        shift = shift - (games @ shift) / games.sum()
        return NormalMixture(own.weight, own.mean + shift, np.sqrt(own.sd**2 + variance))

    def _by_record(self, allowance: Allowance) -> NormalMixture:
        fitted = allowance is self.allowance
        share = self.own_share if fitted else np.full(self.own_share.shape, allowance.share)
        mean = share * (self.record_mean - self.company)
        variance = (share * self.record_sd) ** 2 + allowance.left * self.between
        return NormalMixture(self.weight, mean, np.sqrt(variance))

    def _contrast(self, own: NormalMixture) -> tuple[Numbers, Numbers]:
        """Return the contrasts about their own mean, and their variances."""
        estimate, variance = _on_scale(self.sample)
        about = estimate - own.centre
        weight = 1 / (variance + own.scale**2)
        known = ~np.isnan(estimate)
        return estimate - np.average(about[known], weights=weight[known]), variance


def strength(table: CardTable, settings: Settings | None = None) -> Strength:
    """Estimate every card's own effect from counts of any detail and from its usage.

    Parameters
    ----------
    table : CardTable
        Rows by card, or by card within archetype, skill band or both.
    settings : Settings, optional
        Baseline, measure, target, allowance and design effect are used.

    Returns
    -------
    Strength
        Finite for every card, with or without games.

    Raises
    ------
    FitError
        If no card has a game, or the baseline is asked of a column that is not there.
    SettingError
        If the target is no skill band of the table.

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
    ['0.496', '0.554', '0.525']
    """
    settings = settings or Settings()
    counts = sample(table, settings)
    played = int((counts.evidence.games > 0).sum())
    prior = prior_for(counts.usage, counts.company, played)
    hyper = learn(counts.evidence, prior, seed=ALWAYS)
    classes, cards = prior.classes(hyper.draws), hyper.cards
    between = _between(classes)
    count, n = len(classes.mean), len(counts.totals)
    records = NormalMixture(
        (cards.share * hyper.weight[:, None]).reshape(-1, n),
        cards.mean.reshape(-1, n),
        cards.sd.reshape(-1, n),
    )
    shared = np.tile(prior.shared(hyper.draws), (count, 1))
    allowance = _allowance(counts, settings, prior, records, shared, hyper.weight @ between)
    return Strength(
        sample=counts,
        target=target(counts, settings),
        allowance=allowance,
        weight=records.weight,
        record_mean=records.mean,
        record_sd=records.sd,
        company=shared,
        expected=np.tile(classes.mean[0], (count, 1)),
        between=np.tile(between, (count, 1)),
        own_share=np.tile(shares(allowance, hyper.weight, ALWAYS), (count, 1)),
        draw_weight=hyper.weight,
        deviates=deviates(counts.evidence, classes, hyper.weight),
    )


def _allowance(
    counts: Sample,
    settings: Settings,
    prior: Prior,
    records: NormalMixture,
    shared: Numbers,
    between: Numbers,
) -> Allowance:
    if settings.allowance is not None:
        return given_allowance(settings.allowance)
    factions = bool(prior.factions.size)
    if counts.contrast is None:
        return usual_allowance(settings.measure, factions=factions, strata=counts.strata)
    usual = usual_allowance("deck", factions=factions, strata=counts.strata)
    if settings.measure == "held":
        usual = scaled(usual, 1 / counts.seen)
    record = NormalMixture(records.weight, records.mean - shared, records.sd)
    estimate, variance = _on_scale(counts)
    return learnt_allowance(
        usual, estimate, variance, record.centre, record.scale**2, float(between[0])
    )


def _on_scale(counts: Sample) -> tuple[Numbers, Numbers]:
    """Return the contrasts of held games on the scale of the measure, and their variances."""
    if counts.contrast is None:
        nothing = np.full(len(counts.totals), np.nan)
        return nothing, nothing
    factor = counts.seen if counts.measure == "deck" else 1.0
    return factor * counts.contrast.estimate, factor**2 * counts.contrast.variance


def _between(classes: Classes) -> Numbers:
    """Variance of records about what usage and faction make one expect, shape (H, 1)."""
    about = classes.mean - classes.mean[0]
    square = np.exp(classes.log_share) * (classes.sd**2 + about**2)
    return np.asarray(square.sum(axis=0).mean(axis=1, keepdims=True))
