"""Win rates made comparable where games are spread unevenly over strata."""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy.special import expit, gammaincc

from winrate_tools.errors import CountError, LevelError
from winrate_tools.stats.records.standardise import (
    direct,
    expected_log_odds,
    gamma_interval,
    indirect,
    ratio_interval,
)

PUBLISHED = Path(__file__).parent.parent.parent / "published"

# Selvin, S. (2004), Statistical Analysis of Epidemiologic Data: deaths from cancer by age in
# 1960 and 1940, as the manual of the R package epitools quotes them.
DEATHS_60 = [141, 926, 1253, 1080, 1869, 4891, 14956, 30888, 41725, 26501, 5928]
PEOPLE_60 = [
    1784033, 7065148, 15658730, 10482916, 9939972, 10563872, 9114202, 6850263, 4702482, 1874619,
    330915,
]  # fmt: skip
DEATHS_40 = [45, 201, 320, 670, 1126, 3160, 9723, 17935, 22179, 13461, 2238]
PEOPLE_40 = [
    906897, 3794573, 10003544, 10629526, 9465330, 8249558, 7294330, 5022499, 2920220, 1019504,
    142532,
]  # fmt: skip


def published(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((PUBLISHED / name).read_text(encoding="utf-8").splitlines()))


def admissions(gender: str) -> tuple[list[int], list[int]]:
    rows = [row for row in published("ucb_admissions.csv") if row["Gender"] == gender]
    return [int(row["adm"]) for row in rows], [int(row["n"]) for row in rows]


# Bickel, Hammel and O'Connell (1975). Freedman, Pisani and Purves, Statistics, chapter 2, print
# 39 % and 43 % (from memory); the further digits are a recomputation.
def test_admission_to_berkeley_turns_round_once_departments_count_alike():
    (men, tried), (women, women_tried) = admissions("Male"), admissions("Female")
    everybody = np.add(tried, women_tried)
    crude = [sum(men) / sum(tried), sum(women) / sum(women_tried)]

    standard = direct([men, women], [tried, women_tried], everybody)
    even = direct([men, women], [tried, women_tried], np.ones(6))

    assert crude == pytest.approx([0.4451876626, 0.3035422343])
    assert standard == pytest.approx([0.3873185827, 0.4299553805])
    assert even == pytest.approx([0.3812662281, 0.4172691999])


# Fay and Feuer (1997), Table 1, per 100,000 births; six decimals by epitools and recomputed.
FAY_FEUER = [
    (92.304526, 80.44175, 105.76335),
    (91.174117, 82.361212, 100.867576),
    (85.069221, 77.183453, 94.22357),
    (92.717865, 80.009993, 114.669445),
    (75.529007, 67.70212, 188.30017),
]


def test_downs_syndrome_by_birth_order_matches_fay_and_feuer():
    table = published("fay_feuer_birth_order.csv")
    orders = range(1, 6)
    cases = np.array([[int(row[f"cases.{order}"]) for row in table] for order in orders])
    births = np.array([[int(row[f"births.{order}"]) for row in table] for order in orders])
    standard = births.mean(axis=0)

    rate = direct(cases, births, standard)
    low, high = gamma_interval(cases, births, standard)

    found = 1e5 * np.array([rate, low, high]).T
    assert found == pytest.approx(np.array(FAY_FEUER), abs=6e-6)


def test_cancer_deaths_match_selvin():
    adjusted = direct(DEATHS_40, PEOPLE_40, PEOPLE_60)
    low, high = gamma_interval(DEATHS_40, PEOPLE_40, PEOPLE_60)

    # Printed to two decimals, five by epitools.
    assert 1e5 * float(adjusted) == pytest.approx(139.25054, abs=5e-6)
    assert 1e5 * np.array([low, high]) == pytest.approx([138.21, 140.29], abs=0.005)


