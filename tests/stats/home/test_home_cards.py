"""What home games alone say of each card."""

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.stats.home.home_cards import Beforehand, Listed, card_evidence

PLAYERS = Beforehand(np.zeros(2), np.full(2, 0.25))


def nobody(holds):
    return Listed(holds, np.zeros_like(holds))


def even_rows(count):
    return np.tile([1.0, -1.0], (count, 1))


def test_a_deck_is_held_against_the_usual_one_and_an_unlisted_one_tells_nothing():
    listed = Listed(np.eye(3, 2) > 0, np.array([[False, True], [False, False], [False, False]]))

    beyond = listed.against_usual(np.array([10.0, 10, 50]))

    usual = [1 / 3, 2 / 3]
    assert beyond[0] == pytest.approx([1, -1])
    assert beyond[1] == pytest.approx([-usual[0], 1 - usual[1]])
    assert beyond[2].tolist() == [0, 0]


def test_games_give_back_what_they_alone_say_whatever_was_believed():
    rng = np.random.default_rng(1)
    holds = rng.random((400, 6)) < 0.4
    effect = np.array([0.4, -0.3, 0.2, 0.0, 0.0, -0.2])
    games = np.full(400, 5.0)
    wins = rng.binomial(5, expit(nobody(holds).against_usual(games) @ effect)).astype(float)

    wide, tight = (
        card_evidence(
            even_rows(400), wins, games, nobody(holds),
            Beforehand(np.full(6, mean), np.full(6, variance)), PLAYERS,
        )
        for mean, variance in ((0.0, 1.0), (0.3, 0.05))
    )  # fmt: skip

    assert wide.seen == pytest.approx(effect, abs=4 * np.sqrt(wide.variance.max()))
    assert tight.seen == pytest.approx(wide.seen, abs=0.03)
    assert tight.variance == pytest.approx(wide.variance, rel=0.1)


def test_the_other_cards_of_a_deck_make_its_games_tell_less():
    alone = np.eye(2, dtype=bool)[np.arange(12) % 2]
    rng = np.random.default_rng(2)
    company = np.column_stack([alone, rng.random((12, 20)) < 0.5])
    games, wins = np.full(12, 30.0), np.full(12, 15.0)

    without, among = (
        card_evidence(
            even_rows(12), wins, games, nobody(holds),
            Beforehand(np.zeros(holds.shape[1]), np.full(holds.shape[1], 0.04)), PLAYERS,
        ).variance[0]
        for holds in (alone, company)
    )  # fmt: skip

    assert among > 1.2 * without


def test_an_opponents_card_counts_the_other_way():
    ours = np.eye(2, dtype=bool)
    wins, games = np.array([140.0, 100.0]), np.full(2, 200.0)
    cards = Beforehand(np.zeros(2), np.full(2, 0.02))
    mine = card_evidence(even_rows(2), wins, games, nobody(ours), cards, PLAYERS)

    theirs = card_evidence(
        -even_rows(2), games - wins, games, Listed(~ours & False, ours), cards, PLAYERS
    )

    assert theirs.seen == pytest.approx(mine.seen)
    assert mine.seen[0] > 0.5


def test_a_card_that_no_game_tells_of_stays_unknown():
    holds = np.array([[True, False, True], [True, True, False]])

    found = card_evidence(
        even_rows(2), np.array([3.0, 1]), np.full(2, 4.0), nobody(holds),
        Beforehand(np.zeros(3), np.full(3, 0.04)), PLAYERS,
    )  # fmt: skip

    assert np.isnan(found.seen).tolist() == [True, False, False]
    assert np.isnan(found.variance).tolist() == [True, False, False]


def test_what_the_stronger_player_wins_is_not_the_cards():
    holds = np.eye(2, dtype=bool)[[0, 1, 0, 1]]
    rows = np.array([[1.0, -1], [1, -1], [-1, 1], [-1, 1]])
    wins = np.array([30.0, 30, 10, 10])

    found = card_evidence(
        rows, wins, np.full(4, 40.0), nobody(holds),
        Beforehand(np.zeros(2), np.full(2, 0.04)), PLAYERS,
    )  # fmt: skip

    assert found.seen == pytest.approx([0, 0], abs=1e-9)


def test_a_design_effect_widens_what_games_say():
    holds, games = np.eye(2, dtype=bool), np.full(2, 100.0)
    cards = Beforehand(np.zeros(2), np.full(2, 0.04))
    one, two = (
        card_evidence(
            even_rows(2), games / 2, games, nobody(holds), cards, PLAYERS, design_effect=effect
        ).variance[0]
        for effect in (1.0, 2.0)
    )

    assert two - 0.04 == pytest.approx(2 * (one - 0.04), rel=0.02)
