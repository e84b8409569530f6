"""Ranks with their uncertainty."""

import numpy as np
import pytest
from scipy import stats
from scipy.integrate import quad

from winrate_tools.errors import LevelError
from winrate_tools.stats.cards.ranks import places, ranks

MEANS, SDS = np.array([-0.3, 0.0, 0.2]), np.array([0.2, 0.5, 0.3])


def chance_of_rank(item: int, rank: int) -> float:
    """Exact chance that one of three independent normals comes first, second or third."""
    others = [other for other in range(3) if other != item]

    def density(x: float) -> float:
        below = [float(stats.norm.cdf(x, MEANS[o], SDS[o])) for o in others]
        ways = {
            1: (1 - below[0]) * (1 - below[1]),
            2: below[0] * (1 - below[1]) + below[1] * (1 - below[0]),
            3: below[0] * below[1],
        }
        return float(stats.norm.pdf(x, MEANS[item], SDS[item])) * ways[rank]

    return quad(density, -4, 4, epsabs=1e-9, points=[MEANS[item]])[0]


def test_a_few_draws_by_hand():
    draws = np.array([
        [0.1, 0.5, 0.3, 0.9],
        [0.4, 0.2, 0.3, 0.8],
        [0.1, 0.6, 0.7, 0.2],
        [0.3, 0.1, 0.2, 0.4],
    ])  # fmt: skip

    found = ranks(draws, worst=2, level=0.5)

    # The ranks are 1 3 2 4 / 3 1 2 4 / 1 3 4 2 / 3 1 2 4.
    assert found.chance_worst.tolist() == [0.5, 0.5, 0.75, 0.25]
    assert found.low.tolist() == [1, 1, 2, 2]
    assert found.high.tolist() == [3, 3, 2, 4]


@pytest.mark.parametrize("worst", [1, 2])
def test_chances_are_those_of_three_normals(worst: int):
    draws = np.random.default_rng(3).normal(MEANS, SDS, size=(100_000, 3))

    found = ranks(draws, worst=worst)

    exact = [sum(chance_of_rank(i, rank + 1) for rank in range(worst)) for i in range(3)]
    assert found.chance_worst == pytest.approx(exact, abs=0.006)


@pytest.mark.parametrize("level", [0.5, 0.8, 0.95])
def test_the_range_holds_what_it_says_and_no_more_than_it_must(level: float):
    draws = np.random.default_rng(5).normal(np.linspace(0, 3, 40), 1.0, size=(4000, 40))
    order = np.argsort(np.argsort(draws, axis=1), axis=1) + 1

    found = ranks(draws, worst=5, level=level)

    tail = (1 - level) / 2
    assert np.all((order >= found.low).mean(axis=0) >= 1 - tail - 1e-12)
    assert np.all((order <= found.high).mean(axis=0) >= 1 - tail - 1e-12)
    assert np.all((order <= found.low).mean(axis=0) >= tail - 1e-12)
    assert np.all((order < found.high).mean(axis=0) < 1 - tail)


def test_chances_sum_to_the_length_of_the_list():
    draws = np.random.default_rng(1).standard_normal((500, 12))

    assert ranks(draws, worst=4).chance_worst.sum() == pytest.approx(4)
    assert ranks(draws, worst=12).chance_worst == pytest.approx(np.ones(12))


def test_one_item_has_one_rank():
    found = ranks(np.zeros((10, 1)), worst=20)

    assert (found.low[0], found.high[0], found.chance_worst[0]) == (1, 1, 1)


def test_the_order_of_the_draws_does_not_matter():
    rng = np.random.default_rng(2)
    draws = rng.standard_normal((300, 6))

    plain, shuffled = ranks(draws, worst=2), ranks(rng.permutation(draws), worst=2)

    assert all(np.array_equal(a, b) for a, b in zip(plain, shuffled, strict=True))


@pytest.mark.parametrize("items", [2, 7, 8, 9, 300])
def test_places_are_those_of_a_stable_sort(items: int):
    rng = np.random.default_rng(items)
    draws = rng.standard_normal((50, items)) * 10.0 ** rng.integers(-9, 9, items)
    draws[:10] = rng.integers(-2, 2, (10, items))
    draws[10:20, 0] = -0.0
    draws[10:20, 1] = 0.0

    found = places(draws)

    order = np.argsort(draws, axis=1, kind="stable")
    assert np.array_equal(found.T, np.argsort(order, axis=1))
    assert found.dtype.itemsize == (1 if items < 256 else 2)


def test_places_leave_the_draws_as_they_are():
    draws = np.random.default_rng(3).standard_normal((4, 5))
    before = draws.copy()

    places(draws)

    assert np.array_equal(draws, before)


@pytest.mark.parametrize("level", [0, 1, 1.5, float("nan")])
def test_refuses_a_level_outside_zero_to_one(level: float):
    with pytest.raises(LevelError, match="strictly between 0 and 1, got"):
        ranks(np.zeros((2, 2)), worst=1, level=level)


def test_places_that_are_known_are_used_and_left_alone():
    draws = np.random.default_rng(9).standard_normal((40, 6))
    known = places(draws)

    for found, wanted in zip(
        ranks(draws, worst=2, place=known), ranks(draws, worst=2), strict=True
    ):
        assert np.array_equal(found, wanted)
    assert np.array_equal(known, places(draws))
    assert ranks(draws, worst=2, place=np.zeros_like(known)).high.tolist() == [1] * 6