def test_indirect_standardisation_of_cancer_deaths_matches_selvin():
    rate_60 = np.divide(DEATHS_60, PEOPLE_60)
    found = indirect(PEOPLE_40, DEATHS_40, rate_60)
    low, high = ratio_interval(found)

    assert float(found.wins) == 71058
    assert float(found.expected) == pytest.approx(85556.889, abs=5e-4)
    assert float(found.ratio) == pytest.approx(0.83053511, abs=5e-9)
    assert [low, high] == pytest.approx([0.82443959, 0.83666450], abs=5e-9)
    assert 1e5 * float(found.ratio) * sum(DEATHS_60) / sum(PEOPLE_60) == pytest.approx(
        137.94145, abs=5e-6
    )


# Spiegelhalter (2005): exact limits as the tests of the R package FunnelPlotR hold them.
@pytest.mark.parametrize(
    ("expected", "level", "low", "high"),
    [
        (15, 0.95, 0.5596924, 1.649348),
        (30, 0.95, 0.6746958, 1.427562),
        (20, 0.998, 0.4479107, 1.902094),
    ],
)
def test_the_ratio_that_is_just_as_expected_has_the_limits_of_a_funnel(
    expected: float, level: float, low: float, high: float
):
    found = ratio_interval(indirect([100], [expected], [expected / 100]), level=level)

    assert list(found) == pytest.approx([low, high], abs=5e-7)


def test_the_gamma_interval_solves_its_equations():
    wins, games, standard = np.array([3, 8, 0]), np.array([400, 900, 50]), np.array([5, 3, 1])
    low, high = gamma_interval(wins, games, standard, level=0.8)

    weight = standard / 9 / games
    rate, variance, most = weight @ wins, weight**2 @ wins, weight.max()
    above = gammaincc(rate**2 / variance, low * rate / variance)
    mean, spread = rate + most, variance + most**2
    beyond = gammaincc(mean**2 / spread, high * mean / spread)
    assert [above, beyond] == pytest.approx([0.9, 0.1])


def test_no_wins_at_all_still_have_an_upper_end():
    low, high = gamma_interval([[0, 0], [2, 1]], [[50, 50], [50, 50]], [1, 1])

    assert low[0] == 0
    assert high[0] == pytest.approx(-np.log(0.025) / 100)
    assert (high > low).all()


def test_a_stratum_of_the_standard_without_games_leaves_the_rate_unknown():
    rate = direct([[1, 0], [1, 3]], [[2, 0], [2, 4]], [1, 1])
    low, high = gamma_interval([[1, 0], [1, 3]], [[2, 0], [2, 4]], [1, 1])

    assert np.isnan([rate[0], low[0], high[0]]).all()
    assert rate[1] == pytest.approx(0.625)
    assert np.isfinite([low[1], high[1]]).all()


def test_a_stratum_that_the_standard_leaves_out_may_be_empty():
    assert direct([1, 0], [2, 0], [3, 0]) == pytest.approx(0.5)
    assert np.isfinite(gamma_interval([1, 0], [2, 0], [3, 0])).all()


def test_nothing_expected_gives_no_ratio():
    found = indirect([[0, 0], [4, 1]], [[0, 0], [0, 0]], [0.5, 0.4])
    low, high = ratio_interval(found)

    assert np.isnan([found.ratio[0], low[0], high[0]]).all()
    assert (found.ratio[1], low[1]) == (0, 0)
    assert high[1] == pytest.approx(-np.log(0.025) / 2.4)


CARD, STRATUM = np.array([0, 0, 1, 1, 3]), np.array([0, 1, 0, 2, 1])
GAMES, WINS = np.array([30.0, 10, 50, 20, 90]), np.array([18.0, 4, 24, 12, 40])


