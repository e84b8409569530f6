"""The arrow-shaped system, against the same algebra with whole matrices."""

import numpy as np
import pytest

from winrate_tools.stats.crossed.arrow import Arrow, Variances

CARDS, GROUPS = 6, 3
WEIGHT = np.random.default_rng(2).gamma(2, 4, (CARDS, GROUPS))
WEIGHT[1, 2] = WEIGHT[4] = 0
CELLS = CARDS * GROUPS
CARD_OF = np.kron(np.eye(CARDS), np.ones((GROUPS, 1)))
GROUP_OF = np.kron(np.ones((CARDS, 1)), np.eye(GROUPS))
EFFECTS = np.hstack([CARD_OF, GROUP_OF, np.eye(CELLS)])
SOME = [
    Variances(0.4, 0.2, 0.1),
    Variances(0.4, 0.2, 0.0),
    Variances(0.0, 0.2, 0.1),
    Variances(0.4, 0.0, 0.0),
    Variances(0.0, 0.0, 0.0),
]


def spread_out(variances: Variances) -> np.ndarray:
    """Variances of all effects, in the order of the columns of EFFECTS."""
    return np.repeat(variances, [CARDS, GROUPS, CELLS])


def prior(variances: Variances) -> np.ndarray:
    """Covariance of the sums of effects on cells."""
    return (EFFECTS * spread_out(variances)) @ EFFECTS.T


def posterior(variances: Variances) -> np.ndarray:
    """Covariance of all effects given the counts."""
    v, information = np.diag(spread_out(variances)), EFFECTS.T * WEIGHT.ravel() @ EFFECTS
    return np.linalg.solve(np.eye(len(v)) + v @ information, v)


@pytest.mark.parametrize("variances", SOME)
def test_a_dual_table_stands_for_its_effects(variances: Variances):
    dual = np.random.default_rng(3).normal(size=(CARDS, GROUPS))

    effects = prior(variances) @ dual.ravel()

    assert variances.spread(dual).ravel() == pytest.approx(effects)


@pytest.mark.parametrize("variances", SOME)
def test_solves_the_system_for_one_table_and_for_a_stack(variances: Variances):
    right = np.random.default_rng(3).normal(size=(2, CARDS, GROUPS))
    system = np.eye(CELLS) + np.diag(WEIGHT.ravel()) @ prior(variances)

    solved = Arrow(WEIGHT, variances).solve(right)

    whole = np.linalg.solve(system, right.reshape(2, -1).T).T
    assert solved.reshape(2, -1) == pytest.approx(whole)
    assert Arrow(WEIGHT, variances).solve(right[1]) == pytest.approx(solved[1])


@pytest.mark.parametrize("variances", SOME)
def test_log_determinant(variances: Variances):
    system = np.eye(CELLS) + np.diag(WEIGHT.ravel()) @ prior(variances)

    whole = np.linalg.slogdet(system)[1]

    assert Arrow(WEIGHT, variances).log_determinant == pytest.approx(whole)


@pytest.mark.parametrize("variances", SOME)
def test_posterior_variances(variances: Variances):
    arrow, whole = Arrow(WEIGHT, variances), posterior(variances)

    groups = slice(CARDS, CARDS + GROUPS)
    sums = (EFFECTS @ whole @ EFFECTS.T).diagonal().reshape(CARDS, GROUPS)
    pairs = EFFECTS[:, : CARDS + GROUPS]
    inner = whole[: CARDS + GROUPS, : CARDS + GROUPS]
    assert arrow.card_variance == pytest.approx(whole.diagonal()[:CARDS])
    assert arrow.group_covariance == pytest.approx(whole[groups, groups])
    assert arrow.card_group_covariance == pytest.approx(whole[:CARDS, groups])
    assert arrow.sum_variance == pytest.approx(sums)
    assert arrow.pair_variance.ravel() == pytest.approx((pairs @ inner @ pairs.T).diagonal())


@pytest.mark.parametrize("variances", SOME)
def test_traces_are_slopes_of_the_log_determinant(variances: Variances):
    shift, slopes = 1e-6, []
    for kind in range(3):
        ends = [np.array(variances) + sign * shift * (np.arange(3) == kind) for sign in (-1, 1)]
        low, high = (Arrow(WEIGHT, Variances(*end)).log_determinant for end in ends)
        slopes.append((high - low) / (2 * shift))

    assert Arrow(WEIGHT, variances).traces == pytest.approx(slopes, rel=1e-6)


@pytest.mark.parametrize("variances", SOME)
def test_information_adds_the_squares_of_the_working_precisions(variances: Variances):
    v = np.linalg.inv(np.linalg.inv(np.diag(WEIGHT.ravel() + 1e-9)) + prior(variances))

    cards = (CARD_OF.T @ v @ CARD_OF).diagonal()
    groups = GROUP_OF.T @ v @ GROUP_OF
    half_squares = [(part**2).sum() / 2 for part in (cards, groups, v.diagonal())]
    assert Arrow(WEIGHT, variances).information == pytest.approx(half_squares, rel=1e-6)
