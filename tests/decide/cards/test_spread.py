"""How sure the spread between cards is."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.cards.beliefs import Beliefs
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.spread import spread_range
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable

RNG = np.random.default_rng(4)
GAMES = RNG.integers(100, 5000, size=40)
RATES = expit(0.2 + 0.12 * RNG.standard_normal(40))
TABLE = CardTable([f"card {i}" for i in range(40)], GAMES, RNG.binomial(GAMES, RATES))
POOL = judge(TABLE)


def believing(draws: np.ndarray, pool: PoolVerdict = POOL) -> PoolVerdict:
    return replace(pool, beliefs=Beliefs(pool.beliefs.effects, pool.beliefs.mean, draws))


def slope(pool: PoolVerdict = POOL) -> float:
    """Win rate for one unit of log-odds at the average card."""
    return pool.beliefs.mean * (1 - pool.beliefs.mean)


def test_the_spread_lies_in_its_range_and_the_share_in_its():
    found = spread_range(POOL)

    assert found.spread_low < POOL.spread < found.spread_high
    assert 0 < found.real_share_low < POOL.real_share < found.real_share_high < 1


def test_the_range_is_that_of_what_cards_differ_by_from_draw_to_draw():
    sizes = np.array([0.05, 0.01, 0.04, 0.02, 0.03])
    pattern = np.resize([-1.0, 1.0], 40)

    found = spread_range(believing(sizes[:, None] * pattern), sure=0.8)

    ends = (found.spread_low / slope(), found.spread_high / slope())
    assert ends == pytest.approx((0.015, 0.045))


def test_a_level_that_all_cards_share_is_unsure_of_the_pool_and_not_left_out():
    draws = np.array([[-0.1], [0.1]]) + np.resize([-0.1, 0.1], 40)

    found = spread_range(believing(draws))

    wanted = np.sqrt(0.1**2 + 0.1**2) * slope()
    assert (found.spread_low, found.spread_high) == pytest.approx((wanted, wanted))


def test_its_draws_have_the_mean_square_of_the_spread():
    many = spread_range(POOL, sure=0.5 + 1e-9)
    levels = [spread_range(POOL, sure).spread_low for sure in np.linspace(0.995, 0.005, 100)]

    assert np.sqrt(np.mean(np.square(levels))) == pytest.approx(POOL.spread, rel=0.01)
    assert many.spread_low == pytest.approx(many.spread_high, rel=1e-6)


@pytest.mark.parametrize("allowance", [1.0, 0.4, 0.1])
def test_the_share_at_the_spread_itself_is_the_pools(allowance: float):
    pool = judge(TABLE, Settings(allowance=allowance))
    draws = np.resize([-1.0, 1.0], (3, 40)) * pool.spread / slope(pool)

    found = spread_range(believing(draws, pool))

    assert found.spread_low == pytest.approx(pool.spread)
    assert found.real_share_low == pytest.approx(pool.real_share)


def test_the_share_follows_the_square_as_far_as_records_differ():
    pool = judge(TABLE, Settings(allowance=0.3))
    pattern = np.resize([-1.0, 1.0], 40) * pool.spread / slope(pool)
    draws = np.array([[0.5], [0.5], [6.0], [6.0]]) * pattern

    found = spread_range(believing(draws, pool))

    luck = 1.28 / (np.median(GAMES) * pool.sample_mean * (1 - pool.sample_mean))
    far = (6 * pool.spread / slope(pool)) ** 2
    assert found.real_share_low == pytest.approx(pool.real_share / 4)
    assert found.real_share_high == pytest.approx(far / (far + luck))


def test_games_without_wins_tell_nothing_of_luck():
    unknown = [f"unknown {place}" for place in range(60)]
    table = CardTable(
        [*TABLE.card, *unknown, "unseen"],
        [*GAMES, *[10] * 60, 0],
        [*TABLE.wins, *[np.nan] * 60, 0],
    )
    pool = judge(table)
    draws = np.resize([-1.0, 1.0], (3, 101)) * 6 * pool.spread / slope(pool)

    found = spread_range(believing(draws, pool))

    luck = 1.28 / (np.median(GAMES) * pool.sample_mean * (1 - pool.sample_mean))
    far = np.mean((draws - draws.mean()) ** 2)
    assert found.real_share_high == pytest.approx(far / (far + luck))


def test_more_sureness_gives_wider_ranges():
    wide, usual = spread_range(POOL, 0.975), spread_range(POOL)

    assert wide.spread_low < usual.spread_low < usual.spread_high < wide.spread_high
    assert usual == spread_range(POOL, POOL.sure)


def test_one_card_has_a_range_too():
    alone = judge(CardTable(["Ash Vine"], [400], [190]), Settings(baseline=0.5))

    found = spread_range(alone)

    assert 0 < found.spread_low < alone.spread < found.spread_high


def test_in_simulated_pools_the_range_holds_the_truth_about_as_often_as_it_says():
    # 8 in 10 of 40: 32, give or take 2.5; at least 4 of these below.
    rng = np.random.default_rng(9)
    held = 0
    for _ in range(40):
        rates = expit(0.2 + 0.12 * rng.standard_normal(40))
        wins = rng.binomial(400, rates)
        table = CardTable([f"card {i}" for i in range(40)], [400] * 40, wins)
        low, high, *_ = spread_range(judge(table, Settings(allowance=1, design_effect=1)))
        held += low <= rates.std() <= high

    assert 22 <= held < 40
