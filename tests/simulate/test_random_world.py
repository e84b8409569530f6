import numpy as np
import pytest

from winrate_tools.simulate.random_world import random_world


@pytest.mark.parametrize("games", [25_000, 80_000, 250_000])
def test_a_random_world_has_the_games_asked_for(games):
    world = random_world(np.random.default_rng(3), games=games)

    assert world.games == pytest.approx(games, rel=0.001)


def test_random_worlds_differ_and_come_again_from_the_same_seed():
    first = random_world(np.random.default_rng(1))
    again = random_world(np.random.default_rng(1))
    other = random_world(np.random.default_rng(2))

    assert first == again
    assert first != other


def test_what_a_seed_drew_before_slopes_and_narrow_cards_it_draws_still():
    world = random_world(np.random.default_rng(1))

    assert world.effect_sd == pytest.approx(0.1082662294)
    assert world.deck_sd == pytest.approx(0.3099187375)


def test_random_worlds_have_from_none_to_many_slopes_and_narrow_cards():
    rng = np.random.default_rng(1)
    worlds = [random_world(rng) for _ in range(100)]
    slopes = [world.slope_sd for world in worlds]
    shares = [world.narrow_share for world in worlds]

    assert 0 <= min(slopes) < 0.03
    assert 0.27 < max(slopes) <= 0.3
    assert 0 <= min(shares) < 0.01
    assert 0.07 < max(shares) <= 0.08


def test_random_worlds_range_from_mild_to_strong_confounding():
    rng = np.random.default_rng(1)
    spreads = [random_world(rng).archetype_sd for _ in range(100)]

    assert 0.06 <= min(spreads) < 0.08
    assert 0.16 < max(spreads) <= 0.18
