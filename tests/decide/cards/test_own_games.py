"""Keeps that rest on the pool."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from winrate_tools import rank
from winrate_tools.decide.cards.own_games import is_kept_by_pool
from winrate_tools.tables import CardTable

POOL = SimpleNamespace(sure=0.9, design_effect=1.4, sample_mean=0.55)
Z = float(norm.ppf(POOL.sure))


def told(sd: float, games: int | None, verdict: str = "keep") -> SimpleNamespace:
    return SimpleNamespace(verdict=verdict, low=0.55 - Z * sd, high=0.55 + Z * sd, games=games)


@given(st.floats(0.005, 0.05), st.integers(1, 100_000))
def test_a_normal_belief_is_told_by_how_much_its_games_narrowed_it(sd: float, games: int):
    of_game = POOL.design_effect * 0.55 * 0.45
    alone = sd
    after = (1 / alone**2 + games / of_game) ** -0.5

    says_little = is_kept_by_pool(told(after, games), POOL)

    assert says_little == (after / alone >= 0.9 - 1e-12)


@pytest.mark.parametrize(
    ("sd", "games", "verdict", "by_pool"),
    [
        (0.02, 100, "keep", True),
        (0.02, 200, "keep", False),
        (0.02, 100, "cut", False),
        (0.02, 100, "more games", False),
        (0.02, 0, "keep", False),
        (0.02, None, "keep", False),
        (0.05, 10_000, "keep", False),
    ],
)
def test_only_keeps_of_few_games_rest_on_the_pool(sd, games, verdict, by_pool):
    assert is_kept_by_pool(told(sd, games, verdict), POOL) is by_pool


def test_games_in_long_runs_say_less():
    runs = SimpleNamespace(sure=0.9, design_effect=3.0, sample_mean=0.55)

    assert is_kept_by_pool(told(0.02, 300), runs)
    assert not is_kept_by_pool(told(0.02, 300), POOL)


def test_in_a_sound_pool_keeps_of_few_games_rest_on_it_and_those_of_many_do_not():
    rng = np.random.default_rng(5)
    games = np.repeat([40, 40_000], 40)
    wins = rng.binomial(games, np.clip(rng.normal(0.55, 0.012, 80), 0, 1))
    names = [f"card {k}" for k in range(80)]

    verdict = rank(CardTable(names, games, wins), margin=0.03).verdict

    kept = [card for card in verdict.cards if card.verdict == "keep"]
    found = {is_few: set() for is_few in (True, False)}
    for card in kept:
        found[card.games == 40].add(is_kept_by_pool(card, verdict))
    assert found == {True: {True}, False: {False}}


@pytest.mark.parametrize("games", [867, 1299, 1731])
def test_games_that_tell_more_than_all_that_is_known_are_no_small_say(games: int):
    # Record and range contradict each other: one, one and a half, two times the information.
    assert not is_kept_by_pool(told(0.02, games), POOL)
