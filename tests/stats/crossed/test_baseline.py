"""The level that effects are counted from."""

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.errors import FitError
from winrate_tools.settings import Settings
from winrate_tools.stats.crossed.baseline import baseline
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.tables import CardTable

CARDS = ["Ash Vine", "Tin Moth", "Elm Bell"]
TABLE = CardTable(CARDS, [100, 300, 0], [40, 180, 0])
OF_PLAYERS = Settings(baseline="player_rate")


def test_the_sample_is_its_own_baseline():
    level = baseline(TABLE, Settings())

    assert level.rate == level.sample_mean == 0.55
    assert level.offset == pytest.approx(np.full(3, logit(0.55)))


def test_a_given_baseline_moves_the_line_and_nothing_else():
    own, given = baseline(TABLE, Settings()), baseline(TABLE, Settings(baseline=0.5))

    assert given.rate == 0.5
    assert given.sample_mean == own.sample_mean
    assert np.array_equal(given.offset, own.offset)


def test_cards_of_unknown_result_do_not_count():
    level = baseline(CardTable(CARDS, [100, 300, 900], [40, 180, np.nan]), Settings())

    assert level.sample_mean == 0.55


@pytest.mark.parametrize(("wins", "mean"), [(0, 0.5 / 401), (400, 1 - 0.5 / 401)])
def test_a_sample_without_wins_or_losses_keeps_half_a_game_from_the_edge(wins, mean):
    level = baseline(CardTable(["Ash Vine"], [400], [wins]), Settings())

    assert level.sample_mean == pytest.approx(mean)
    assert np.isfinite(level.offset).all()


def test_players_rates_weigh_by_games():
    table = CardTable(CARDS, [100, 300, 0], [40, 180, 0], player_rate=[0.6, 0.5, 0.9])

    assert baseline(table, OF_PLAYERS).rate == pytest.approx(0.25 * 0.6 + 0.75 * 0.5)


def test_good_players_are_expected_to_win_more_and_all_expect_the_samples_wins():
    table = CardTable(CARDS, [100, 300, 50], [40, 180, 20], player_rate=[0.7, 0.5, 0.6])

    level = baseline(table, OF_PLAYERS)

    apart = logit(0.7) - logit(0.5)
    assert level.offset[0] - level.offset[1] == pytest.approx(apart)
    assert table.games @ expit(level.offset) == pytest.approx(240)


def test_a_card_without_a_players_rate_gets_the_usual_one():
    table = CardTable(CARDS, [100, 300, 50], [40, 180, 20], player_rate=[0.7, 0.5, np.nan])

    level = baseline(table, OF_PLAYERS)

    assert level.rate == pytest.approx(0.55)
    assert level.offset[2] - level.offset[1] == pytest.approx(logit(0.55) - logit(0.5))
    assert table.games @ expit(level.offset) == pytest.approx(240)


def test_games_of_unknown_result_expect_no_wins():
    table = CardTable(CARDS, [100, 300, 900], [40, 180, np.nan], player_rate=[0.7, 0.5, 0.9])

    level = baseline(table, OF_PLAYERS)

    assert level.rate == pytest.approx(0.55)
    assert table.games[:2] @ expit(level.offset[:2]) == pytest.approx(220)


def test_the_samples_mean_is_unsure_only_where_the_line_does_not_move_with_it():
    own, given = (
        baseline(TABLE, Settings(baseline=b, design_effect=3)) for b in ("sample", 0.5)
    )
    rated = CardTable(CARDS, [100, 300, 0], [40, 180, 0], player_rate=[0.5] * 3)
    players = baseline(rated, Settings(baseline="player_rate", design_effect=3))

    # 400 games of which three count as one, at a win rate of 0.55.
    assert own.variance == 0
    assert given.variance == pytest.approx(3 / (400 * 0.55 * 0.45))
    assert players.variance == given.variance


def test_without_a_design_effect_given_the_usual_one_is_taken():
    given = baseline(TABLE, Settings(baseline=0.5))

    assert given.variance == pytest.approx(DEFAULT_DESIGN_EFFECT / (400 * 0.55 * 0.45))


@pytest.mark.parametrize(
    ("table", "settings", "message"),
    [
        (CardTable(CARDS, [0, 0, 0], [0, 0, 0]), Settings(), "no card has a game"),
        (CardTable(["a"], [9], [np.nan]), Settings(), "no card has a game"),
        (TABLE, OF_PLAYERS, "column player_rate, and the table has none"),
        (
            CardTable(CARDS, [9, 0, 0], [3, 0, 0], player_rate=[np.nan, 0.5, 0.5]),
            OF_PLAYERS,
            "no card with a game has a player_rate",
        ),
    ],
)
def test_says_so_if_there_is_nothing_to_take_the_level_from(table, settings, message):
    with pytest.raises(FitError, match=message):
        baseline(table, settings)
