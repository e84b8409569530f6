"""Where the shape of the prior is looked for."""

import numpy as np
import pytest
from scipy import stats

from winrate_tools.stats.cards.proposal import (
    KEPT,
    WIDER,
    Proposal,
    log_determinant,
    stratified_normals,
)

COVARIANCE = np.array([[0.04, 0.01, 0.0], [0.01, 0.09, -0.02], [0.0, -0.02, 0.25]])
POINT = np.array([0.3, 0.5, -0.4])


def mixture(*, apart: float = 1.0, share: float = 0.7) -> Proposal:
    points = np.array([POINT, POINT + apart])
    return Proposal.about(
        np.array([share, 1 - share]), points, np.array([COVARIANCE, 2 * COVARIANCE])
    )


def test_draws_of_one_part_have_its_mean_and_its_wider_covariance():
    one = Proposal.about(np.ones(1), POINT[None], COVARIANCE[None])

    points = one.sample(np.random.default_rng(1), 20_000)

    assert points.mean(axis=0) == pytest.approx(POINT, abs=1e-6)
    assert np.cov(points.T) == pytest.approx(WIDER * COVARIANCE, abs=0.006)


def test_the_density_is_that_of_scipy_up_to_a_constant():
    both, points = mixture(), POINT + np.random.default_rng(2).standard_normal((40, 3))

    wanted = np.log(
        0.7 * stats.multivariate_normal(POINT, WIDER * COVARIANCE).pdf(points)
        + 0.3 * stats.multivariate_normal(POINT + 1, 2 * WIDER * COVARIANCE).pdf(points)
    )

    off = both.log_density(points) - wanted
    assert off == pytest.approx(np.full(40, 1.5 * np.log(2 * np.pi)))


def test_shares_are_kept_to_a_draw():
    points = mixture(apart=20.0, share=0.9).sample(np.random.default_rng(1), 1000)

    assert np.count_nonzero(points[:, 0] > 10) == 100


def test_a_part_moves_to_the_points_it_owns():
    rng = np.random.default_rng(3)
    here = POINT + 0.3 + rng.multivariate_normal(np.zeros(3), 0.5 * COVARIANCE, 4000)
    there = POINT + 20 + rng.multivariate_normal(np.zeros(3), 3 * COVARIANCE, 4000)
    weight = np.repeat([0.8, 0.2], 4000) / 4000

    found = mixture(apart=20.0).nearer(np.concatenate([here, there]), weight)

    # Beside its points' weight, each part keeps a little of where it was.
    total = np.array([[0.8], [0.2]]) + KEPT
    wanted = (np.array([[0.8], [0.2]]) * [here.mean(axis=0), there.mean(axis=0)]) / total
    wanted += KEPT * np.array([POINT, POINT + 20]) / total
    assert found.mean == pytest.approx(wanted, abs=1e-6)
    assert found.share == pytest.approx([0.7, 0.3])
    off = here - found.mean[0]
    moved = POINT - found.mean[0]
    square = 0.8 * off.T @ off / 4000 + KEPT * (COVARIANCE + np.outer(moved, moved))
    precision = found.root[0] @ found.root[0].T
    assert np.linalg.inv(precision) == pytest.approx(WIDER * square / total[0], abs=1e-6)


def test_points_that_both_parts_claim_are_shared_by_their_densities():
    both = mixture(apart=0.0)

    found = both.nearer(POINT[None] + 0.1, np.ones(1))

    narrow, wide = (
        share * stats.multivariate_normal(POINT, WIDER * scale * COVARIANCE).pdf(POINT + 0.1)
        for share, scale in ((0.7, 1), (0.3, 2))
    )
    owned = np.array([narrow, wide]) / (narrow + wide)
    assert found.mean[:, 0] == pytest.approx(0.3 + 0.1 * owned / (owned + KEPT))


def test_without_points_of_its_own_a_part_stays():
    far = POINT[None] + np.array([[100.0, 0, 0]])

    found = mixture(apart=100.0).nearer(far, np.ones(1))

    assert found.mean[0] == pytest.approx(POINT)
    assert np.linalg.inv(found.root[0] @ found.root[0].T) == pytest.approx(WIDER * COVARIANCE)


def test_the_same_stream_gives_the_same_draws():
    first, again, other = (
        mixture().sample(np.random.default_rng(seed), 50) for seed in (1, 1, 2)
    )

    assert np.array_equal(first, again)
    assert not np.array_equal(first, other)


def test_each_column_of_normals_has_one_number_in_each_even_step_of_chance():
    z = stratified_normals(np.random.default_rng(1), 50, 3)

    steps = (stats.norm.cdf(z) * 50).astype(int)
    assert np.sort(steps, axis=0).T.tolist() == [list(range(50))] * 3
    assert not np.array_equal(steps[:, 0], steps[:, 1])


def test_log_determinants_of_triangles_are_those_of_numpy():
    roots = np.linalg.cholesky(np.array([COVARIANCE, 2 * COVARIANCE]))

    assert log_determinant(roots) == pytest.approx(np.linalg.slogdet(roots)[1])


def test_a_lone_triangle_has_a_log_determinant_too():
    assert log_determinant(np.diag([2.0, 3.0])) == pytest.approx(np.log(6))
