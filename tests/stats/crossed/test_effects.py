"""Posterior moments of crossed effects."""

import numpy as np
import pytest

from winrate_tools.stats.crossed.arrow import Variances
from winrate_tools.stats.crossed.blocks import laid_out
from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.effects import Effects, averaged, effects_at
from winrate_tools.stats.crossed.laplace import Look, Point, joint_step

RNG = np.random.default_rng(5)
CARD, GROUP = (axis.ravel() for axis in np.indices((4, 3)))
GAMES = RNG.integers(5, 30, CARD.size).astype(float)
WINS = RNG.binomial(GAMES.astype(int), 0.6).astype(float)
FIXED = np.column_stack([np.ones(CARD.size), RNG.normal(size=CARD.size)])
LAYOUT = laid_out(Cells(WINS, GAMES, CARD, FIXED, GROUP))
DESIGN = np.hstack([FIXED, np.eye(4)[CARD], np.eye(3)[GROUP], np.eye(12)])


def look_with(variances: Variances) -> Look:
    """Look from where coefficients and effects are both at their best."""
    look = Look(LAYOUT, Point(np.zeros(2), variances), np.zeros((4, 3)))
    for _ in range(20):
        fixed, dual = joint_step(look)
        look = Look(LAYOUT, Point(fixed, variances), dual)
    return look


@pytest.mark.parametrize("variances", [Variances(0.3, 0.2, 0.1), Variances(0.3, 0.2, 1e-14)])
def test_moments_are_those_of_the_whole_penalised_regression(variances: Variances):
    precision = np.repeat([0, *(1 / np.array(variances))], [2, 4, 3, 12])
    estimate = np.zeros(21)
    for _ in range(20):
        rate = 1 / (1 + np.exp(-DESIGN @ estimate))
        information = DESIGN.T * (GAMES * rate * (1 - rate)) @ DESIGN + np.diag(precision)
        slope = DESIGN.T @ (WINS - GAMES * rate) - precision * estimate
        estimate = estimate + np.linalg.solve(information, slope)
    covariance = np.linalg.inv(information)

    found = effects_at(look_with(variances), levels=3)

    fixed, card, group, cell = slice(0, 2), slice(2, 6), slice(6, 9), slice(9, 21)
    cells = covariance.diagonal()[cell].reshape(4, 3)
    assert found.fixed == pytest.approx(estimate[fixed], abs=1e-8)
    assert found.card_effect == pytest.approx(estimate[card], abs=1e-8)
    assert found.group_effect == pytest.approx(estimate[group], abs=1e-8)
    assert found.cell_effect.ravel() == pytest.approx(estimate[cell], abs=1e-8)
    assert found.fixed_covariance == pytest.approx(covariance[fixed, fixed])
    assert found.card_variance == pytest.approx(covariance.diagonal()[card])
    assert found.group_covariance == pytest.approx(covariance[group, group])
    assert found.cell_variance == pytest.approx(cells, abs=1e-13)
    assert found.card_group_covariance == pytest.approx(covariance[card, group])
    assert found.card_fixed_covariance == pytest.approx(covariance[card, fixed])
    assert found.group_fixed_covariance == pytest.approx(covariance[group, fixed])


def test_effects_without_variance_are_nothing_for_sure():
    found = effects_at(look_with(Variances(0, 0, 0)), levels=3)

    assert not found.card_effect.any()
    assert not found.card_variance.any()
    assert not found.group_covariance.any()
    assert not found.card_fixed_covariance.any()


def test_without_groups_there_are_none_to_tell_of():
    found = effects_at(look_with(Variances(0.3, 0, 0)), levels=0)

    shapes = {name: value.shape for name, value in found._asdict().items()}
    assert shapes == {
        "fixed": (2,),
        "fixed_covariance": (2, 2),
        "card_effect": (4,),
        "card_variance": (4,),
        "group_effect": (0,),
        "group_covariance": (0, 0),
        "cell_effect": (4, 0),
        "cell_variance": (4, 0),
        "card_group_covariance": (4, 0),
        "card_fixed_covariance": (4, 2),
        "group_fixed_covariance": (0, 2),
    }


def test_one_part_is_its_own_average():
    part = effects_at(look_with(Variances(0.3, 0.2, 0.1)), levels=3)

    assert averaged([part], np.ones(1)) is part


def test_an_average_has_the_moments_of_the_mixture():
    spreads = (Variances(0.3, 0.2, 0.1), Variances(0.2, 0.6, 0.3), Variances(0.1, 0.0, 0.0))
    parts = [effects_at(look_with(v), levels=3) for v in spreads]
    weights = np.array([0.5, 0.3, 0.2])

    mixed = averaged(parts, weights)

    def moment(first: str, second: str, covariance: str) -> np.ndarray:
        """Mean product less product of means, as one would compute it in school."""
        pairs = zip(weights, parts, strict=True)
        raw = sum(
            w * (getattr(p, covariance) + np.outer(getattr(p, first), getattr(p, second)))
            for w, p in pairs
        )
        return raw - np.outer(getattr(mixed, first), getattr(mixed, second))

    def square(effect: str, variance: str) -> np.ndarray:
        pairs = zip(weights, parts, strict=True)
        raw = sum(w * (getattr(p, variance) + getattr(p, effect) ** 2) for w, p in pairs)
        return raw - getattr(mixed, effect) ** 2

    expected = Effects(
        *(sum(w * p[i] for w, p in zip(weights, parts, strict=True)) for i in range(11))
    )._replace(
        fixed_covariance=moment("fixed", "fixed", "fixed_covariance"),
        group_covariance=moment("group_effect", "group_effect", "group_covariance"),
        card_group_covariance=moment("card_effect", "group_effect", "card_group_covariance"),
        card_fixed_covariance=moment("card_effect", "fixed", "card_fixed_covariance"),
        group_fixed_covariance=moment("group_effect", "fixed", "group_fixed_covariance"),
        card_variance=square("card_effect", "card_variance"),
        cell_variance=square("cell_effect", "cell_variance"),
    )
    for name, value in mixed._asdict().items():
        assert value == pytest.approx(getattr(expected, name), abs=1e-12), name
