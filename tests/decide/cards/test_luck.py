"""How far a raw win rate may stray by luck alone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from winrate_tools.decide.cards.luck import funnel

LEVELS = (0.8, 0.99)


@pytest.mark.parametrize("rate", [0.3, 0.5, 0.5514])
@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("games", [20, 100, 1_000, 20_000])
def test_limits_lie_within_a_win_of_the_binomial_quantiles(games, level, rate):
    """Quantiles of scipy's binomial distribution, found by another way than the limits."""
    low, high = funnel([games], rate, 1.0, level=level)

    wanted = binom.ppf([(1 - level) / 2, (1 + level) / 2], games, rate)
    assert [low[0] * games, high[0] * games] == pytest.approx(wanted, abs=0.75)


@pytest.mark.parametrize("level", LEVELS)
def test_the_share_promised_lies_between_the_limits(level):
    games = 5_000

    low, high = funnel([games], 0.55, 1.0, level=level)
    wins = np.arange(games + 1)
    inside = (wins >= low * games) & (wins <= high * games)
    assert binom.pmf(wins[inside], games, 0.55).sum() == pytest.approx(level, abs=0.006)


@given(
    rate=st.floats(0.05, 0.95),
    games=st.integers(1, 50_000),
    level=st.floats(0.5, 0.995),
)
def test_losing_mirrors_winning(rate, games, level):
    low, high = funnel([games], rate, 1.3, level=level)
    lost_low, lost_high = funnel([games], 1 - rate, 1.3, level=level)

    assert (low[0], high[0]) == pytest.approx((1 - lost_high[0], 1 - lost_low[0]), abs=1e-9)


@given(rate=st.floats(0.05, 0.95), games=st.integers(1, 50_000))
def test_the_outer_limits_hold_the_inner_ones_and_the_rate(rate, games):
    (inner_low, inner_high), (outer_low, outer_high) = (
        funnel([games], rate, 1.0, level=level) for level in LEVELS
    )

    assert 0 <= outer_low[0] <= inner_low[0] <= inner_high[0] <= outer_high[0] <= 1
    assert inner_low[0] - 1e-9 <= rate + 1 / games
    assert inner_high[0] + 1e-9 >= rate - 1 / games


def test_games_in_runs_count_as_fewer():
    clustered, fewer = funnel([2_000], 0.5, 1.25, level=0.8), funnel([1_600], 0.5, 1, level=0.8)

    assert clustered.low == pytest.approx(fewer.low)
    assert clustered.high == pytest.approx(fewer.high)


def test_so_few_games_that_all_may_be_lost_have_no_limit():
    low, high = funnel([1, 2, 7], 0.5, 1.0, level=0.99)

    assert low.tolist() == [0, 0, 0]
    assert high.tolist() == [1, 1, 1]