def test_the_log_odds_expected_match_the_sums_written_out():
    found = expected_log_odds(CARD, STRATUM, GAMES, WINS)

    overall = 98 / 200
    rate = [
        (42 + 20 * overall) / 100,
        (44 + 20 * overall) / 120,
        (12 + 20 * overall) / 40,
    ]
    by_hand = [
        (30 * rate[0] + 10 * rate[1]) / 40,
        (50 * rate[0] + 20 * rate[2]) / 70,
        overall,
        rate[1],
    ]
    assert expit(found) == pytest.approx(by_hand)


def test_the_expected_rate_is_indirect_standardisation():
    card, stratum = np.divmod(np.arange(12), 3)
    rng = np.random.default_rng(1)
    games = rng.integers(50, 90, 12).astype(float)
    wins = rng.binomial(games.astype(int), 0.5).astype(float)
    grid, won = games.reshape(4, 3), wins.reshape(4, 3)

    rate = won.sum(axis=0) / grid.sum(axis=0)
    found = expected_log_odds(card, stratum, games, wins, prior_games=1e-9)

    assert expit(found) * grid.sum(axis=1) == pytest.approx(indirect(grid, won, rate).expected)


def test_without_strata_every_card_is_expected_at_the_overall_rate():
    found = expected_log_odds(CARD, np.zeros(5, dtype=int), GAMES, WINS)

    assert expit(found) == pytest.approx(np.full(4, 0.49))


def test_a_large_prior_leaves_no_difference_between_strata():
    found = expected_log_odds(CARD, STRATUM, GAMES, WINS, prior_games=1e12)

    assert expit(found) == pytest.approx(np.full(4, 0.49))


@pytest.mark.parametrize(("games", "wins"), [(np.nan, 5.0), (500.0, np.nan)])
def test_a_row_with_a_blank_is_as_if_it_were_not_there(games: float, wins: float):
    longer = expected_log_odds([*CARD, 0], [*STRATUM, 2], [*GAMES, games], [*WINS, wins])

    assert longer == pytest.approx(expected_log_odds(CARD, STRATUM, GAMES, WINS))


@pytest.mark.parametrize("wins", [0.0, 4.0])
def test_refuses_a_table_without_a_win_or_without_a_loss(wins: float):
    with pytest.raises(CountError, match="some games must be won and some lost"):
        expected_log_odds([0], [0], [4.0], [wins])


@pytest.mark.parametrize("function", [direct, gamma_interval])
@pytest.mark.parametrize(
    ("wins", "games", "standard", "message"),
    [
        ([5], [4], [1], r"wins must lie between 0 and games \(4\), got 5"),
        ([1], [4], [0], "games of the standard must be numbers from 0, not all 0"),
        ([1, 1], [4, 4], [1, -1], "games of the standard must be numbers from 0, not all 0"),
        ([1, 2], [4, 4, 4], [1], "strata must be the same for all columns"),
    ],
)
def test_refuses_columns_that_make_no_sense(function, wins, games, standard, message: str):
    with pytest.raises(CountError, match=message):
        function(wins, games, standard)


def test_refuses_a_rate_that_is_none():
    with pytest.raises(CountError, match=r"stratum rates must lie from 0 to 1, got 1\.2"):
        indirect([4], [1], [1.2])


@pytest.mark.parametrize("level", [0, 1, 95, float("nan")])
def test_refuses_a_level_outside_zero_to_one(level: float):
    with pytest.raises(LevelError, match="level must lie strictly between 0 and 1, got"):
        gamma_interval([1], [4], [1], level=level)
    with pytest.raises(LevelError, match="level must lie strictly between 0 and 1, got"):
        ratio_interval(indirect([4], [1], [0.5]), level=level)


def test_a_stratum_that_the_standard_leaves_out_does_not_move_the_interval():
    left_out = gamma_interval([3, 5, 90], [1000, 500, 100], [1, 1, 0])

    assert left_out == pytest.approx(gamma_interval([3, 5], [1000, 500], [1, 1]))


def test_less_than_one_win_can_be_expected():
    assert indirect([1, 3], [1, 1], [0.25, 0.05]).ratio == pytest.approx(2 / 0.4)
