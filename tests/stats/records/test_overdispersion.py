"""Games that come in runs with one deck."""

import csv
from pathlib import Path

import numpy as np
import pytest

from winrate_tools.errors import CountError, LevelError
from winrate_tools.stats.records.overdispersion import (
    DEFAULT_DESIGN_EFFECT,
    design_effect,
    design_effect_from_decks,
)

SURGERY = list(
    csv.DictReader(
        (Path(__file__).parent.parent.parent / "published" / "surgical_bugs.csv")
        .read_text(encoding="utf-8")
        .splitlines()
    )
)
DEATHS = np.array([float(row["deaths"]) for row in SURGERY])
OPERATIONS = np.array([float(row["n"]) for row in SURGERY])
OVERALL = DEATHS.sum() / OPERATIONS.sum()

# The hospitals' distances from the overall rate in standard errors, recomputed independently
# to four decimals, and the mean of their squares.
SURGERY_Z = np.array([
    -1.9368, 2.2182, -0.2789, -1.8630, -1.9988, -0.4061,
    -0.6094, 3.9382, -0.3455, 0.3222, 2.4073, -0.5257,
])  # fmt: skip
SURGERY_MEAN_SQUARE = 3.2129699
DECKS = 40_000


def test_the_default_is_that_of_runs_of_five():
    assert pytest.approx(1.28) == DEFAULT_DESIGN_EFFECT
    assert design_effect(5) == DEFAULT_DESIGN_EFFECT


def test_longer_runs_weigh_by_their_length():
    # Runs of 1, 2 and 3 games: a game's run holds (1 + 4 + 9) / 6 games on average.
    assert design_effect([1, 2, 3], correlation=0.3) == pytest.approx(1 + (14 / 6 - 1) * 0.3)


@pytest.mark.parametrize(("correlation", "expected"), [(0, 1), (1, 6)])
def test_runs_count_for_nothing_or_for_one_game(correlation: float, expected: float):
    assert design_effect(6, correlation=correlation) == expected


def test_decks_that_play_once_are_independent():
    assert design_effect([1, 1, 1]) == 1


@pytest.mark.parametrize("place", np.flatnonzero(np.abs(SURGERY_Z) > 1))
def test_one_hospital_alone_gives_its_squared_distance(place: int):
    effect = design_effect_from_decks(DEATHS[place], OPERATIONS[place], OVERALL)

    assert effect == pytest.approx(SURGERY_Z[place] ** 2, abs=4e-4)


def test_hospitals_together_weigh_by_their_operations():
    effect = design_effect_from_decks(DEATHS, OPERATIONS, OVERALL)

    assert effect == pytest.approx(np.average(SURGERY_Z**2, weights=OPERATIONS), abs=4e-4)


def test_hospitals_brought_to_one_size_give_the_mean_square():
    size = 1000.0
    expected = size * OVERALL
    deaths = expected + SURGERY_Z * np.sqrt(expected * (1 - OVERALL))

    effect = design_effect_from_decks(deaths, size, OVERALL)

    assert effect == pytest.approx(SURGERY_MEAN_SQUARE, abs=4e-4)


@pytest.mark.parametrize("correlation", [0.02, 0.07, 0.2])
def test_measures_on_simulated_decks_what_is_predicted_for_them(correlation: float):
    rng = np.random.default_rng(11)
    games = rng.integers(1, 10, DECKS)
    expected = rng.choice([0.45, 0.55, 0.6], DECKS)
    weight = 1 / correlation - 1
    wins = rng.binomial(games, rng.beta(expected * weight, (1 - expected) * weight))

    measured = design_effect_from_decks(wins, games, expected)

    predicted = design_effect(games, correlation=correlation)
    assert measured == pytest.approx(predicted, rel=4 * (2 / DECKS) ** 0.5)


def test_counts_of_clustered_games_vary_by_the_effect():
    rng = np.random.default_rng(12)
    games = np.tile([2, 4, 9], 10)
    rates = rng.beta(6.5, 6.5, (20_000, 30))
    totals = rng.binomial(games, rates).sum(axis=1)

    ratio = totals.var() / (games.sum() * 0.25)

    effect = design_effect(games, correlation=1 / (1 + 13))
    assert ratio == pytest.approx(effect, rel=4 * (2 / 20_000) ** 0.5)


def test_counts_more_even_than_chance_never_go_below_one():
    assert design_effect_from_decks([5, 5], [10, 10], 0.5) == 1


def test_decks_without_games_add_nothing():
    some = design_effect_from_decks([4, 1], [4, 4], 0.5)

    assert design_effect_from_decks([4, 0, 1], [4, 0, 4], 0.5) == some == 2.5


@pytest.mark.parametrize(
    ("games", "message"),
    [
        ([], "games per deck must hold at least one deck, got none"),
        ([3, 0.5], "games per deck must be at least 1, got 0.5"),
        (float("nan"), "games per deck must be at least 1, got nan"),
        (float("inf"), "games per deck must be at least 1, got inf"),
    ],
)
def test_refuses_runs_no_deck_could_play(games, message: str):
    with pytest.raises(CountError) as caught:
        design_effect(games)

    assert str(caught.value) == message


@pytest.mark.parametrize("correlation", [-0.1, 1.1, float("nan")])
def test_refuses_a_correlation_outside_zero_to_one(correlation: float):
    with pytest.raises(LevelError, match=r"^correlation must lie from 0 to 1, got"):
        design_effect(5, correlation=correlation)


@pytest.mark.parametrize(
    ("wins", "games", "message"),
    [
        ([1, 5], [2, 4], "wins must lie between 0 and games (4), got 5"),
        ([-1], [2], "wins must lie between 0 and games (2), got -1"),
        ([float("nan")], [2], "wins must lie between 0 and games (2), got nan"),
        ([1], [float("inf")], "wins must lie between 0 and games (inf), got 1"),
        ([0], [0], "at least one game is needed to measure a design effect, got none"),
        ([], [], "at least one game is needed to measure a design effect, got none"),
        (
            [1, 2],
            [3, 4, 5],
            "wins, games and expected rate must have one entry a deck, or be one number",
        ),
    ],
)
def test_refuses_decks_no_match_could_produce(wins, games, message: str):
    with pytest.raises(CountError) as caught:
        design_effect_from_decks(wins, games, 0.5)

    assert str(caught.value) == message


@pytest.mark.parametrize("rate", [0, 1, -0.5, float("nan")])
def test_refuses_an_expected_rate_outside_zero_to_one(rate: float):
    with pytest.raises(LevelError, match=r"expected rate must lie strictly between 0 and 1"):
        design_effect_from_decks([1], [2], rate)


def test_the_first_impossible_deck_is_the_one_that_is_told():
    with pytest.raises(CountError, match="at least 1, got 0"):
        design_effect([2, 0, -3])
    with pytest.raises(CountError, match=r"between 0 and games \(4\), got 5"):
        design_effect_from_decks([1, 5, 9], [4, 4, 8], 0.5)
    with pytest.raises(LevelError, match="strictly between 0 and 1, got 1"):
        design_effect_from_decks([1, 2, 3], [4, 4, 4], [0.5, 1, 0])


def test_part_of_a_game_is_enough_to_measure():
    # Half of a game, all of it won where a tenth was expected: 0.45^2 of 0.5 x 0.1 x 0.9.
    assert design_effect_from_decks(0.5, 0.5, 0.1) == pytest.approx(0.45**2 / 0.045)
