"""Draws of all cards together."""

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from winrate_tools.stats.cards.joint_draws import joint_draws
from winrate_tools.stats.cards.mixture import NormalMixture

CARDS = 30
NAMES = [f"card {i:02}" for i in range(CARDS)]


def mixture(*, classes: int = 2, draws: int = 4, seed: int = 1) -> NormalMixture:
    """Components as `strength` orders them: class after class, each with its draws."""
    rng = np.random.default_rng(seed)
    share = rng.uniform(0.5, 1.0, (1, 1, CARDS)) if classes > 1 else np.ones((1, 1, CARDS))
    weight = np.concatenate([share, 1 - share][:classes]) / draws * np.ones((1, draws, 1))
    mean = rng.normal(0, 0.2, (classes, draws, CARDS)) + np.linspace(-0.5, 0.5, CARDS)
    sd = rng.uniform(0.02, 0.1, (classes, draws, CARDS))
    return NormalMixture(*(each.reshape(-1, CARDS) for each in (weight, mean, sd)))


@pytest.mark.parametrize("classes", [1, 2])
def test_draws_have_the_distribution_of_the_mixture(classes: int):
    own = mixture(classes=classes)

    draws = joint_draws(own, np.full(4, 0.25), NAMES, 4000, seed=2)

    assert draws.shape == (4000, CARDS)
    assert draws.std(axis=0) / own.scale == pytest.approx(np.ones(CARDS), abs=0.03)
    for level in (0.1, 0.5, 0.9):
        below = (draws < own.quantile(level)).mean(axis=0)
        assert below == pytest.approx(np.full(CARDS, level), abs=0.02)


def test_means_are_exact():
    own = mixture()

    draws = joint_draws(own, np.full(4, 0.25), NAMES, 100, seed=2)

    assert draws.mean(axis=0) == pytest.approx(own.centre, abs=1e-12)


def test_cards_of_one_draw_share_their_hyperparameters():
    weight = np.full((2, CARDS), 0.5)
    mean = np.array([[-1.0], [1.0]]) * np.ones(CARDS)
    own = NormalMixture(weight, mean, np.full((2, CARDS), 0.1))

    draws = joint_draws(own, np.full(2, 0.5), NAMES, 200, seed=2)

    assert np.all(np.sign(draws) == np.sign(draws[:, :1]))
    assert (draws[:, 0] > 0).mean() == 0.5


def test_hyperparameters_come_as_often_as_they_weigh():
    mean = np.array([[0.0], [1.0], [2.0]]) * np.ones(CARDS)
    own = NormalMixture(np.full((3, CARDS), 1 / 3), mean, np.full((3, CARDS), 1e-6))

    draws = joint_draws(own, np.array([1.0, 5.0, 2.0]), NAMES, 80, seed=2)

    counts = np.unique((draws[:, 0] - draws[:, 0].min()).round(3), return_counts=True)[1]
    assert counts.tolist() == [10, 50, 20]


def test_each_card_has_every_step_once_in_an_order_of_its_own():
    even = NormalMixture(np.ones((1, CARDS)), np.zeros((1, CARDS)), np.ones((1, CARDS)))

    draws = joint_draws(even, np.ones(1), NAMES, 50, seed=2)

    steps = ndtri((np.arange(50) + 0.5) / 50)
    assert np.sort(draws, axis=0) == pytest.approx(np.tile(steps[:, None], CARDS))
    assert np.abs(np.corrcoef(draws.T) - np.eye(CARDS)).max() < 0.6


def test_a_normals_draws_are_its_quantiles_in_the_middle_of_even_steps():
    own = NormalMixture(np.ones((1, 2)), np.array([[0.0, 3.0]]), np.array([[1.0, 2.0]]))

    draws = np.sort(joint_draws(own, np.ones(1), ["Ash Vine", "Tin Moth"], 40, seed=2), axis=0)

    wanted = ndtri((np.arange(40) + 0.5) / 40)
    assert draws == pytest.approx(np.column_stack([wanted, 3 + 2 * wanted]))


def test_where_a_card_lies_in_its_class_goes_evenly_with_the_class():
    fallen = NormalMixture(
        np.array([[0.7], [0.3]]), np.array([[0.0], [-100.0]]), np.array([[1.0], [1.0]])
    )

    draws = joint_draws(fallen, np.ones(1), ["Ash Vine"], 1000, seed=2)[:, 0]

    second = draws < -50
    assert second.sum() == 300
    for inside in (draws[second], draws[~second]):
        share = ndtr(np.sort(inside - inside.mean()))
        assert share == pytest.approx((np.arange(len(share)) + 0.5) / len(share), abs=0.015)


def test_the_order_of_the_cards_does_not_matter():
    own, order = mixture(), np.random.default_rng(3).permutation(CARDS)
    other = NormalMixture(own.weight[:, order], own.mean[:, order], own.sd[:, order])

    plain = joint_draws(own, np.full(4, 0.25), NAMES, 100, seed=2)
    shuffled = joint_draws(other, np.full(4, 0.25), [NAMES[i] for i in order], 100, seed=2)

    assert shuffled == pytest.approx(plain[:, order], abs=1e-12)


def test_cards_alike_are_told_apart_by_name_and_not_by_rounding():
    own = NormalMixture(np.ones((1, 2)), np.array([[1e-12, 0.0]]), np.ones((1, 2)))
    other = NormalMixture(np.ones((1, 2)), np.array([[0.0, 1e-12]]), np.ones((1, 2)))

    draws = joint_draws(own, np.ones(1), ["Ash Vine", "Tin Moth"], 50, seed=2)
    again = joint_draws(other, np.ones(1), ["Ash Vine", "Tin Moth"], 50, seed=2)
    named = joint_draws(own, np.ones(1), ["Tin Moth", "Ash Vine"], 50, seed=2)

    assert again == pytest.approx(draws, abs=1e-9)
    assert named == pytest.approx(draws[:, ::-1], abs=1e-9)


def test_ranks_of_even_draws_are_less_noisy():
    own = NormalMixture(
        np.ones((1, CARDS)), np.linspace(0, 1, CARDS)[None], np.full((1, CARDS), 0.15)
    )
    rng, even, plain = np.random.default_rng(4), [], []
    for seed in range(40):
        draws = joint_draws(own, np.ones(1), NAMES, 200, seed=seed)
        other = own.mean + own.sd * rng.standard_normal((200, CARDS))
        even.append((draws.argsort(axis=1).argsort(axis=1) < 5).mean(axis=0))
        plain.append((other.argsort(axis=1).argsort(axis=1) < 5).mean(axis=0))

    assert np.std(even, axis=0).mean() < 0.7 * np.std(plain, axis=0).mean()
