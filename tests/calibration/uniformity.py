"""Data drawn from the model's own prior, and where the truth falls in what is then believed.

If the numbers are worked out rightly, the truth's place in its posterior is uniform: Talts, S.,
Betancourt, M., Simpson, D., Vehtari, A. and Gelman, A. (2018). Validating Bayesian inference
algorithms with simulation-based calibration. arXiv:1804.06788, theorem 1 (from memory). Places
are chances of lying below the truth, so that no ranks among draws are needed.
"""

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.stats.archetypes.archetypes import SPREAD_SCALE as ARCHETYPE_SPREAD
from winrate_tools.stats.archetypes.archetypes import archetype_strength
from winrate_tools.stats.cards.allowance import Allowance, learnt_allowance, shares
from winrate_tools.stats.cards.hyperparameters import cards_given, learn
from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.cards.prior import SECOND_MEAN, SECOND_SD, SPREAD_SCALE, Prior
from winrate_tools.stats.cards.strength import Strength, _between

Numbers = npt.NDArray[np.float64]
CARDS = 60
ALLOWANCE = Allowance(0.6, 0.1, 0.1)
NAMES = (
    *("intercept", "slope on usage", "another slope", "faction", "another faction"),
    *("log spread", "log fall", "log spread of the fallen", "share fallen", "fallen by usage"),
)


def places_of_cards(seed: int) -> dict[str, float]:
    """Draw a pool from the prior, fit it, and find each truth's place in its posterior."""
    rng = np.random.default_rng(seed)
    usage = rng.standard_normal((CARDS, 2)).clip(-2.5, 2.5)
    member = np.eye(2)[np.arange(CARDS) % 2]
    prior = Prior(usage, member, 0.08, usage.mean(axis=1), has_second_class=True)
    hyper = _drawn(prior, rng)
    classes = prior.classes(hyper[None])
    fallen = np.log(rng.random(CARDS)) < classes.log_share[1, 0]
    place, card = fallen.astype(int), np.arange(CARDS)
    record = classes.mean[place, 0, card]
    record = record + classes.sd[place, 0, 0] * rng.standard_normal(CARDS)
    games = np.exp(rng.normal(6.5, 1.0, CARDS)).round()
    offset = rng.normal(0.2, 0.1, CARDS)
    evidence = Evidence(
        1.0 * rng.binomial(games.astype(int), expit(offset + record)), games, offset
    )
    found = learn(evidence, prior, seed=seed)
    below = found.weight @ (found.draws < hyper)
    share = max(rng.normal(ALLOWANCE.share, ALLOWANCE.sd), 0.02)
    between = float(_between(classes)[0, 0])
    shared = prior.shared(hyper[None])[0]
    own = share * (record - shared)
    own = own + np.sqrt(ALLOWANCE.left * between) * rng.standard_normal(CARDS)
    error = 0.08 * rng.uniform(0.5, 1.5, CARDS)
    contrast = own + error * rng.standard_normal(CARDS)
    fitted = _fitted(evidence, prior, found, seed, ALLOWANCE)
    mean = found.weight @ _between(prior.classes(found.draws))
    apart = fitted.record()
    company = (fitted.weight * fitted.company).sum(axis=0)
    learnt = learnt_allowance(
        ALLOWANCE, contrast, error**2, apart.centre - company, apart.scale**2, float(mean[0])
    )
    seen = _fitted(evidence, prior, found, seed, learnt)._by_record(learnt)
    return dict(zip(NAMES, below.tolist(), strict=True)) | {
        "record": float(fitted.record().below(record)[0]),
        "own effect": float(fitted._by_record(ALLOWANCE).below(own)[0]),
        "own effect, compared": float(seen.given(contrast, error**2).below(own)[0]),
    }


def _drawn(prior: Prior, rng: np.random.Generator) -> Numbers:
    coefficients = prior.coefficient_sd() * rng.standard_normal(prior.spread_at)
    log_spread = np.log(np.abs(SPREAD_SCALE * rng.standard_normal()))
    second = SECOND_MEAN + SECOND_SD * rng.standard_normal(4)
    return np.concatenate([coefficients, [log_spread], second])


def _fitted(evidence, prior, found, seed: int, allowance: Allowance) -> Strength:
    """Put together what `strength` would, of evidence whose table is not needed."""
    classes = prior.classes(found.draws)
    cards = cards_given(evidence, prior, found.draws)
    records = NormalMixture(
        (cards.share * found.weight[:, None]).reshape(-1, CARDS),
        cards.mean.reshape(-1, CARDS),
        cards.sd.reshape(-1, CARDS),
    )
    return Strength(
        sample=None,
        target=None,
        allowance=allowance,
        weight=records.weight,
        record_mean=records.mean,
        record_sd=records.sd,
        company=np.tile(prior.shared(found.draws), (2, 1)),
        expected=np.tile(classes.mean[0], (2, 1)),
        between=np.tile(_between(classes), (2, 1)),
        own_share=np.tile(shares(allowance, found.weight, seed), (2, 1)),
        draw_weight=found.weight,
        deviates=np.zeros(CARDS),
    )


def places_of_archetypes(seed: int) -> dict[str, float]:
    """Draw nine archetypes in two skill bands, and find the first one's place."""
    rng = np.random.default_rng(seed)
    spread = np.abs(ARCHETYPE_SPREAD * rng.standard_normal())
    effect = spread * rng.standard_normal(9)
    games = np.exp(rng.normal(6.5, 0.7, (9, 2))).round()
    rate = expit(effect[:, None] + np.array([-0.2, 0.3]))
    found = archetype_strength(games, rng.binomial(games.astype(int), rate))
    relative = effect - found.share @ effect
    return {"archetype": float(found.relative.below(relative)[0])}
