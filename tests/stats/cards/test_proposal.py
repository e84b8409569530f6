"""Where hyperparameters are looked for."""

import numpy as np
import pytest

from winrate_tools.stats.cards.newton import Peak
from winrate_tools.stats.cards.proposal import SPREAD_GRID, WIDER, Proposal, SpreadPath

COVARIANCE = np.array([[0.04, 0.01, 0.0], [0.01, 0.09, -0.02], [0.0, -0.02, 0.25]])
PRECISION = np.linalg.inv(COVARIANCE)


def path(centre: float = -2.0, at: int = 1) -> SpreadPath:
    """A path through a normal density."""
    point = np.array([0.3, 0.5, -0.4])
    point[at] = centre

    def log_density(hyper):
        off = hyper - point
        return -0.5 * ((off @ PRECISION) * off).sum(axis=1)

    return SpreadPath.through(Peak(point, 0.0, PRECISION), at, log_density)


@pytest.mark.parametrize("at", [0, 1, 2])
def test_draws_from_a_normal_density_have_its_moments(at: int):
    one = path(at=at)

    hyper = one.sample(np.random.default_rng(1), 20_000)

    inner = np.delete(np.delete(PRECISION, at, 0), at, 1)
    rest = np.delete(np.arange(3), at)
    slope = -np.linalg.solve(inner, PRECISION[rest, at])
    wanted = COVARIANCE.copy()
    wanted[np.ix_(rest, rest)] += (WIDER - 1) * np.linalg.inv(inner)
    assert hyper.mean(axis=0) == pytest.approx(one.mode, abs=0.02)
    assert np.cov(hyper.T) == pytest.approx(wanted, abs=0.006)
    assert one.slope[rest] == pytest.approx(slope)
    assert one.slope[at] == 1


def test_the_density_is_that_of_the_draws():
    # The mean of one density over another, under draws from the other, is 1.
    one, other = path(-2.0), path(-2.2)
    both = Proposal([one, other], [0.7, 0.3])

    hyper, log_density = both.sample(np.random.default_rng(1), 40_000)

    assert hyper.shape == (40_000, 3)
    for part in (one, other):
        ratio = np.exp(part.log_density(hyper) - log_density)
        assert ratio.mean() == pytest.approx(1, abs=0.01)
    assert log_density == pytest.approx(both.log_density(hyper))


def test_the_log_spread_stays_on_its_grid_and_follows_its_curve():
    hyper = path(-1.0).sample(np.random.default_rng(1), 5000)[:, 1]

    assert hyper.min() >= SPREAD_GRID[0]
    assert hyper.max() <= SPREAD_GRID[-1]
    assert hyper.std() == pytest.approx(0.3, rel=0.03)
    assert np.median(hyper) == pytest.approx(-1.0, abs=0.02)


def test_points_off_the_grid_have_a_density_too():
    outside = np.array([[0.3, SPREAD_GRID[0] - 1, -0.4], [0.3, SPREAD_GRID[-1] + 1, -0.4]])

    assert np.isfinite(path().log_density(outside)).all()


def test_shares_are_kept_to_a_draw():
    both = Proposal([path(-4.5), path(-0.5)], [0.9, 0.1])

    hyper, _ = both.sample(np.random.default_rng(1), 1000)

    assert np.count_nonzero(hyper[:, 1] > -2.5) == 100


def test_the_same_stream_gives_the_same_draws():
    first, again, other = (path().sample(np.random.default_rng(seed), 50) for seed in (1, 1, 2))

    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)
