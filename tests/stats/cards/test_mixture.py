"""Mixtures of normals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from scipy import stats

from winrate_tools.errors import LevelError
from winrate_tools.stats.cards import mixture as module
from winrate_tools.stats.cards.mixture import NormalMixture

LEVELS = [0.001, 0.1, 0.5, 0.9, 0.999]


def mixture(weight, mean, sd) -> NormalMixture:
    weight = np.asarray(weight, dtype=float)
    return NormalMixture(weight / weight.sum(axis=0), np.asarray(mean), np.asarray(sd))


TWO = mixture([[1, 3], [3, 1]], [[-1.0, 0.0], [0.5, 2.0]], [[0.3, 1.0], [0.7, 0.1]])

shape = (3, 2)
mixtures = st.builds(
    mixture,
    arrays(float, shape, elements=st.floats(0.01, 1)),
    arrays(float, shape, elements=st.floats(-3, 3)),
    arrays(float, shape, elements=st.floats(0.01, 2)),
)


@given(mixtures, st.floats(1e-4, 1 - 1e-4))
def test_quantile_undoes_below(mixed, level):
    assert mixed.below(mixed.quantile(level)) == pytest.approx([level, level], abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("level", LEVELS)
def test_items_that_are_there_wait_for_the_others(monkeypatch, seed, level):
    rng, steps = np.random.default_rng(seed), []
    many = mixture(
        rng.uniform(0, 1, (30, 100)),
        rng.normal(0, 0.1, (30, 100)),
        rng.uniform(0.01, 0.05, (30, 100)),
    )
    monkeypatch.setattr(module, "ndtr", lambda z: steps.append(z) or stats.norm.cdf(z))
    found = many.quantile(level)

    assert 2 <= len(steps) <= 20
    assert many.below(found) == pytest.approx(np.full(100, level), rel=1e-10)


@given(mixtures, st.floats(0.01, 0.5), st.floats(0.51, 0.99))
def test_quantiles_rise_with_their_level(mixed, low, high):
    assert np.all(mixed.quantile(low) < mixed.quantile(high))


@pytest.mark.parametrize("level", LEVELS)
def test_one_component_is_a_normal(level):
    one = mixture([[1.0]], [[0.3]], [[0.2]])
    normal = stats.norm(0.3, 0.2)

    assert one.quantile(level) == pytest.approx([normal.ppf(level)], abs=1e-10)
    assert one.below(normal.ppf(level)) == pytest.approx([level], abs=1e-12)
    assert (one.centre[0], one.scale[0]) == pytest.approx((0.3, 0.2))


@pytest.mark.parametrize("item", [0, 1])
def test_centre_and_scale_are_the_moments_of_the_density(item):
    x = np.linspace(-12, 12, 200_001)
    density = (
        stats.norm.pdf(x[:, None], TWO.mean[:, item], TWO.sd[:, item]) @ TWO.weight[:, item]
    )
    centre = np.trapezoid(x * density, x)

    assert TWO.centre[item] == pytest.approx(centre, abs=1e-9)
    assert TWO.scale[item] ** 2 == pytest.approx(np.trapezoid((x - centre) ** 2 * density, x))


def test_centre_scale_and_quantiles_agree_with_draws():
    rng = np.random.default_rng(1)
    second = rng.random(200_000) < TWO.weight[1, 0]
    draws = rng.normal(TWO.mean[second.astype(int), 0], TWO.sd[second.astype(int), 0])

    assert TWO.centre[0] == pytest.approx(draws.mean(), abs=0.01)
    assert TWO.scale[0] == pytest.approx(draws.std(), abs=0.01)
    assert TWO.quantile(0.1)[0] == pytest.approx(np.quantile(draws, 0.1), abs=0.01)


def test_the_point_may_differ_by_item():
    chance = TWO.below(np.array([-1.0, 2.0]))

    assert chance[0] == TWO.below(-1.0)[0]
    assert chance[1] == TWO.below(2.0)[1]


def test_far_components_leave_a_gap_that_quantiles_cross():
    apart = mixture([[1.0], [1.0]], [[-100.0], [100.0]], [[1e-3], [1e-3]])

    assert apart.quantile(0.25)[0] == pytest.approx(-100, abs=1e-6)
    assert apart.quantile(0.75)[0] == pytest.approx(100, abs=1e-6)


def test_below_never_exceeds_1():
    # Weights may add up to a rounding error above 1.
    many = NormalMixture(
        np.full((2, 1), np.nextafter(0.5, 1)), np.zeros((2, 1)), np.ones((2, 1))
    )

    assert many.weight.sum() > 1
    assert many.below(99.0)[0] == 1


@pytest.mark.parametrize("level", [0, 1, -0.1, 95, float("nan")])
def test_refuses_a_level_outside_zero_to_one(level):
    with pytest.raises(LevelError, match="strictly between 0 and 1, got"):
        TWO.quantile(level)


def seen_by_integration(seen: float, variance: float, item: int) -> tuple[np.ndarray, ...]:
    """Posterior density of one item of TWO on a grid, by Bayes' rule."""
    x = np.linspace(-12, 12, 200_001)
    prior = stats.norm.pdf(x[:, None], TWO.mean[:, item], TWO.sd[:, item])
    density = prior @ TWO.weight[:, item] * stats.norm.pdf(seen, x, np.sqrt(variance))
    return x, density / np.trapezoid(density, x)


