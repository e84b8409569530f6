"""How many verdicts a multiple of the games would settle."""

import numpy as np
import pytest
from scipy.special import ndtri

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.outlook import TIMES, outlook
from winrate_tools.stats.planning.settling import Standing
from winrate_tools.tables import CardTable

MEAN = np.array([-0.1, -0.02, 0.0, 0.06, 0.3])
SD = np.array([0.05, 0.06, 0.08, 0.05, 0.1])
PART = 0.7
STANDING = Standing(MEAN, SD, PART * SD**2, 0.02, 0.9, 0.6, 0.2)
GAMES = np.array([500.0, 300.0, 200.0, 700.0, 100.0])
NOW = [True, False, False, False, True]


def simulated(times: int) -> np.ndarray:
    """Let the games be played: draw the truth, what they show of it, and judge again."""
    rng = np.random.default_rng(5)
    hidden = (1 - PART) * SD**2
    seen = rng.normal(MEAN, np.sqrt(PART) * SD, size=(100_000, 5))
    error = STANDING.allowance**2 / ((times - 1) * GAMES * STANDING.information)
    result = rng.normal(seen, np.sqrt(error))
    gain = PART * SD**2 / (PART * SD**2 + error)
    mean = MEAN + gain * (result - MEAN)
    sd = np.sqrt(hidden + PART * SD**2 * (1 - gain))
    return np.asarray((np.abs(mean - STANDING.line) >= ndtri(0.9) * sd).mean(axis=0))


@pytest.mark.parametrize("times", TIMES[1:])
def test_as_many_settle_as_do_when_the_games_are_played(times: int):
    [ahead] = [step for step in outlook(STANDING, GAMES, NOW) if step.times == times]

    chance = simulated(times)
    assert ahead.settled == pytest.approx(chance.sum(), abs=0.01)
    assert ahead.newly == pytest.approx(chance[1:4].sum(), abs=0.01)


def test_now_is_what_the_verdicts_say_and_not_what_a_normal_posterior_would():
    now = outlook(STANDING, GAMES, [True, True, True, False, False])[0]

    assert (now.times, now.settled, now.newly) == (1, 3.0, 0.0)


def test_cards_without_games_or_of_unknown_ones_stay_as_they_are():
    without_the_last = [True, False, False, False, False]

    steps = outlook(STANDING, [np.nan, 0, 0, np.nan, 0], without_the_last)
    assert {(step.settled, step.newly) for step in steps} == {(1.0, 0.0)}


def test_more_games_never_settle_fewer_of_the_open_cards():
    newly = [step.newly for step in outlook(STANDING, GAMES, NOW)]

    assert newly == sorted(newly)


def test_a_judged_pool_looks_ahead_from_its_own_verdicts():
    names = [f"Card {i}" for i in range(40)]
    games = np.full(40, 900)
    wins = np.random.default_rng(2).binomial(games, np.linspace(0.4, 0.6, 40))

    pool = judge(CardTable(names, games, wins))
    settled = sum(card.verdict != "more games" for card in pool.cards)
    assert pool.outlook[0].settled == settled
    assert [step.times for step in pool.outlook] == list(TIMES)
    assert 0 < pool.outlook[-1].newly <= 40 - settled
