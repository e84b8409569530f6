"""Players and archetypes of one table, with strangers' word beforehand."""

import numpy as np
import pytest

from winrate_tools.stats.home.home import STRAY, Discrepancy
from winrate_tools.stats.home.home_table import PLAYER_SDS, SEAT_SD, Outside, home_table
from winrate_tools.stats.home.pairs import posterior

NOTHING = np.zeros(0)


def outside(mean, sd, holds=True):
    mean = np.asarray(mean, dtype=float)
    return Outside(mean, np.full(len(mean), sd), np.full(len(mean), holds))


def rows(*pairs):
    """Rows of two players who hold archetypes of three, none with the first seat."""
    coded = np.zeros((len(pairs), 6))
    for n, (ours, theirs) in enumerate(pairs):
        coded[n, :2] = [1, -1]
        coded[n, 3 + ours] += 1
        coded[n, 3 + theirs] -= 1
    return coded


def test_without_games_it_says_what_was_believed_before():
    before = home_table(np.zeros((0, 6)), NOTHING, NOTHING, outside([0.2, 0, -0.1], 0.05),
                        players=2)  # fmt: skip

    believed = before.of(np.eye(6))
    assert believed.centre == pytest.approx([0, 0, 0, 0.2, 0, -0.1])
    assert believed.scale[:2] == pytest.approx(np.sqrt(np.mean(np.square(PLAYER_SDS))))
    assert believed.scale[2] == pytest.approx(SEAT_SD)
    far = before.weight @ before.is_stray
    variance = 0.05**2 + (1 - far) * 0.1**2 + far * STRAY**2
    assert believed.scale[3:] == pytest.approx(np.sqrt(variance))
    assert far == pytest.approx(0.05, abs=1e-3)


def test_one_case_is_a_paired_comparison_with_that_prior():
    met, wins, games = rows((0, 1), (1, 2)), np.array([7.0, 5.0]), np.array([10.0, 9.0])
    known = outside([0.2, 0.0, -0.1], 0.05, holds=False)
    (first, *_), variance = PLAYER_SDS, np.r_[[PLAYER_SDS[0] ** 2] * 2, 0.09, [0.0025] * 3]
    alone = posterior(
        met,
        wins,
        games,
        mean=np.r_[0, 0, 0, 0.2, 0, -0.1],
        variance=variance,
        design_effect=1.3,
    )

    found = home_table(met, wins, games, known, players=2, design_effect=1.3)

    assert first == 0.25
    assert found.mean[0] == pytest.approx(alone.mean)
    assert found.covariance[0] == pytest.approx(alone.covariance)


def test_cases_are_weighed_by_their_evidence_and_by_how_rare_strays_are():
    met, wins, games = rows((0, 1)), np.array([60.0]), np.array([80.0])
    found = home_table(met, wins, games, outside([0, 0, 0], 0.05), players=2)
    heights = []
    for sd in PLAYER_SDS:
        for strays in ([], [0], [1], [2], [0, 1], [0, 2], [1, 2]):
            added = np.where(np.isin(np.arange(3), strays), STRAY, 0.1)
            variance = np.r_[sd**2, sd**2, 0.09, 0.0025 + added**2]
            fit = posterior(met, wins, games, mean=np.zeros(6), variance=variance)
            heights.append(fit.log_evidence + len(strays) * np.log(0.05 / 0.95))

    weight = np.exp(np.array(heights) - max(heights))
    assert found.weight == pytest.approx(weight / weight.sum())
    assert found.is_stray.sum(axis=1).max() == 2


def test_no_more_than_two_are_thought_to_be_far_off():
    found = home_table(
        np.zeros((0, 13)), NOTHING, NOTHING, outside(np.zeros(10), 0.1), players=2
    )

    assert len(found.weight) == len(PLAYER_SDS) * (1 + 10 + 45)


def test_what_home_games_flatly_deny_is_taken_to_be_far_off():
    met = rows((0, 1), (0, 2), (1, 2), (0, 1), (0, 2), (1, 2))
    met[3:] *= -1
    met[3:, 3:] *= -1
    wins = np.array([60.0, 60, 40, 60, 60, 40])

    found = home_table(met, wins, np.full(6, 80.0), outside([-0.3, 0, 0], 0.03), players=2)

    stray = found.weight @ found.is_stray
    assert stray[0] > 0.9 > stray[1:].max()
    assert found.of(np.eye(6)[[3]]).centre[0] > 0.3


@pytest.mark.parametrize(("games", "most"), [(4, 0.05), (40, 0.25)])
def test_a_few_games_move_strangers_word_only_a_little(games, most):
    found = home_table(
        rows((0, 1)), np.array([0.9 * games]), np.array([games * 1.0]),
        outside([0.0, 0, 0], 0.03), players=2,
    )  # fmt: skip

    moved = found.of(np.array([[0, 0, 0, 1.0, -1, 0]])).centre[0]
    assert 0 < moved < most


def test_what_one_player_wins_with_everything_is_the_players():
    met = rows((0, 1), (1, 0), (1, 2), (2, 1))

    found = home_table(
        met, np.full(4, 60.0), np.full(4, 80.0), outside([0, 0, 0], 0.03), players=2
    )

    between = found.of(np.array([[1.0, -1, 0, 0, 0, 0], [0, 0, 0, 1, -1, 0]])).centre
    assert between == pytest.approx([1.05, 0.0], abs=0.06)


def test_a_wider_usual_difference_lets_home_games_say_more():
    near, far = (
        home_table(
            rows((0, 1), (1, 0)), np.array([30.0, 10]), np.full(2, 40.0),
            outside([0, 0, 0], 0.03), players=2, differs=Discrepancy(usual, 0.05),
        ).of(np.array([[0, 0, 0, 1.0, -1, 0]])).centre[0]
        for usual in (0.05, 0.3)
    )  # fmt: skip

    assert 0 < near < far < 1.1
