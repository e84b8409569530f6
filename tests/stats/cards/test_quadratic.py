"""Counts as near normal evidence."""

from functools import partial

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import expit

from winrate_tools.stats.cards.hyperparameters import _gradient, cards_given
from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.cards.prior import Prior
from winrate_tools.stats.cards.quadratic import Quadratic

ONE = Quadratic(np.array([0.1]), np.array([3.0]), np.array([40.0]))


def pool(cards: int = 30, *, second: bool = True, games: int = 3000) -> tuple[Evidence, Prior]:
    rng = np.random.default_rng(2)
    usage = rng.standard_normal((cards, 2))
    prior = Prior(
        usage,
        np.eye(2)[np.arange(cards) % 2],
        0.08,
        usage.mean(axis=1),
        has_second_class=second,
    )
    wins = rng.binomial(games, expit(0.2 + 0.1 * rng.standard_normal(cards))).astype(float)
    return Evidence(wins, np.full(cards, float(games)), np.full(cards, 0.2)), prior


def test_integrals_are_those_of_the_quadratic():
    mean, sd = 0.3, 0.2

    def integrand(t: float, power: int) -> float:
        height = 3.0 * (t - 0.1) - 20.0 * (t - 0.1) ** 2 - 0.5 * ((t - mean) / sd) ** 2
        return t**power * np.exp(height) / (sd * np.sqrt(2 * np.pi))

    total, first, second = (
        quad(integrand, -2, 2, args=(k,), epsabs=1e-12)[0] for k in range(3)
    )

    found = ONE.posterior(np.array([mean]), np.array([sd]))
    assert found.log_marginal == pytest.approx([np.log(total)])
    assert found.mean == pytest.approx([first / total])
    assert found.sd == pytest.approx([np.sqrt(second / total - (first / total) ** 2)])


def test_it_has_the_slope_and_bend_of_the_log_likelihood():
    evidence = Evidence(np.array([60.0]), np.array([100.0]), np.array([0.1]))
    about, step = np.array([0.5]), 1e-4

    def height(t: float) -> float:
        return float(60 * (0.1 + t) - 100 * np.log1p(np.exp(0.1 + t)))

    found = Quadratic.near(evidence, about)
    up, here, down = height(0.5 + step), height(0.5), height(0.5 - step)
    assert found.slope == pytest.approx([(up - down) / (2 * step)], rel=1e-5)
    assert found.curvature >= -(up - 2 * here + down) / step**2 - 1e-4
    assert found.curvature == pytest.approx([22.9], rel=0.06)


def test_a_card_that_never_won_although_it_should_have_still_has_a_top():
    evidence = Evidence(np.zeros(1), np.array([10.0]), np.array([20.0]))

    found = Quadratic.near(evidence, np.zeros(1))

    assert found.slope == pytest.approx([-10], rel=1e-6)
    assert found.slope / found.curvature == pytest.approx([np.log(0.5 / 10.5) - 20], rel=0.06)


def test_no_games_say_nothing():
    found = Quadratic.near(Evidence(*np.zeros((3, 2))), np.array([0.0, 0.4]))

    known = found.posterior(np.array([0.1, 0.2]), np.array([0.3, 0.3]))
    assert known.log_marginal == pytest.approx([0, 0])
    assert known.mean == pytest.approx([0.1, 0.2])
    assert known.sd == pytest.approx([0.3, 0.3])


@pytest.mark.parametrize("second", [False, True])
def test_the_log_posterior_differs_from_the_exact_one_by_a_constant(second: bool):
    evidence, prior = pool(second=second)
    start = prior.start()
    cards = cards_given(evidence, prior, start[None])
    quick = Quadratic.near(evidence, (cards.share * cards.mean).sum(axis=0)[0])
    hyper = start + 0.1 * np.random.default_rng(3).standard_normal((40, prior.size))

    exact = cards_given(evidence, prior, hyper).log_likelihood + prior.log_density(hyper)

    assert np.std(quick.log_posterior(prior, hyper) - exact) < 0.05
    assert np.std(exact) > 1


@pytest.mark.parametrize("second", [False, True])
def test_the_log_posterior_has_the_slope_of_the_integrals(second: bool):
    evidence, prior = pool(second=second)
    quick = Quadratic.near(evidence, np.zeros(30))
    hyper, step = prior.start() + 0.05, 1e-5

    slopes = [
        np.diff(quick.log_posterior(prior, np.array([hyper - shift, hyper + shift])))[0]
        for shift in step * np.eye(prior.size)
    ]

    found = _gradient(quick.posterior, prior, hyper[None])[0]
    assert found == pytest.approx(np.array(slopes) / (2 * step), rel=1e-4, abs=1e-3)


@pytest.mark.parametrize("second", [False, True])
def test_looks_bend_as_the_integrals_do(second: bool):
    """Slope and bend of each class in its mean, beside differences of the log marginal."""
    evidence, prior = pool(second=second)
    quick = Quadratic.near(evidence, np.zeros(30))
    hyper, step = prior.start()[None] + 0.05, 1e-4
    classes = prior.classes(hyper)

    found = quick.looks(prior, hyper)

    low, here, high = (
        quick.posterior(classes.mean + shift, classes.sd).log_marginal
        for shift in (-step, 0, step)
    )
    assert found.slope == pytest.approx((high - low) / (2 * step), rel=1e-5)
    assert found.precision == pytest.approx(-(high - 2 * here + low) / step**2, rel=1e-3)
    joint = classes.log_share + here
    share = np.exp(joint - np.logaddexp.reduce(joint, axis=0))
    assert found.share == pytest.approx(share)


def test_a_class_far_off_overflows_nothing():
    evidence, prior = pool(games=1_000_000)
    quick = Quadratic.near(evidence, np.zeros(30))
    hyper = prior.start()
    hyper[prior.spread_at] = np.log(0.003)

    assert np.isfinite(quick.log_posterior(prior, hyper[None])).all()


def test_posteriors_are_near_those_by_quadrature():
    evidence, _ = pool()
    exact = partial(posterior, evidence)(np.full(30, 0.05), np.full(30, 0.1))

    found = Quadratic.near(evidence, exact.mean).posterior(np.full(30, 0.05), np.full(30, 0.1))

    assert found.mean == pytest.approx(exact.mean, abs=5e-4)
    assert found.sd == pytest.approx(exact.sd, rel=5e-3)


def test_the_bend_on_the_way_to_the_top_is_that_of_its_two_ends():
    # Half a win and half a loss more give even a card that never won a likely place.
    evidence = Evidence(np.zeros(1), np.array([10.0]), np.array([2.0]))
    top = np.log(0.5 / 10.5)

    found = Quadratic.near(evidence, np.array([0.5]))

    way = 10 * (expit(top) - expit(2.5)) / (top - 2.5)
    assert way > 10 * expit(2.5) * expit(-2.5)
    assert found.curvature == pytest.approx([way], rel=1e-9)


def test_the_bend_at_a_likely_place_is_taken_where_it_is_the_greater():
    found = Quadratic.near(
        Evidence(np.array([90.0]), np.array([100.0]), np.zeros(1)), np.zeros(1)
    )

    assert found.curvature == pytest.approx([25.0], rel=1e-12)
