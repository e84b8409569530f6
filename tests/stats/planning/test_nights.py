"""How many more home games would settle what archetypes are at this table."""

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.home.home_table import HomeTable, Outside, home_table
from winrate_tools.stats.planning.nights import (
    CHANCE,
    DRAWS,
    Lines,
    chance_settled,
    games_to_settle,
    pace,
)

LINES = Lines(-0.08, 0.08, 0.9, 0.8)
ONE = np.ones((1, 1))


def one_strength(mean, sd):
    return HomeTable(1, np.ones(1), np.array([[mean]]), np.array([[[sd**2]]]), ONE > 2)


def normal(mean, sd):
    return NormalMixture(ONE, ONE * mean, ONE * sd)


@pytest.mark.parametrize(
    ("mean", "sd", "settled"),
    [
        (-0.3, 0.1, True),
        (0.3, 0.1, True),
        (0.0, 0.05, True),
        (0.0, 0.1, False),
        (-0.1, 0.1, False),
        (0.1, 0.1, False),
    ],
)
def test_a_verdict_is_settled_beyond_a_line_or_between_the_two(mean, sd, settled):
    assert LINES.settled(normal(mean, sd)).tolist() == [settled]


# One normal strength: the mean moves by N(0, s^2 - s_n^2), and only the outer verdicts count
# between lines that lie together (Raiffa and Schlaifer, as in the module).
@pytest.mark.parametrize(("mean", "games"), [(0.0, 50), (0.05, 400), (-0.1, 1000)])
def test_the_chance_is_that_of_the_mean_to_come(mean, games):
    sd, together = 0.1, Lines(0.0, 0.0, 0.9, 0.8)
    left = 1 / np.sqrt(1 / sd**2 + games * 0.2)
    move, reach = np.sqrt(sd**2 - left**2), ndtri(0.9) * left

    found = chance_settled(one_strength(mean, sd), ONE, 0.2 * ONE, games, together)

    exact = ndtr((-reach - mean) / move) + ndtr((mean - reach) / move)
    assert found[0] == pytest.approx(exact, abs=4 * np.sqrt(0.25 / DRAWS))


def test_a_mixture_is_weighed_anew_by_what_the_games_say():
    # Two cases, both known for certain but for which one it is: games soon tell.
    table = HomeTable(
        1,
        np.array([0.5, 0.5]),
        np.array([[-0.5], [0.5]]),
        np.full((2, 1, 1), 1e-6),
        np.zeros((2, 1), dtype=bool),
    )

    few, many = (chance_settled(table, ONE, 0.25 * ONE, games, LINES)[0] for games in (1, 400))

    assert few < 0.1
    assert many > 0.98


@pytest.mark.parametrize(
    ("weight", "mean", "sd"),
    [((0.6, 0.4), (0.15, -0.25), (0.05, 0.3)), ((0.2, 0.8), (0.05, -0.3), (0.012, 0.3))],
)
def test_cases_are_weighed_as_a_mixture_weighs_what_it_sees(weight, mean, sd):
    weight, mean, sd = (np.array(part) for part in (weight, mean, sd))
    table = HomeTable(
        1, weight, mean[:, None], (sd**2)[:, None, None], np.zeros((2, 1), dtype=bool)
    )
    error = 1 / np.sqrt(400 * 0.25)
    seen = np.linspace(-2, 2, 8001)
    wide = np.hypot(sd, error)[:, None]
    density = (
        weight[:, None] * np.exp(-0.5 * ((seen - mean[:, None]) / wide) ** 2) / wide
    ).sum(axis=0)
    parts = (np.repeat(part[:, None], len(seen), axis=1) for part in (weight, mean, sd))
    then = NormalMixture(*parts).given(seen, np.full(len(seen), error**2))

    found = chance_settled(table, ONE, 0.25 * ONE, 400, LINES)

    exact = (density * LINES.settled(then)).sum() / density.sum()
    assert 0.1 < exact < 0.9
    assert found[0] == pytest.approx(exact, abs=4 * np.sqrt(0.25 / DRAWS))


