"""Climbing to the top of a density."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.errors import FitError
from winrate_tools.stats.cards.newton import peak

MATRIX = np.array([[3.0, 1.0, 0.2], [1.0, 2.0, -0.5], [0.2, -0.5, 1.0]])
TOP = np.array([0.4, -1.5, 2.0])


def test_a_normal_density_gives_its_mean_and_precision():
    def log_density(x):
        return 7 - 0.5 * np.einsum("hi,ij,hj->h", x - TOP, MATRIX, x - TOP)

    found = peak(log_density, lambda x: -(x - TOP) @ MATRIX, np.zeros(3))

    assert found.point == pytest.approx(TOP, abs=1e-6)
    assert found.height == pytest.approx(7, abs=1e-10)
    assert found.information == pytest.approx(MATRIX, abs=1e-6)


def test_a_known_block_of_the_hessian_is_taken_for_it():
    def log_density(x):
        return -0.5 * np.einsum("hi,ij,hj->h", x - TOP, MATRIX, x - TOP)

    seen = []

    def gradient(x):
        seen.append(len(x))
        return -(x - TOP) @ MATRIX

    found = peak(log_density, gradient, np.zeros(3), block=lambda x: MATRIX[:2, :2])

    assert found.point == pytest.approx(TOP, abs=1e-6)
    assert found.information == pytest.approx(MATRIX, abs=1e-6)
    assert set(seen) == {3}  # the point, and both sides of it along the third coordinate


@given(st.floats(-3, 3), st.floats(-3, 3))
def test_follows_a_bent_ridge_from_anywhere(x, y):
    # Rosenbrock's valley turned over, with its top at (1, 1).
    def log_density(p):
        return -((1 - p[:, 0]) ** 2) - 5 * (p[:, 1] - p[:, 0] ** 2) ** 2

    def gradient(p):
        bend = p[:, 1] - p[:, 0] ** 2
        return np.array([2 * (1 - p[:, 0]) + 20 * p[:, 0] * bend, -10 * bend]).T

    found = peak(log_density, gradient, np.array([x, y]))

    assert found.point == pytest.approx([1, 1], abs=1e-4)
    assert found.height == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("start", "side"), [(0.02, 1.0), (-0.02, -1.0)])
def test_leaves_a_saddle_uphill(start, side):
    # Two tops, at x = 1 and x = -1, with a saddle at 0 between them.
    def log_density(p):
        return -((p[:, 0] ** 2 - 1) ** 2) - p[:, 1] ** 2

    def gradient(p):
        return np.array([-4 * p[:, 0] * (p[:, 0] ** 2 - 1), -2 * p[:, 1]]).T

    found = peak(log_density, gradient, np.array([start, 0.7]))

    assert found.point == pytest.approx([side, 0], abs=1e-5)
    assert found.information == pytest.approx(np.diag([8.0, 2.0]), abs=1e-3)


def test_starts_from_where_the_density_bends_outwards():
    # The Cauchy density is log-convex beyond 1.
    found = peak(
        lambda x: -np.log1p(x[:, 0] ** 2), lambda x: -2 * x / (1 + x**2), np.array([30.0])
    )

    assert found.point == pytest.approx([0], abs=1e-5)


def test_climbs_the_hill_it_stands_on():
    # A quarter turn from its top a cosine hardly bends: a whole step would end hills away.
    found = peak(lambda x: np.cos(x[:, 0]), lambda x: -np.sin(x), np.array([np.pi / 2 - 1e-3]))

    assert found.point == pytest.approx([0], abs=1e-5)


def test_stays_where_the_density_exists():
    # log x - x, not a number at 0 and below; a whole step from 3 would land there.
    def log_density(x):
        inside = x[:, 0] > 0
        return np.where(inside, np.log(np.where(inside, x[:, 0], 1)) - 5 * x[:, 0], np.nan)

    found = peak(log_density, lambda x: 1 / x - 5, np.array([0.9]))

    assert found.point == pytest.approx([0.2], abs=1e-6)


def test_information_is_positive_definite_on_a_ridge_without_end():
    found = peak(
        lambda x: -((x[:, 0] + x[:, 1] - 1) ** 2),
        lambda x: -2 * (x.sum(axis=1, keepdims=True) - 1) * np.ones(2),
        np.array([3.0, 0.0]),
    )

    assert found.point.sum() == pytest.approx(1, abs=1e-5)
    assert np.linalg.eigvalsh(found.information).min() > 0


def test_says_so_if_there_is_no_top():
    with pytest.raises(FitError, match=r"^the fit did not settle in 200 steps$"):
        peak(lambda x: x.sum(axis=1), np.ones_like, np.zeros(2))
