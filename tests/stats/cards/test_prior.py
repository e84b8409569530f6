"""What is believed about a card before its games."""

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit

from winrate_tools.stats.cards.company import Company
from winrate_tools.stats.cards.prior import FEWEST_CARDS, Prior, prior_for
from winrate_tools.stats.cards.usage import Usage

CARDS = 4
USAGE = np.array([[1.0, -0.5], [0.0, 2.0], [-1.0, 0.0], [0.5, 0.5]])
FACTIONS = np.array([[1.0, 0.0], [0.0, 1.0], [0.0, 0.0], [1.0, 0.0]])
SCORE = USAGE.mean(axis=1)
FULL = Prior(USAGE, FACTIONS, 0.08, SCORE, has_second_class=True)
PLAIN = Prior(
    np.zeros((CARDS, 0)), np.zeros((CARDS, 0)), 0.08, np.zeros(CARDS), has_second_class=False
)
ONE_CLASS = Prior(USAGE, FACTIONS, 0.08, SCORE, has_second_class=False)
PRIORS = [
    pytest.param(FULL, 10, id="full"),
    pytest.param(ONE_CLASS, 6, id="one class"),
    pytest.param(PLAIN, 2, id="plain"),
]

# Intercept, two slopes, two factions, log spread, log depth, log second spread, a0, a1.
HYPER = np.array(
    [0.05, 0.1, -0.2, 0.03, -0.04, np.log(0.12), np.log(0.3), np.log(0.2), -2, 0.7]
)


def vectors(size: int) -> np.ndarray:
    rng = np.random.default_rng(8)
    return HYPER[:size] + 0.3 * rng.standard_normal((5, size))


@pytest.mark.parametrize(("prior", "size"), PRIORS)
def test_a_vector_has_a_place_for_everything(prior: Prior, size: int):
    assert prior.size == size
    assert prior.start().shape == (size,)
    assert np.exp(prior.start()[prior.spread_at]) == pytest.approx(0.1)


def test_log_density_is_that_of_the_stated_distributions():
    hyper = vectors(FULL.size)

    def stated(x):
        spread = np.exp(x[5])
        return (
            stats.norm.logpdf(x[:3], 0, [0.5, 0.15, 0.15]).sum()
            + stats.norm.logpdf(x[3:5], 0, 0.08).sum()
            + stats.halfnorm.logpdf(spread, scale=0.15)
            + x[5]
            + stats.norm.logpdf(x[6], np.log(0.22), 0.5)
            + stats.norm.logpdf(x[7], np.log(0.10), 0.5)
            + stats.norm.logpdf(x[8], np.log(0.1 / 0.9), 1)
            + stats.norm.logpdf(x[9], 0.5, 1)
        )

    expected = np.array([stated(x) for x in hyper])

    found = FULL.log_density(hyper)

    assert found - found[0] == pytest.approx(expected - expected[0], abs=1e-10)


@pytest.mark.parametrize(("prior", "size"), PRIORS)
def test_gradient_is_the_slope_of_the_log_density(prior: Prior, size: int):
    hyper, step = vectors(size), 1e-6

    slopes = np.array(
        [
            (prior.log_density(hyper + shift) - prior.log_density(hyper - shift)) / (2 * step)
            for shift in step * np.eye(size)
        ]
    ).T

    assert prior.gradient(hyper) == pytest.approx(slopes, rel=1e-6, abs=1e-6)


def test_the_classes_of_a_card_by_hand():
    card, (b0, b1, b2, f0, _, tau, d, tau2, a0, a1) = 0, HYPER
    second = expit(a0 - a1 * SCORE[card])

    found = FULL.classes(HYPER[None])

    assert np.exp(found.log_share[:, 0, card]) == pytest.approx([1 - second, second])
    assert found.mean[:, 0, card] == pytest.approx(
        [b0 + 1.0 * b1 - 0.5 * b2 + f0, b0 + f0 - np.exp(d)]
    )
    assert found.sd[:, 0, 0] == pytest.approx(np.exp([tau, tau2]))


def test_usage_does_not_lift_a_card_of_the_second_class():
    found = FULL.classes(HYPER[None])

    assert found.mean[1, 0, 0] == found.mean[1, 0, 3]
    assert found.mean[0, 0, 0] != found.mean[0, 0, 3]


def test_cards_of_one_faction_share_and_a_card_of_none_shares_nothing():
    shared = FULL.shared(HYPER[None])[0]

    assert shared == pytest.approx([0.03, -0.04, 0, 0.03])


def test_a_single_class_has_the_whole_share():
    hyper = HYPER[None, :6]

    found = ONE_CLASS.classes(hyper)

    assert found.log_share.tolist() == [[[0.0] * CARDS]]
    assert found.mean == pytest.approx(FULL.classes(HYPER[None]).mean[:1])
    assert found.sd.ravel() == pytest.approx([0.12])


def test_a_small_pool_learns_neither_usage_nor_company_nor_a_second_class():
    usage = Usage(("games", "mean_pick"), USAGE, SCORE, np.ones(CARDS, dtype=bool))
    together = Company(("Cog", "Wick"), FACTIONS, 0.11)

    small = prior_for(usage, together, FEWEST_CARDS - 1)
    large = prior_for(usage, together, FEWEST_CARDS)

    assert (small.size, large.size) == (2, 10)
    assert not small.score.any()
    assert large.score is SCORE
    assert small.faction_sd == large.faction_sd == 0.11


def test_a_small_pool_may_differ_by_all_that_usage_and_factions_would_explain():
    # Twice as many log-odds between cards cost far less in a pool that explains none of them.
    narrow, wide = (np.array([[0.0, np.log(spread)]]) for spread in (0.1, 0.25))

    cost = (PLAIN.log_density(narrow) - PLAIN.log_density(wide) + np.log(2.5)).item()

    assert cost == pytest.approx(0.5 * (0.25**2 - 0.1**2) / 0.25**2)
    assert (PLAIN.spread_scale, FULL.spread_scale) == (0.25, 0.15)