def test_unlikely_cases_are_left_out():
    table = HomeTable(
        1,
        np.array([1 - 1e-3, 1e-3]),
        np.array([[-0.5], [0.5]]),
        np.full((2, 1, 1), 1e-6),
        np.zeros((2, 1), dtype=bool),
    )

    assert chance_settled(table, ONE, 0.25 * ONE, 1, LINES).tolist() == [1.0]


def test_a_contrast_that_games_do_not_touch_is_never_settled():
    table = HomeTable(
        2, np.ones(1), np.zeros((1, 2)), np.eye(2)[None] * 0.04, np.zeros((1, 2), dtype=bool)
    )
    more = np.array([[0.25, -0.25], [-0.25, 0.25]])

    games = games_to_settle(table, np.array([[1.0, 1], [1, -1]]), more, LINES, horizon=1e5)

    assert games[0] == np.inf
    assert games[1] < 1e5


def test_the_wait_is_the_first_number_that_is_enough():
    table = one_strength(-0.12, 0.1)
    (games,) = games_to_settle(table, ONE, 0.24 * ONE, LINES, horizon=1e5)

    before, then = (
        chance_settled(table, ONE, 0.24 * ONE, count, LINES)[0] for count in (games / 2, games)
    )

    assert before < 0.8 <= then


def test_nobody_waits_longer_than_the_horizon():
    table = one_strength(-0.12, 0.1)

    assert games_to_settle(table, ONE, 0.24 * ONE, LINES, horizon=20).tolist() == [np.inf]


def test_the_same_seed_gives_the_same_chance():
    table = one_strength(0.0, 0.1)
    first, again, other = (
        chance_settled(table, ONE, 0.2 * ONE, 100, LINES, seed=seed)[0] for seed in (1, 1, 2)
    )

    assert first == again
    assert other == pytest.approx(first, abs=0.1)


def test_a_game_tells_of_who_meets_whom_and_of_what_they_hold():
    rng = np.random.default_rng(1)
    met = np.array([[0, 3.0, 0], [0, 0, 1], [0, 0, 0]])
    decks = np.array([[4.0, 0], [1, 2], [0, 3]])
    usual = (decks.sum(axis=0) + 0.5) / 11
    choice = (decks + usual) / (decks.sum(axis=1, keepdims=True) + 1)
    rows = np.zeros((40_000, 6))
    pairs = np.array([[0, 1], [1, 2]])[rng.choice(2, 40_000, p=[0.75, 0.25])]
    for sign, who in ((1, pairs[:, 0]), (-1, pairs[:, 1])):
        rows[np.arange(40_000), who] += sign
        rows[np.arange(40_000), 4 + (rng.random(40_000) > choice[who, 0])] += sign

    found = pace(met, decks, np.full(2, 0.5), design_effect=2.0)

    assert found == pytest.approx(CHANCE * rows.T @ rows / 40_000 / 2, abs=0.003)


def test_what_one_player_alone_holds_takes_far_longer():
    known = Outside(np.zeros(2), np.full(2, 0.05), np.ones(2, dtype=bool))
    nothing = np.zeros(0)
    before = home_table(np.zeros((0, 6)), nothing, nothing, known, players=3)
    met, asked = np.ones((3, 3)) - np.eye(3), np.array([[0, 0, 0, 0, 1.0, -1]])
    shared = np.full((3, 2), 10.0)
    alone = np.array([[20.0, 0], [0, 20], [0, 20]])

    chances = [
        chance_settled(before, asked, pace(met, decks, np.full(2, 0.5)), 1000, LINES)[0]
        for decks in (shared, alone)
    ]

    assert chances[0] > chances[1] + 0.15


def test_who_has_held_nothing_is_taken_to_hold_what_others_do():
    # Ten decks of the first archetype and half of a stranger's, in eleven.
    met, decks = np.array([[0, 1.0], [0, 0]]), np.array([[10.0, 0], [0, 0]])

    found = pace(met, decks, np.full(2, 0.5))

    usual = np.array([10.5, 0.5]) / 11
    choice = (decks[0] + usual) / 11
    assert found[0, 3:] == pytest.approx(CHANCE * (choice - usual))
