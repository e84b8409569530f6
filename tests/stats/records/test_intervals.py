"""Intervals for one win rate."""

import csv
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import bdtr, bdtrc, betainc

from winrate_tools.errors import CountError, LevelError
from winrate_tools.stats.records.intervals import (
    agresti_coull,
    beta_interval,
    clopper_pearson,
    jeffreys,
    wilson,
)

METHODS = [wilson, agresti_coull, clopper_pearson, jeffreys]
EVERY_METHOD = pytest.mark.parametrize("method", [*METHODS, beta_interval])
PUBLISHED = Path(__file__).parent.parent.parent / "published"

# Newcombe (1998), Statistics in Medicine 17:857-872, Table I, methods 3 (wilson) and 5 (exact),
# 95 %. Printed to four decimals; the six of `*_computed` are a recomputation. The exact row is
# from memory, the Wilson row as public test suites quote it.
NEWCOMBE_TABLE_I = [
    row
    for row in csv.DictReader(
        (PUBLISHED / "newcombe1998_table1.csv").read_text(encoding="utf-8").splitlines()
    )
    if row["method"] in {"wilson", "exact"}
]
HALF_THE_SIXTH_DECIMAL = 0.5e-6
THE_FOURTH_DECIMAL = 1e-4

# binom.confint of R's package binom, kept in the tests of statsmodels
# (stats/tests/results/results_proportion.py), 95 %. Agresti-Coull is not cut off there, but
# none of these reaches beyond an end. The high end of Jeffreys at 190/200 is a recomputation.
R_BINOM = [
    pytest.param(wilson, 4, 20, 0.0806576626, 0.4160174323),
    pytest.param(wilson, 18, 20, 0.6989663548, 0.9721335188),
    pytest.param(wilson, 4, 200, 0.0078044264, 0.0502870869),
    pytest.param(wilson, 190, 200, 0.9104218519, 0.9726173544),
    pytest.param(agresti_coull, 4, 20, 0.0749115103, 0.4217635846),
    pytest.param(agresti_coull, 18, 20, 0.6867561126, 0.9843437610),
    pytest.param(agresti_coull, 4, 200, 0.0059919545, 0.0520995588),
    pytest.param(agresti_coull, 190, 200, 0.9093073079, 0.9737318983),
    pytest.param(clopper_pearson, 4, 20, 0.0573339971, 0.4366140030),
    pytest.param(clopper_pearson, 18, 20, 0.6830172860, 0.9876514728),
    pytest.param(clopper_pearson, 4, 200, 0.0054755659, 0.0504136091),
    pytest.param(clopper_pearson, 190, 200, 0.9099724623, 0.9757658345),
    pytest.param(jeffreys, 4, 20, 0.0715200525, 0.4082257625),
    pytest.param(jeffreys, 18, 20, 0.7161467427, 0.9786275120),
    pytest.param(jeffreys, 4, 200, 0.0067875988, 0.0468465670),
    pytest.param(jeffreys, 190, 200, 0.9131249119, 0.9740066028),
]
HALF_THE_TENTH_DECIMAL = 0.6e-10

# Recomputed with 40 digits; no claim from the literature.
ANCHORS = [
    pytest.param(wilson, 1, 10, 0.017876213095072904, 0.4041500267952385),
    pytest.param(wilson, 1, 1e6, 1.7652457674537147e-7, 5.664911804311443e-6),
    pytest.param(wilson, 999_999, 1e6, 0.99999433508819569, 0.99999982347542325),
    pytest.param(wilson, 500_000, 1e6, 0.49902001989000478, 0.50097998010999522),
    pytest.param(wilson, 81, 263, 0.25528851987827423, 0.36620957698280007),
    pytest.param(clopper_pearson, 1, 10, 0.0025285785444617845, 0.44501611702819542),
    pytest.param(clopper_pearson, 0, 1e6, 0, 3.6888726502064891e-6),
    pytest.param(clopper_pearson, 1, 1e6, 2.5317807663794178e-8, 5.5716306551722443e-6),
    pytest.param(clopper_pearson, 3, 1e5, 6.1867639589220312e-6, 8.7670202566362016e-5),
    pytest.param(clopper_pearson, 50, 100, 0.39832112950330098, 0.60167887049669902),
]

