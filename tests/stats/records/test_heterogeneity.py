"""How much estimates differ beyond their own uncertainty."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from winrate_tools.errors import CountError
from winrate_tools.stats.records.heterogeneity import OUTLIERS, paule_mandel, shrunk

numbers = st.floats(-5, 5)
pairs = st.lists(st.tuples(numbers, st.floats(0.01, 4)), min_size=1, max_size=12)


@given(pairs)
def test_the_squares_about_the_mean_sum_to_what_chance_expects(studies):
    y, v = np.array(studies).T

    found = paule_mandel(y, v)

    weight = 1 / (v + found.variance)
    mean = (weight * y).sum() / weight.sum()
    squares = (weight * (y - mean) ** 2).sum()
    assert found.mean == pytest.approx(mean, abs=1e-12)
    if found.variance == 0:
        assert squares <= len(y) - 1 + 1e-9
    else:
        assert squares == pytest.approx(len(y) - 1, abs=1e-6)


def test_equal_variances_leave_the_excess_of_the_plain_variance():
    y = np.array([0.3, -1.2, 0.8, 2.0, -0.5])

    found = paule_mandel(y, np.full(5, 0.4))

    assert found.variance == pytest.approx(y.var(ddof=1) - 0.4, abs=1e-12)
    assert found.mean == pytest.approx(y.mean())


def test_estimates_that_agree_do_not_differ():
    found = paule_mandel([0.1, 0.12, 0.09], [0.5, 0.1, 0.2])

    assert found.variance == 0
    assert found.mean == pytest.approx((0.2 + 1.2 + 0.45) / (2 + 10 + 5))


def test_one_estimate_is_its_own_mean():
    assert paule_mandel([0.7], [0.2]) == (0, pytest.approx(0.7))


@given(pairs, numbers, st.floats(0.1, 10))
def test_moves_and_stretches_with_the_estimates(studies, shift, stretch):
    y, v = np.array(studies).T

    plain = paule_mandel(y, v)
    moved = paule_mandel(shift + stretch * y, stretch**2 * v)

    assert moved.variance == pytest.approx(stretch**2 * plain.variance, rel=1e-6, abs=1e-7)
    assert moved.mean == pytest.approx(shift + stretch * plain.mean, rel=1e-6, abs=1e-6)


def test_finds_the_variance_that_estimates_were_drawn_with():
    rng = np.random.default_rng(3)
    v = rng.uniform(0.01, 0.2, size=20_000)

    found = paule_mandel(rng.normal(0.5, np.sqrt(0.09 + v)), v)

    assert found.variance == pytest.approx(0.09, abs=0.004)
    assert found.mean == pytest.approx(0.5, abs=0.01)


@pytest.mark.parametrize(("y", "v"), [([], []), ([1.0], [0.0]), ([1.0, 2.0], [1.0, -1.0])])
def test_refuses_estimates_without_a_variance(y, v):
    with pytest.raises(CountError, match="need variances above 0"):
        paule_mandel(y, v)


@pytest.mark.parametrize(("estimate", "variance"), [(0.1, 0.01), (-0.6, 0.02), (0.0, 0.3)])
def test_shrunk_effects_are_those_of_bayes_rule(estimate: float, variance: float):
    x = np.linspace(-4, 4, 40_001)
    prior = (1 - OUTLIERS) * stats.norm.pdf(x, 0, 0.1) + OUTLIERS * stats.norm.pdf(x, 0, 0.5)
    density = prior * stats.norm.pdf(estimate, x, np.sqrt(variance))
    density /= density.sum()

    found = shrunk(np.array([estimate]), np.array([variance]), 0.01, far=0.5)

    assert found.mean == pytest.approx([density @ x], abs=1e-9)
    assert found.variance == pytest.approx([density @ x**2 - (density @ x) ** 2], abs=1e-9)


def test_an_effect_that_nobody_saw_keeps_its_prior():
    found = shrunk(np.array([[0.0, 9.0]]), np.full((1, 2), np.inf), 0.01, far=0.5)

    assert found.mean.tolist() == [[0, 0]]
    assert found.variance == pytest.approx(np.full((1, 2), 0.9 * 0.01 + 0.1 * 0.25))


def test_what_stands_out_is_hardly_drawn_to_0_and_the_rest_nearly_all_the_way():
    found = shrunk(np.array([0.05, 1.0]), np.full(2, 0.01), 0.0, far=0.5)

    assert abs(found.mean[0]) < 0.005
    assert found.mean[1] == pytest.approx(1.0 * 0.25 / 0.26, rel=0.01)


def test_two_estimates_without_errors_differ_by_their_plain_variance():
    found = paule_mandel([0.0, 0.1], [1e-9, 1e-9])

    assert found.variance == pytest.approx(0.005, rel=1e-6)
