"""Plain shrinkage of shares."""

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import minimize

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.records.beta_binomial import BetaBinomial, beta_binomial

SUCCESSES = np.array([2, 8, 5, 9, 1, 30, 0, 4])
TRIES = np.array([10, 10, 10, 10, 10, 90, 3, 4])


def test_is_at_the_top_that_a_general_search_finds():
    def loss(x):
        a, b = np.exp(x)
        return -stats.betabinom.logpmf(SUCCESSES, TRIES, a, b).sum()

    best = minimize(loss, [0.0, 0.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 0})
    a, b = np.exp(best.x)

    found = beta_binomial(SUCCESSES, TRIES)

    assert found.mean == pytest.approx(a / (a + b), abs=1e-6)
    assert found.concentration == pytest.approx(a + b, rel=1e-5)


def test_the_log_likelihood_is_that_of_the_counts_in_one_order():
    fit = beta_binomial(SUCCESSES, TRIES)
    a, b = fit.concentration * fit.mean, fit.concentration * (1 - fit.mean)

    ways = stats.binom.logpmf(SUCCESSES, TRIES, 0.5) - TRIES * np.log(0.5)
    expected = (stats.betabinom.logpmf(SUCCESSES, TRIES, a, b) - ways).sum()

    assert fit.log_likelihood == pytest.approx(expected, abs=1e-9)


def test_finds_the_distribution_that_rates_were_drawn_from():
    rng = np.random.default_rng(5)
    tries = rng.integers(20, 200, size=4000)
    rates = rng.beta(12, 28, size=4000)

    found = beta_binomial(rng.binomial(tries, rates), tries)

    assert found.mean == pytest.approx(0.3, abs=0.005)
    assert found.concentration == pytest.approx(40, rel=0.1)


def test_items_without_tries_change_nothing():
    fit = beta_binomial(SUCCESSES, TRIES)

    padded = beta_binomial([*SUCCESSES, 0, 0], [*TRIES, 0, 0])

    assert padded.mean == pytest.approx(fit.mean, abs=1e-7)
    assert padded.concentration == pytest.approx(fit.concentration, rel=1e-6)
    assert padded.posterior_mean([0], [0]) == pytest.approx([fit.mean], abs=1e-7)


def test_successes_and_failures_mirror_each_other():
    fit, mirrored = beta_binomial(SUCCESSES, TRIES), beta_binomial(TRIES - SUCCESSES, TRIES)

    assert mirrored.mean == pytest.approx(1 - fit.mean, abs=1e-6)
    assert mirrored.concentration == pytest.approx(fit.concentration, rel=1e-5)


def test_posterior_is_the_conjugate_one():
    fit = BetaBinomial(mean=0.4, concentration=10, log_likelihood=0)

    after = stats.beta(4 + 3, 6 + 9)

    assert fit.posterior_mean([3], [12]) == pytest.approx([after.mean()])
    assert fit.chance_below(0.35, [3], [12]) == pytest.approx([after.cdf(0.35)])


def test_counts_that_vary_less_than_chance_share_one_rate():
    fit = beta_binomial([5, 5, 10], [10, 10, 20])

    assert np.isinf(fit.concentration)
    assert fit.mean == 0.5
    assert fit.log_likelihood == pytest.approx(40 * np.log(0.5))
    assert fit.posterior_mean([5, 0], [10, 500]) == pytest.approx([0.5, 0.5])
    assert fit.chance_below(0.49, [5], [10]) == pytest.approx([0], abs=1e-6)
    assert fit.chance_below(0.51, [5], [10]) == pytest.approx([1], abs=1e-6)


def test_counts_that_vary_just_more_than_chance_have_a_finite_spread():
    # Twenty tries at one half have variance 5: squares about 10 of 4 and 9 straddle it.
    agreeing, varying = beta_binomial([8, 12], [20, 20]), beta_binomial([7, 13], [20, 20])

    assert np.isinf(agreeing.concentration)
    assert varying.concentration < 100


@pytest.mark.parametrize(
    ("successes", "tries"), [([3], [2]), ([-1], [2]), ([1], [np.inf]), ([np.nan], [2])]
)
def test_refuses_impossible_counts(successes, tries):
    with pytest.raises(CountError, match="0 <= successes <= tries"):
        beta_binomial(successes, tries)


@pytest.mark.parametrize(
    ("successes", "tries", "got"),
    [([0, 0], [4, 5], "0 of 9"), ([4, 5], [4, 5], "9 of 9"), ([0], [0], "0 of 0")],
)
def test_says_so_if_all_failed_or_none(successes, tries, got):
    with pytest.raises(FitError, match=f"needs successes and failures, got {got}"):
        beta_binomial(successes, tries)


def test_a_trace_of_variation_beyond_chance_is_a_spread():
    # Squares of 5.04 about 10 where chance has 5: Tarone's score is 0.3 above nothing.
    trace = beta_binomial([10 - 5.04**0.5, 10 + 5.04**0.5], [20, 20])

    assert 100 < trace.concentration < np.inf