# Gelman et al., Bayesian Data Analysis, 3rd edition, Table 2.1: 437 girls of 980 births with
# placenta praevia, priors of mean .485 worth so many births. Values from memory.
BDA_TABLE_2_1 = [
    pytest.param(2, 0.446, 0.415, 0.477),
    pytest.param(5, 0.446, 0.415, 0.477),
    pytest.param(10, 0.446, 0.415, 0.477),
    pytest.param(20, 0.447, 0.416, 0.478),
    pytest.param(100, 0.450, 0.420, 0.479),
    pytest.param(200, 0.453, 0.424, 0.481),
]
HALF_THE_THIRD_DECIMAL = 0.5e-3

COUNTS = st.integers(1, 2000).flatmap(
    lambda games: st.tuples(st.integers(0, games), st.just(games))
)


@pytest.mark.parametrize("row", NEWCOMBE_TABLE_I, ids=lambda row: f"{row['method']}-{row['x']}")
def test_matches_newcombe_table_i(row: dict[str, str]):
    method = {"wilson": wilson, "exact": clopper_pearson}[row["method"]]

    low, high = method(int(row["x"]), int(row["n"]))

    assert low == pytest.approx(float(row["lower"]), abs=THE_FOURTH_DECIMAL)
    assert high == pytest.approx(float(row["upper"]), abs=THE_FOURTH_DECIMAL)
    assert low == pytest.approx(float(row["lower_computed"]), abs=HALF_THE_SIXTH_DECIMAL)
    assert high == pytest.approx(float(row["upper_computed"]), abs=HALF_THE_SIXTH_DECIMAL)


def test_newcombe_table_i_holds_four_rows_a_method():
    assert len(NEWCOMBE_TABLE_I) == 8


@pytest.mark.parametrize(("method", "wins", "games", "low", "high"), R_BINOM)
def test_matches_r_binom(method, wins: int, games: int, low: float, high: float):
    assert method(wins, games) == pytest.approx((low, high), abs=HALF_THE_TENTH_DECIMAL)


@pytest.mark.parametrize(("method", "wins", "games", "low", "high"), ANCHORS)
def test_keeps_its_digits(method, wins: float, games: float, low: float, high: float):
    assert method(wins, games) == pytest.approx((low, high), rel=1e-11, abs=0)


@pytest.mark.parametrize(("births", "median", "low", "high"), BDA_TABLE_2_1)
def test_matches_placenta_praevia(births: int, median: float, low: float, high: float):
    prior = (0.485 * births, 0.515 * births)

    interval = beta_interval(437, 980, prior=prior)
    middle = beta_interval(437, 980, prior=prior, level=1e-9)

    assert interval == pytest.approx((low, high), abs=HALF_THE_THIRD_DECIMAL)
    assert middle == pytest.approx((median, median), abs=HALF_THE_THIRD_DECIMAL)


def test_a_flat_prior_gives_the_placenta_praevia_interval_to_seven_digits():
    assert beta_interval(437, 980) == pytest.approx((0.4150655, 0.4771998), abs=0.5e-7)


def test_matches_albert_on_an_informed_prior():
    # Albert, Bayesian Computation with R, chapter 2: 11 heavy sleepers of 27. From memory.
    interval = beta_interval(11, 27, prior=(3.26, 7.19), level=0.9)

    assert interval == pytest.approx((0.2555267, 0.5133608), abs=0.5e-7)


@given(counts=COUNTS, level=st.floats(0.01, 0.999))
def test_wilson_ends_where_the_normal_test_just_refuses(counts: tuple[int, int], level: float):
    wins, games = counts

    ends = np.array(wilson(wins, games, level=level))
    z_squared = (wins - games * ends) ** 2 / (games * ends * (1 - ends) + 1e-300)

    inside = (ends > 0) & (ends < 1)
    expected = NormalDist().inv_cdf((1 + level) / 2) ** 2
    assert inside.any()
    assert z_squared[inside] == pytest.approx(expected, rel=1e-7)


@given(counts=COUNTS, level=st.floats(0.01, 0.999))
def test_clopper_pearson_ends_where_the_tail_is_used_up(counts: tuple[int, int], level: float):
    wins, games = counts
    tail = (1 - level) / 2

    low, high = clopper_pearson(wins, games, level=level)

    assert bdtrc(wins - 1, games, low) == pytest.approx(tail if wins else 1)
    assert bdtr(wins, games, high) == pytest.approx(tail if wins < games else 1)


@given(counts=COUNTS, level=st.floats(0.01, 0.999))
def test_a_posterior_interval_leaves_the_tail_out_at_each_end(
    counts: tuple[int, int], level: float
):
    wins, games = counts

    low, high = beta_interval(wins, games, prior=(2, 3), level=level)

    below, above = betainc(2 + wins, 3 + games - wins, [low, high])
    assert below == pytest.approx((1 - level) / 2)
    assert 1 - above == pytest.approx((1 - level) / 2)


