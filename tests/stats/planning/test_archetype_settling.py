"""Games that would settle what an archetype is."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr, ndtri

from winrate_tools.stats.planning.archetype_settling import (
    ArchetypeStanding,
    chance_to_settle,
    games_to_settle,
)

MEAN = np.array([-0.15, -0.08, 0.0, 0.05, 0.08, 0.2])
SD = np.full(6, 0.12)
STANDING = ArchetypeStanding(MEAN, SD, SD**2, -0.08, 0.08, 0.9, 0.8, np.full(6, 0.25))


def verdicts_to_come(standing: ArchetypeStanding, games: float, count: int) -> np.ndarray:
    """Share of settled verdicts when truth and further games are drawn, one archetype each."""
    rng = np.random.default_rng(3)
    truth = standing.mean + standing.sd * rng.standard_normal((count, len(standing.mean)))
    information = games * standing.information
    seen = truth + rng.standard_normal(truth.shape) / np.sqrt(information)
    variance = 1 / (1 / standing.sd**2 + information)
    mean = variance * (standing.mean / standing.sd**2 + seen * information)
    below = ndtr((standing.low - mean) / np.sqrt(variance))
    above = ndtr((mean - standing.high) / np.sqrt(variance))
    settled = (below >= standing.sure) | (above >= standing.sure)
    return (settled | (1 - below - above >= standing.balanced)).mean(axis=0)


@pytest.mark.parametrize("games", [100, 1000, 10_000])
def test_verdicts_settle_as_often_as_was_said(games: int):
    happened = verdicts_to_come(STANDING, games, 20_000)

    assert chance_to_settle(STANDING, games) == pytest.approx(happened, abs=0.015)


def test_the_games_named_give_the_chance_wanted():
    games = games_to_settle(STANDING)

    assert (chance_to_settle(STANDING, games) >= 0.8 - 1e-9).all()
    assert (chance_to_settle(STANDING, games - 1) < 0.8).all()


def test_the_games_named_are_the_fewest():
    games = games_to_settle(STANDING)

    earlier = np.linspace(0.01, 0.99, 50)[:, None] * games
    assert (chance_to_settle(STANDING, earlier) < 0.8).all()


def test_an_archetype_far_out_settles_sooner_than_one_in_the_middle():
    games = games_to_settle(STANDING)

    assert games[5] < games[0] < games[2]


def test_the_two_sides_are_alike():
    mirrored = replace(STANDING, mean=-MEAN)

    assert games_to_settle(mirrored) == pytest.approx(games_to_settle(STANDING))


def test_without_a_middle_only_the_sides_count():
    one_line = replace(STANDING, low=0.0, high=0.0)
    games = 1000.0

    left = 1 / (1 / SD**2 + games * 0.25)
    reach, move = ndtri(0.9) * np.sqrt(left), np.sqrt(SD**2 - left)
    expected = ndtr((-reach - MEAN) / move) + ndtr((MEAN - reach) / move)
    assert chance_to_settle(one_line, games) == pytest.approx(expected)


def test_what_games_cannot_remove_may_leave_it_unsettled_for_ever():
    stuck = replace(STANDING, removable=SD**2 - 0.08**2)

    assert chance_to_settle(stuck, 1e12).max() < 0.8
    assert np.isinf(games_to_settle(stuck)).all()


def test_a_million_games_are_the_end():
    slow = replace(STANDING, information=np.full(6, 1e-4))

    assert np.isinf(games_to_settle(slow)).all()


def test_one_game_can_be_enough():
    quick = replace(STANDING, information=np.full(6, 1e9))

    assert (games_to_settle(quick) == 1).all()


@pytest.mark.parametrize("games", [300, 3000])
def test_verdicts_settle_as_often_as_was_said_between_lines_that_lie_to_one_side(games: int):
    aside = replace(STANDING, low=-0.02, high=0.18)

    happened = verdicts_to_come(aside, games, 20_000)

    assert chance_to_settle(aside, games) == pytest.approx(happened, abs=0.015)


def test_games_remove_no_more_than_there_is():
    # Rounding may leave a removable part that is larger than the whole.
    more = replace(STANDING, removable=1.5 * SD**2)

    assert chance_to_settle(more, 500) == pytest.approx(chance_to_settle(STANDING, 500))
