"""The gap between two win rates."""

import numpy as np
import pytest

from winrate_tools.errors import CountError, LevelError
from winrate_tools.stats.records.gaps import win_rate_gap
from winrate_tools.stats.records.intervals import wilson

# Newcombe (1998), Statistics in Medicine 17:873-890, Table II, method 10 (score, no continuity
# correction), 95 %, as public test suites quote it: four decimals printed, six recomputed.
NEWCOMBE_TABLE_II = [
    pytest.param(56, 70, 48, 80, (0.0524, 0.3339), (0.052431, 0.333873), id="a"),
    pytest.param(9, 10, 3, 10, (0.1705, 0.8090), (0.170523, 0.809018), id="b"),
    pytest.param(6, 7, 2, 7, (0.0582, 0.8062), (0.058228, 0.806250), id="c"),
    pytest.param(5, 56, 0, 29, (-0.0381, 0.1926), (-0.038137, 0.192560), id="d"),
    pytest.param(0, 10, 0, 20, (-0.1611, 0.2775), (-0.161125, 0.277533), id="e"),
    pytest.param(10, 10, 0, 20, (0.6791, 1.0), (0.679086, 1.0), id="f"),
]
THE_FOURTH_DECIMAL = 0.51e-4
HALF_THE_SIXTH_DECIMAL = 0.5e-6

# Other intervals for 56/70 against 48/80: cicalc's tests, and a recomputation of the score
# interval of Miettinen and Nurminen. statsmodels gives another upper end (0.3440) for it, and
# fails on 9/10 against 3/10, so it is no guide here.
NEIGHBOURS = {
    "Mee": (0.0533, 0.3377),
    "Miettinen and Nurminen": (0.052830, 0.338173),
    "Wald": (0.0575, 0.3425),
    "Agresti and Caffo": (0.052453, 0.335758),
}

RECORDS = [(0, 1), (1, 1), (0, 400), (7, 12), (399, 400)]


@pytest.mark.parametrize(("x", "n", "y", "m", "printed", "computed"), NEWCOMBE_TABLE_II)
def test_matches_newcombe_table_ii(x, n, y, m, printed, computed):
    gap = win_rate_gap(x, n, y, m)

    assert (gap.low, gap.high) == pytest.approx(printed, abs=THE_FOURTH_DECIMAL)
    assert (gap.low, gap.high) == pytest.approx(computed, abs=HALF_THE_SIXTH_DECIMAL)


@pytest.mark.parametrize("name", NEIGHBOURS)
def test_lies_within_a_point_of_other_published_intervals(name: str):
    gap = win_rate_gap(56, 70, 48, 80)

    assert (gap.low, gap.high) == pytest.approx(NEIGHBOURS[name], abs=0.01)


def test_many_gaps_at_once_are_what_each_is_alone():
    x, n, y, m = np.array([case.values[:4] for case in NEWCOMBE_TABLE_II]).T

    together = np.array(win_rate_gap(x, n, y, m)).T

    alone = [win_rate_gap(*case.values[:4]) for case in NEWCOMBE_TABLE_II]
    assert together == pytest.approx(np.array(alone))


@pytest.mark.parametrize("first", RECORDS)
@pytest.mark.parametrize("second", RECORDS)
def test_the_interval_holds_the_estimate_and_stays_in_range(first, second):
    gap = win_rate_gap(*first, *second)

    assert -1 <= gap.low < gap.high <= 1
    assert gap.low <= gap.estimate <= gap.high


def test_swapping_the_sides_flips_every_sign():
    one = win_rate_gap(7, 12, 20, 50)
    other = win_rate_gap(20, 50, 7, 12)

    assert tuple(one) == pytest.approx((-other.estimate, -other.high, -other.low))


def test_being_surer_takes_a_wider_interval():
    narrow, wide = (win_rate_gap(30, 50, 25, 50, level=level) for level in (0.8, 0.99))

    assert wide.low < narrow.low
    assert narrow.high < wide.high


def test_intervals_hold_the_true_gap_as_often_as_they_say():
    rng = np.random.default_rng(1)
    x, y = rng.binomial(60, 0.55, 20_000), rng.binomial(90, 0.45, 20_000)

    gap = win_rate_gap(x, 60, y, 90, level=0.8)

    assert np.mean((gap.low <= 0.1) & (gap.high >= 0.1)) == pytest.approx(0.8, abs=0.015)


def test_against_a_side_without_games_only_the_own_interval_is_known():
    low, high = wilson(30, 50)
    gap = win_rate_gap(30, 50, 0, 0)

    assert np.isnan(gap.estimate)
    assert (gap.low, gap.high) == pytest.approx((low - 1, high))


def test_refuses_sides_that_do_not_fit():
    with pytest.raises(CountError, match=r"one shape, got \(2,\) and \(3,\)"):
        win_rate_gap([1, 2], [4, 4], [1, 2, 3], [4, 4, 4])


def test_refuses_more_wins_than_games():
    with pytest.raises(CountError, match=r"between 0 and games \(4\), got 5"):
        win_rate_gap(1, 2, 5, 4)


@pytest.mark.parametrize("level", [0, 1, 95, -0.1, float("nan")])
def test_refuses_a_level_outside_zero_to_one(level: float):
    with pytest.raises(LevelError, match="strictly between 0 and 1, got"):
        win_rate_gap(1, 2, 1, 2, level=level)


def test_of_a_side_without_games_only_the_others_interval_is_known():
    low, high = wilson(30, 50)
    gap = win_rate_gap(0, 0, 30, 50)

    assert np.isnan(gap.estimate)
    assert (gap.low, gap.high) == pytest.approx((-high, 1 - low))
