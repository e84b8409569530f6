"""How drafters treat a card."""

import numpy as np
import pytest

from winrate_tools.stats.cards.usage import FARTHEST, usage
from winrate_tools.tables import CardTable

UNKNOWN = np.nan


def table(games, **columns) -> CardTable:
    cards = [f"card {i}" for i in range(len(games))]
    return CardTable(cards, games, np.zeros(len(games)), **columns)


def test_games_count_by_their_logarithm():
    found = usage(table([10, 100, 1000]))

    assert found.columns == ("games",)
    assert found.matrix[:, 0] == pytest.approx(np.sqrt(1.5) * np.array([-1, 0, 1]))


def test_each_rarity_is_held_against_its_own_mean():
    # Commons at 100 and 400 games, rares at 10 and 40: liked cards are four times as played.
    games, rarity = [100, 400] * 4 + [10, 40] * 4, ["common"] * 8 + ["rare"] * 8

    found = usage(table(games, rarity=rarity))

    assert found.matrix[:, 0] == pytest.approx([-1, 1] * 8)


def test_a_small_rarity_is_held_against_the_whole_pool():
    games, rarity = [100, 400] * 4 + [10] * 7, ["common"] * 8 + ["rare"] * 7

    found = usage(table(games, rarity=rarity)).matrix[:, 0]

    logs = np.log(games)
    centred = logs - np.where(np.arange(15) < 8, logs[:8].mean(), logs.mean())
    assert found == pytest.approx(centred / np.sqrt((centred**2).mean()))


def test_an_unknown_rarity_is_held_against_the_whole_pool():
    games = [100, 400] * 4 + [10] * 9

    with_gap = usage(table(games, rarity=["common"] * 8 + [None] * 9)).matrix[:, 0]
    whole = usage(table(games)).matrix[:, 0]

    assert np.all(with_gap[8:] < 0)
    assert with_gap[8] == with_gap[16]
    assert with_gap[0] < 0 < whole[0]


def test_no_card_lies_farther_out_than_the_clip():
    found = usage(table([100] * 30 + [1, 10**9])).matrix[:, 0]

    assert found.max() == FARTHEST
    assert found.min() > -FARTHEST


def test_a_card_without_games_has_neither_usage_nor_leverage():
    games = [10, 100, 1000]

    found, plain = usage(table([*games, 0, 0])), usage(table(games))

    assert found.matrix[:3] == pytest.approx(plain.matrix)
    assert found.matrix[3:].tolist() == [[0], [0]]
    assert found.known.tolist() == [True, True, True, False, False]
    assert found.score[3:].tolist() == [0, 0]


def test_early_picks_are_liked():
    found = usage(table([50, 50, 50], mean_pick=[1.0, 3.0, 5.0]))

    assert found.columns == ("mean_pick",)
    assert found.matrix[:, 0] == pytest.approx(np.sqrt(1.5) * np.array([1, 0, -1]))


def test_shares_of_played_copies_are_drawn_towards_the_pools():
    drafted, played = np.array([100, 100, 4]), np.array([80, 20, 4])
    pool = 104 / 204

    found = usage(table([50, 50, 50], drafted=drafted, played=played))

    share = (played + 4 * pool) / (drafted + 4)
    log_odds = np.log(share / (1 - share))
    centred = log_odds - log_odds.mean()
    assert found.columns == ("played",)
    assert found.matrix[:, 0] == pytest.approx(centred / np.sqrt((centred**2).mean()))
    assert found.matrix[0, 0] > found.matrix[2, 0] > found.matrix[1, 0]


def test_copies_that_nobody_drafted_or_counted_say_nothing():
    found = usage(table([50] * 4, drafted=[100, 100, 0, 50], played=[80, 20, 0, UNKNOWN]))

    assert found.matrix[2:].tolist() == [[0], [0]]
    assert found.known.tolist() == [True, True, False, False]
    assert found.matrix[0, 0] == pytest.approx(-found.matrix[1, 0])


def test_copies_of_which_nobody_counted_the_played_ones_move_no_share():
    drafted, played = [100, 8, 20], [80, 2, 4]

    among = usage(table([50] * 4, drafted=[*drafted, 500], played=[*played, UNKNOWN]))
    alone = usage(table([50] * 3, drafted=drafted, played=played))

    assert among.matrix[:3] == pytest.approx(alone.matrix)


@pytest.mark.parametrize("played", [[0, 0, 0], [10, 20, 40]])
def test_copies_all_played_or_none_stay_finite(played):
    found = usage(table([5, 50, 500], drafted=[10, 20, 40], played=played))

    assert np.isfinite(found.matrix).all()


def test_drafted_copies_alone_are_no_usage():
    assert usage(table([5, 50], drafted=[10, 20])).columns == ("games",)


def test_a_column_that_does_not_vary_is_left_out():
    found = usage(table([50, 50, 50], mean_pick=[4.0, 4.0, UNKNOWN]))

    assert found.columns == ()
    assert found.matrix.shape == (3, 0)
    assert found.score.tolist() == [0, 0, 0]
    assert not found.known.any()


def test_the_score_is_the_mean_of_what_is_known():
    found = usage(table([10, 100, 1000], mean_pick=[1.0, 3.0, UNKNOWN]))

    games, picks = found.matrix.T
    assert found.score == pytest.approx(
        [(games[0] + picks[0]) / 2, (games[1] + picks[1]) / 2, games[2]]
    )
    assert picks == pytest.approx([1, -1, 0])