@pytest.mark.parametrize("item", [0, 1])
@pytest.mark.parametrize(("seen", "variance"), [(0.3, 0.04), (-2.0, 1.0), (1.5, 1e-3)])
def test_an_observation_updates_by_bayes_rule(seen: float, variance: float, item: int):
    x, density = seen_by_integration(seen, variance, item)

    found = TWO.given(np.full(2, seen), np.full(2, variance))

    centre = np.trapezoid(x * density, x)
    scale = np.sqrt(np.trapezoid((x - centre) ** 2 * density, x))
    below = np.interp(centre + scale, x, np.cumsum(density) * (x[1] - x[0]))
    assert found.centre[item] == pytest.approx(centre, abs=1e-9)
    assert found.scale[item] == pytest.approx(scale, rel=1e-7)
    assert found.below(centre + scale)[item] == pytest.approx(below, abs=2e-3)
    assert found.weight.sum(axis=0) == pytest.approx([1, 1])


def test_where_nothing_was_seen_nothing_changes():
    found = TWO.given(np.array([0.3, np.nan]), np.array([0.04, np.nan]))

    for name in ("weight", "mean", "sd"):
        assert getattr(found, name)[:, 1] == pytest.approx(getattr(TWO, name)[:, 1])
        assert getattr(found, name)[:, 0] != pytest.approx(getattr(TWO, name)[:, 0])


def test_two_observations_are_as_good_as_one_of_half_the_variance():
    once = TWO.given(np.full(2, 0.4), np.full(2, 0.05))

    twice = TWO.given(np.full(2, 0.4), np.full(2, 0.1)).given(np.full(2, 0.4), np.full(2, 0.1))

    assert twice.mean == pytest.approx(once.mean)
    assert twice.sd == pytest.approx(once.sd)
    assert twice.weight == pytest.approx(once.weight)


def test_a_component_without_weight_stays_without():
    one = mixture([[1.0], [0.0]], [[0.0], [5.0]], [[1.0], [1.0]])

    found = one.given(np.array([5.0]), np.array([0.01]))

    assert found.weight.tolist() == [[1.0], [0.0]]


def test_an_observation_beyond_all_reason_stays_finite():
    found = TWO.given(np.full(2, 1e4), np.full(2, 1e-6))

    assert np.isfinite([found.centre, found.scale]).all()
    assert found.centre == pytest.approx([1e4, 1e4], rel=1e-3)


def test_no_item_has_no_quantiles():
    none = mixture(np.ones((1, 0)), np.ones((1, 0)), np.ones((1, 0)))

    assert none.quantile(0.1).shape == (0,)


def test_the_slope_of_below_is_the_density():
    points = np.linspace(-3, 3, 61)[:, None]
    parts = stats.norm.pdf(points[:, None], TWO.mean, TWO.sd) * TWO.weight

    found = np.array([TWO._density(point) for point in points])

    assert found == pytest.approx(parts.sum(axis=1))
