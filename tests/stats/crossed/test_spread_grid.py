"""The grid over the spread of few groups."""

import numpy as np
import pytest

from winrate_tools.stats.crossed.blocks import laid_out
from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.climb import Summit, at, base, climbed
from winrate_tools.stats.crossed.spread_grid import spread_grid

RNG = np.random.default_rng(8)
CARD, GROUP = (axis.ravel() for axis in np.indices((20, 6)))
GAMES = np.full(CARD.size, 30.0)
ONES = np.ones((CARD.size, 1))
FREE = np.array([True, True, False])


def best_fit(spread: float) -> Summit:
    effect = (0.3 * RNG.normal(size=20))[CARD] + spread * np.linspace(-1.3, 1.3, 6)[GROUP]
    wins = RNG.binomial(30, 1 / (1 + np.exp(-effect))).astype(float)
    return climbed(base(laid_out(Cells(wins, GAMES, CARD, ONES, GROUP)), FREE), FREE)


def brute_force(summit: Summit, scale: float) -> tuple[float, float]:
    """Mean and mean square of the groups' spread by a fine midpoint rule."""
    spreads = np.arange(0.005, 3 * scale, 0.01)
    density = []
    stand = summit.stand
    for spread in spreads:
        there = at(stand, stand.look.point.fixed, np.array([stand.spreads[0], spread, 0]))
        stand = climbed(there, np.array([True, False, False])).stand
        integrated = np.log(np.linalg.det(stand.look.fixed_information))
        density.append(stand.look.height - 0.5 * integrated - 0.5 * (spread / scale) ** 2)
    weights = np.exp(np.array(density) - max(density))
    weights /= weights.sum()
    return weights @ spreads, weights @ spreads**2


@pytest.mark.parametrize(("spread", "scale"), [(0.4, 0.5), (0.1, 0.3), (0.0, 0.3)])
def test_few_points_integrate_as_well_as_many(spread: float, scale: float):
    summit = best_fit(spread)

    grid = spread_grid(summit, FREE, scale)

    groups = grid.spreads[:, 1]
    mean, mean_square = brute_force(summit, scale)
    assert grid.weights @ groups**2 == pytest.approx(mean_square, rel=1e-3)
    assert grid.weights @ groups == pytest.approx(mean, rel=0.03)
    assert len(groups) < 40


def test_points_are_equally_far_apart_and_weights_sum_to_one():
    grid = spread_grid(best_fit(0.2), FREE, 0.3)

    steps = np.diff(grid.spreads[:, 1])
    assert steps == pytest.approx(steps[0])
    assert steps[0] > 0
    assert grid.weights.sum() == pytest.approx(1)
    assert grid.weights.min() < 1e-4 < grid.weights.max()


def test_where_no_spread_is_best_the_doubt_remains():
    even = Cells(GAMES / 2, GAMES, CARD, ONES, GROUP)
    summit = climbed(base(laid_out(even), FREE), FREE)

    grid = spread_grid(summit, FREE, 0.3)

    assert summit.stand.spreads[1] == 0
    assert grid.spreads[0, 1] == 0
    assert 0.02 < grid.weights @ grid.spreads[:, 1] < 0.3


def test_a_tighter_prior_draws_the_spread_in():
    summit = best_fit(0.5)

    means = [
        grid.weights @ grid.spreads[:, 1]
        for grid in (spread_grid(summit, FREE, scale) for scale in (0.05, 0.3, 3.0))
    ]

    assert means[0] < means[1] < means[2]
    assert means[0] < 0.25