@EVERY_METHOD
@given(counts=COUNTS, level=st.floats(0.01, 0.999))
def test_swapping_wins_and_losses_mirrors_the_interval(
    method, counts: tuple[int, int], level: float
):
    wins, games = counts

    one = method(wins, games, level=level)
    other = method(games - wins, games, level=level)

    assert one == pytest.approx((1 - other.high, 1 - other.low), abs=1e-12)


@EVERY_METHOD
@given(counts=COUNTS)
def test_stays_in_range_and_grows_with_the_level(method, counts: tuple[int, int]):
    narrow, wide = (method(*counts, level=level) for level in (0.8, 0.99))

    assert 0 <= wide.low <= narrow.low < narrow.high <= wide.high <= 1


@pytest.mark.parametrize("method", [wilson, clopper_pearson, jeffreys])
def test_reaches_the_end_exactly_when_no_game_or_every_game_is_won(method):
    games = np.arange(1, 400)

    none, every = method(np.zeros(399), games), method(games, games)

    assert (none.low == 0).all()
    assert (every.high == 1).all()
    assert ((none.high < 1) & (every.low > 0)).all()


def test_agresti_coull_is_cut_off_at_the_ends():
    none, every = agresti_coull([0, 20], 20).low, agresti_coull([0, 20], 20).high

    assert none[0] == 0
    assert every[1] == 1


@pytest.mark.parametrize("method", METHODS)
def test_without_games_anything_may_be_true(method):
    assert method(0, 0) == (0, 1)


def test_without_games_the_posterior_is_the_prior():
    assert beta_interval(0, 0, level=0.9) == pytest.approx((0.05, 0.95))


@EVERY_METHOD
def test_arrays_broadcast_and_agree_with_single_counts(method):
    wins, games = np.array([[0], [3], [7]]), np.array([7, 9])

    table = method(wins, games)

    assert table.low.shape == table.high.shape == (3, 2)
    assert (table.low[1, 1], table.high[1, 1]) == method(3, 9)


@EVERY_METHOD
def test_two_plain_numbers_give_two_plain_numbers(method):
    low, high = method(3, 9)

    assert isinstance(low, float)
    assert isinstance(high, float)


def test_takes_the_fractions_that_a_design_effect_leaves():
    whole, fraction = wilson(50, 100), wilson(50 / 1.28, 100 / 1.28)

    assert fraction.low < whole.low < whole.high < fraction.high


@EVERY_METHOD
@pytest.mark.parametrize(
    ("wins", "games", "message"),
    [
        (5, 4, "wins must lie between 0 and games (4), got 5"),
        (-1, 4, "wins must lie between 0 and games (4), got -1"),
        ([1, float("nan")], 4, "wins must lie between 0 and games (4), got nan"),
        (0, -1, "games must be a finite number from 0, got -1"),
        (0, [3, float("inf")], "games must be a finite number from 0, got inf"),
        (1, float("nan"), "games must be a finite number from 0, got nan"),
        ([1, 2], [3, 4, 5], "wins and games must have one shape, got (2,) and (3,)"),
    ],
)
def test_refuses_counts_no_match_could_produce(method, wins, games, message: str):
    with pytest.raises(CountError) as caught:
        method(wins, games)

    assert str(caught.value) == message


@EVERY_METHOD
@pytest.mark.parametrize("level", [0, 1, 95, -0.1, float("nan")])
def test_refuses_a_level_outside_zero_to_one(method, level: float):
    with pytest.raises(LevelError, match=r"level must lie strictly between 0 and 1, got"):
        method(1, 2, level=level)


@pytest.mark.parametrize("prior", [(0, 1), (1, -2), (float("nan"), 1), (1, float("inf"))])
def test_refuses_a_prior_without_weight(prior: tuple[float, float]):
    with pytest.raises(CountError, match="both weights of the prior must be above 0, got"):
        beta_interval(1, 2, prior=prior)


@EVERY_METHOD
def test_the_first_impossible_count_is_the_one_that_is_told(method):
    with pytest.raises(CountError, match=r"between 0 and games \(4\), got 5"):
        method([1, 5, 9], [4, 4, 8])
    with pytest.raises(CountError, match="games must be a finite number from 0, got -2"):
        method([1, 5, 9], [4, -2, -1])


def test_both_weights_of_a_prior_are_told():
    with pytest.raises(CountError, match=r"must be above 0, got 0\.5 and -2"):
        beta_interval(1, 2, prior=(0.5, -2))
