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


def test_random_worlds_range_from_mild_to_strong_confounding():
    rng = np.random.default_rng(1)
    spreads = [random_world(rng).archetype_sd for _ in range(100)]

    assert 0.06 <= min(spreads) < 0.08
    assert 0.16 < max(spreads) <= 0.18
