"""How many more games would settle a verdict."""

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit

from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.planning.settling import (
    HORIZON,
    Look,
    Standing,
    chance_to_settle,
    games_that_do_most,
    games_to_settle,
    record_look,
)

SD = np.array([0.08, 0.08, 0.12])
NEAR = Standing(
    mean=np.array([-0.05, 0.0, 0.06]),
    sd=SD,
    removable=SD**2,
    line=-0.02,
    sure=0.9,
    looks=(record_look(SD**2, 0.25),),
)


def hidden(share: float) -> Standing:
    """Leave only a share of each variance to be removed by games."""
    return NEAR._replace(removable=share * SD**2, looks=(record_look(share * SD**2, 0.25),))


def of_information(each_game: float) -> Standing:
    return NEAR._replace(looks=(record_look(SD**2, each_game),))


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
    information, removable = 0.2, np.array([(allowance * record_sd) ** 2])
    here = Standing(
        mean=np.array([0.03]),
        sd=np.array([np.hypot(allowance * record_sd, unseen)]),
        removable=removable,
        line=0.0,
        sure=0.8,
        looks=(record_look(removable, information / allowance**2),),
    )

    record = rng.normal(0.03 / allowance, record_sd, size=n)
    seen = rng.normal(record, (games * information) ** -0.5)
    left = 1 / (record_sd**-2 + games * information)
    mean = left * (0.03 / allowance / record_sd**2 + seen * games * information)
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
    here = NEAR._replace(mean=np.array([-0.3, -0.05, 0.3]))

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
    slow = of_information(1e-6)

    assert np.isinf(games_to_settle(slow)).all()
    assert np.all(chance_to_settle(slow, HORIZON) < 0.8)
    assert np.all(chance_to_settle(slow, 1e12) > 0.8)


def test_a_settled_verdict_needs_the_least_that_can_be_asked_for():
    sure_of_it = NEAR._replace(mean=np.array([-2.0, 2.0, 3.0]))

    assert games_to_settle(sure_of_it).tolist() == [1, 1, 1]


def test_a_design_effect_of_two_doubles_the_games():
    plain, doubled = games_to_settle(NEAR), games_to_settle(of_information(0.125))

    assert doubled == pytest.approx(2 * plain, abs=2)


def test_games_that_tell_four_times_as_much_need_a_quarter():
    # As of a card that keeps half of its record: its own effect being known equally well, its
    # record must vary twice as much.
    assert games_to_settle(of_information(1.0)) == pytest.approx(
        games_to_settle(NEAR) / 4, abs=1
    )


def test_being_surer_takes_longer():
    assert np.all(games_to_settle(NEAR._replace(sure=0.95)) > games_to_settle(NEAR))


RECORDS = Look(np.array([0.004, 0.0]), np.array([250.0, 100.0]), 0.1)
COMPARED = Look(np.array([0.001, 0.001]), np.array([160.0, 0.0]), 0.2)


@pytest.mark.parametrize("games", [0, 300, 5000])
def test_a_look_keeps_what_no_game_wears_off(games: float):
    worn = 1 / (np.array([250.0, 100.0]) + 0.1 * games)

    assert 1 / RECORDS.after(games) == pytest.approx(np.array([0.004, 0.0]) + worn)


def test_a_look_not_had_yet_tells_nothing():
    assert COMPARED.after(0)[1] == 0
    assert COMPARED.after(10)[1] == pytest.approx(1 / (0.001 + 1 / 2))


def test_endless_games_leave_what_the_looks_keep():
    here = both(RECORDS, COMPARED)

    kept = 1 / (1 / 0.004 + 1 / 0.001)
    assert here.left(np.inf) == pytest.approx([kept, 0.0])


def both(*looks: Look) -> Standing:
    removable = 1 / sum(look.after(0) for look in looks)
    return Standing(np.array([0.02, 0.03]), removable**0.5, removable, 0.0, 0.8, looks)


@pytest.mark.parametrize("games", [400, 4000])
def test_foretells_it_where_two_looks_at_a_card_sharpen_together(games: int):
    # Both looks show the mean now; what each keeps and what wears off is drawn given that.
    rng, n = np.random.default_rng(11), 400_000
    here = both(RECORDS, COMPARED)
    mean = here.mean[0]

    effect = rng.normal(mean, here.sd[0], n)
    shown, precision = np.zeros(n), 0.0
    for look in here.looks:
        kept, first, more = (
            float(look.lasting[0]),
            float(1 / look.precision[0]),
            1 / (games * look.information),
        )
        part = kept / (kept + first)
        bias = part * (mean - effect) + rng.normal(0, np.sqrt(part * first), n)
        seen = rng.normal(effect + bias, np.sqrt(more))
        each = 1 / (kept + first * more / (first + more))
        shown += each * (mean + first / (first + more) * (seen - mean))
        precision += each
    happened = (np.abs(shown / precision) >= stats.norm.ppf(0.8) / precision**0.5).mean()

    assert chance_to_settle(here, games)[0] == pytest.approx(happened, abs=0.004)


def test_games_remove_no_more_than_there_is():
    # Rounding may leave a removable part that is larger than the whole.
    more = NEAR._replace(removable=1.5 * SD**2)

    assert chance_to_settle(more, 500) == pytest.approx(chance_to_settle(NEAR, 500))


def test_where_games_can_show_nothing_a_verdict_stays_as_it_is():
    here = hidden(0.0)._replace(mean=np.array([-0.3, -0.02, 0.3]))

    assert chance_to_settle(here, 1e6).tolist() == [1, 0, 1]


def test_the_games_that_do_most_reach_nine_tenths_of_what_endless_ones_do():
    here = hidden(0.5)

    games, chance = games_that_do_most(here)

    ever = chance_to_settle(here, np.inf)
    assert (games_to_settle(here) == np.inf).all()
    assert chance == pytest.approx(0.9 * ever, rel=2e-3)
    assert (chance_to_settle(here, games - 2) < 0.9 * ever).all()


def test_luck_is_the_share_of_the_variance_that_endless_games_remove():
    assert hidden(0.3).luck() == pytest.approx(np.full(3, 0.3))


def test_what_lasts_of_a_look_is_no_luck():
    lasting = Look(0.5 * SD**2, 2 / SD**2, 0.25)

    assert NEAR._replace(looks=(lasting,)).luck() == pytest.approx(np.full(3, 0.5))


def test_a_part_that_rounding_puts_below_nothing_is_nothing():
    below = NEAR._replace(removable=np.full(3, -1e-6))

    assert below.left(0) == pytest.approx(np.zeros(3), abs=1e-15)
    assert (below.luck() >= 0).all()
    assert chance_to_settle(below, 1000).tolist() == chance_to_settle(below, 0).tolist()
