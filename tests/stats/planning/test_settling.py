"""How many more games would settle a verdict."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit

from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.planning.settling import (
    HORIZON,
    Standing,
    chance_to_settle,
    games_to_settle,
)

NEAR = Standing(
    mean=np.array([-0.05, 0.0, 0.06]),
    sd=np.array([0.08, 0.08, 0.12]),
    removable=np.array([0.08, 0.08, 0.12]) ** 2,
    line=-0.02,
    sure=0.9,
    allowance=1.0,
    information=0.25,
)


def hidden(share: float) -> Standing:
    """Leave only a share of each variance to be removed by games."""
    return replace(NEAR, removable=share * NEAR.sd**2)


@pytest.mark.parametrize("games", [200, 800, 3000])
@pytest.mark.parametrize("card", [0, 1, 2])
def test_foretells_how_often_games_to_come_settle_it(card: int, games: int):
    # Play the games: true log-odds from the posterior, wins from them, then the verdict.
    rng = np.random.default_rng(card)
    mean, sd = NEAR.mean[card], NEAR.sd[card]
    wins = rng.binomial(games, expit(rng.normal(mean, sd, size=6000))).astype(float)

    after = posterior(Evidence(wins, np.full(6000, float(games)), np.zeros(6000)), mean, sd)
    below = stats.norm.cdf(NEAR.line, after.mean, after.sd)
    happened = ((below >= NEAR.sure) | (below <= 1 - NEAR.sure)).mean()

    assert chance_to_settle(NEAR, games)[card] == pytest.approx(happened, abs=0.03)


@pytest.mark.parametrize("allowance", [0.4, 0.7])
@pytest.mark.parametrize("games", [400, 4000])
def test_foretells_it_where_part_of_a_record_is_not_the_cards_own(allowance, games):
    # A record t, of which the card keeps a share, and something that no game will show.
    rng, n = np.random.default_rng(9), 400_000
    record_sd, unseen = 0.15, 0.04
    here = Standing(
        mean=np.array([0.03]),
        sd=np.array([np.hypot(allowance * record_sd, unseen)]),
        removable=np.array([(allowance * record_sd) ** 2]),
        line=0.0,
        sure=0.8,
        allowance=allowance,
        information=0.2,
    )

    record = rng.normal(0.03 / allowance, record_sd, size=n)
    seen = rng.normal(record, (games * here.information) ** -0.5)
    left = 1 / (record_sd**-2 + games * here.information)
    mean = left * (0.03 / allowance / record_sd**2 + seen * games * here.information)
    below = stats.norm.cdf(0, allowance * mean, np.hypot(allowance * np.sqrt(left), unseen))
    happened = ((below >= 0.8) | (below <= 0.2)).mean()

    assert chance_to_settle(here, games)[0] == pytest.approx(happened, abs=0.004)


@pytest.mark.parametrize("share", [1.0, 0.6, 0.2])
def test_more_games_never_lower_the_chance_of_an_open_verdict(share: float):
    chances = np.array(
        [chance_to_settle(hidden(share), games) for games in np.logspace(0, 8, 60)]
    )

    assert np.all(np.diff(chances, axis=0) >= -1e-12)
    assert np.all(chances[-1] > chances[0])


def test_no_more_games_leave_a_verdict_as_it_is():
    here = replace(NEAR, mean=np.array([-0.3, -0.05, 0.3]))

    assert chance_to_settle(here, 0).tolist() == [1, 0, 1]


def test_endless_games_settle_everything_if_nothing_is_hidden():
    assert chance_to_settle(NEAR, np.inf) == pytest.approx(np.ones(3), abs=1e-6)


def test_games_may_differ_by_card():
    games = np.array([100.0, 1000.0, 10_000.0])

    together = chance_to_settle(NEAR, games)

    assert together == pytest.approx(np.diag([chance_to_settle(NEAR, g) for g in games]))


@pytest.mark.parametrize("chance", [0.5, 0.8, 0.9])
def test_the_games_needed_are_the_fewest_that_do(chance: float):
    needed = games_to_settle(NEAR, chance=chance)

    assert np.all(needed == np.ceil(needed))
    assert np.all(chance_to_settle(NEAR, needed) >= chance)
    assert np.all(chance_to_settle(NEAR, needed - 1) < chance)


def test_by_default_four_in_five_is_enough():
    assert games_to_settle(NEAR).tolist() == games_to_settle(NEAR, chance=0.8).tolist()


def test_what_no_game_can_show_keeps_a_verdict_open():
    assert np.isfinite(games_to_settle(hidden(1.0))).all()
    assert np.isinf(games_to_settle(hidden(0.05))).all()


def test_beyond_a_million_games_is_never():
    slow = replace(NEAR, information=1e-6)

    assert np.isinf(games_to_settle(slow)).all()
    assert np.all(chance_to_settle(slow, HORIZON) < 0.8)
    assert np.all(chance_to_settle(slow, 1e12) > 0.8)


def test_a_settled_verdict_needs_the_least_that_can_be_asked_for():
    sure_of_it = replace(NEAR, mean=np.array([-2.0, 2.0, 3.0]))

    assert games_to_settle(sure_of_it).tolist() == [1, 1, 1]


def test_a_design_effect_of_two_doubles_the_games():
    plain, doubled = games_to_settle(NEAR), games_to_settle(replace(NEAR, information=0.125))

    assert doubled == pytest.approx(2 * plain, abs=2)


def test_a_card_that_keeps_half_of_its_record_needs_a_quarter_of_the_games():
    # Its own effect being known equally well, its record must vary twice as much.
    half = games_to_settle(replace(NEAR, allowance=0.5))

    assert half == pytest.approx(games_to_settle(NEAR) / 4, abs=1)


def test_being_surer_takes_longer():
    assert np.all(games_to_settle(replace(NEAR, sure=0.95)) > games_to_settle(NEAR))
