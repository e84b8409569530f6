"""Two groups of games compared within strata."""

import csv
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from winrate_tools.errors import CountError
from winrate_tools.stats.records.mantel_haenszel import (
    TwoGroups,
    association,
    log_odds_ratio,
    log_rate_ratio,
    rate_difference,
    two_groups,
)

PUBLISHED = Path(__file__).parent.parent.parent / "published"
Z_95, Z_90 = 1.959963984540054, 1.6448536269514722

# Rabbits given penicillin, from the manual page of R's mantelhaen.test: cured and died of the
# first and second treatment in five strata, with empty cells.
RABBITS = np.array(
    [[0, 0, 6, 5], [3, 0, 3, 6], [6, 2, 0, 4], [5, 6, 1, 0], [2, 5, 0, 0]], dtype=float
)
# Tolbutamide and death, by age: Rothman, Greenland and Lash (2008), Modern Epidemiology, 3rd
# edition, Table 15-1, as the tests of the R package metafor quote it.
TOLBUTAMIDE = two_groups([8, 22], [106, 98], [5, 16], [120, 85])


def published(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((PUBLISHED / name).read_text(encoding="utf-8").splitlines()))


def admissions() -> TwoGroups:
    rows = published("ucb_admissions.csv")
    men = [row for row in rows if row["Gender"] == "Male"]
    women = [row for row in rows if row["Gender"] == "Female"]
    assert [row["Dept"] for row in men] == [row["Dept"] for row in women]
    columns = (
        [int(row[name]) for row in side] for side in (men, women) for name in ["adm", "n"]
    )
    return two_groups(*columns)


def smokers() -> TwoGroups:
    cells = np.array(
        [[int(x) for x in list(row.values())[1:]] for row in published("china_smoking.csv")]
    )
    ill, well, other_ill, other_well = cells.T
    return two_groups(ill, ill + well, other_ill, other_ill + other_well)


def rabbits() -> TwoGroups:
    cured, other_cured, died, other_died = RABBITS.T
    return two_groups(cured, cured + died, other_cured, other_cured + other_died)


def interval(pooled: Any, z: float) -> list[float]:
    reach = z * np.sqrt(pooled.variance[0])
    return [
        float(np.exp(pooled.estimate[0] - reach)),
        float(np.exp(pooled.estimate[0] + reach)),
    ]


# Admission of men and women to Berkeley, 1973: R's data; R and statsmodels agree on the figures
# to eight digits.
def test_matches_the_admissions_to_berkeley():
    pooled = log_odds_ratio(admissions())

    assert np.exp(pooled.estimate[0]) == pytest.approx(0.9046968283, abs=1e-9)
    assert np.sqrt(pooled.variance[0]) == pytest.approx(0.0809889097, abs=1e-9)
    assert interval(pooled, Z_95) == pytest.approx([0.7719073618, 1.0603297644], abs=1e-9)
    assert np.exp(log_rate_ratio(admissions()).estimate[0]) == pytest.approx(0.9449050226)
    assert rate_difference(admissions()).estimate[0] == pytest.approx(-0.0184251962)
    assert association(admissions())[0] == pytest.approx(1.5246066604)
    assert association(admissions(), corrected=True)[0] == pytest.approx(1.4269462, abs=1e-6)


# Liu (1992); Agresti, Categorical Data Analysis, prints 280.1 and 2.17 (1.98, 2.38), from
# memory; the further digits are those of statsmodels.
def test_matches_smoking_and_lung_cancer_in_eight_cities():
    pooled = log_odds_ratio(smokers())

    assert np.exp(pooled.estimate[0]) == pytest.approx(2.1744819200, abs=1e-9)
    assert np.sqrt(pooled.variance[0]) == pytest.approx(0.0467735301, abs=1e-9)
    assert interval(pooled, Z_95) == pytest.approx([1.9840019743, 2.3832494532], abs=1e-9)
    assert np.exp(log_rate_ratio(smokers()).estimate[0]) == pytest.approx(1.5191532525)
    assert association(smokers())[0] == pytest.approx(280.1375370533)
    assert association(smokers(), corrected=True)[0] == pytest.approx(279.3757404639)


def test_matches_the_rabbits_with_their_empty_cells():
    pooled = log_odds_ratio(rabbits())

    assert np.exp(pooled.estimate[0]) == pytest.approx(7)
    assert interval(pooled, Z_95) == pytest.approx([1.026712688, 47.72513338])
    assert association(rabbits(), corrected=True)[0] == pytest.approx(3.9285714, abs=1e-7)


# Printed to four decimals; the standard errors are recomputations.
def test_matches_tolbutamide():
    odds, ratio = log_odds_ratio(TOLBUTAMIDE), log_rate_ratio(TOLBUTAMIDE)
    difference = rate_difference(TOLBUTAMIDE)
    reach = Z_90 * np.sqrt(difference.variance[0])

    assert difference.estimate[0] == pytest.approx(0.034900269, abs=1e-9)
    assert np.sqrt(difference.variance[0]) == pytest.approx(0.031902686, abs=1e-9)
    assert difference.estimate[0] - reach == pytest.approx(-0.0176, abs=5e-5)
    assert difference.estimate[0] + reach == pytest.approx(0.0874, abs=5e-5)
    assert np.exp(ratio.estimate[0]) == pytest.approx(1.3255553, abs=1e-7)
    assert interval(ratio, Z_90) == pytest.approx([0.86575321, 2.0295586], abs=1e-7)
    assert np.exp(odds.estimate[0]) == pytest.approx(1.4031, abs=5e-5)
    assert interval(odds, Z_90) == pytest.approx([0.8411, 2.3409], abs=5e-5)
    assert association(TOLBUTAMIDE)[0] == pytest.approx(1.1914, abs=5e-5)


def random_groups(rng: np.random.Generator, strata: int) -> np.ndarray:
    games = rng.integers(9, 60, size=(2, strata))
    wins = rng.binomial(games, rng.uniform(0.2, 0.8, size=(2, strata)))
    return np.array([wins[0], games[0], wins[1], games[1]], dtype=float)


@pytest.mark.parametrize("seed", range(5))
def test_agrees_with_statsmodels_on_random_strata(seed: int):
    from statsmodels.stats.contingency_tables import StratifiedTable

    columns = random_groups(np.random.default_rng(seed), 7)
    won, played, other_won, other_played = columns
    tables = [
        np.array([[a, n - a], [c, m - c]])
        for a, n, c, m in zip(won, played, other_won, other_played, strict=True)
    ]
    theirs = StratifiedTable(tables)
    ours = two_groups(*columns)

    assert log_odds_ratio(ours).estimate[0] == pytest.approx(theirs.logodds_pooled)
    assert np.sqrt(log_odds_ratio(ours).variance[0]) == pytest.approx(theirs.logodds_pooled_se)
    assert association(ours)[0] == pytest.approx(theirs.test_null_odds().statistic)


FIGURES = [log_odds_ratio, log_rate_ratio, rate_difference]


@pytest.mark.parametrize("figure", FIGURES)
def test_many_items_at_once_are_what_each_is_alone(figure):
    rng = np.random.default_rng(3)
    alone = [random_groups(rng, strata) for strata in (1, 4, 9)]
    item = np.repeat([2, 0, 1], [1, 4, 9])

    together = figure(two_groups(*np.concatenate(alone, axis=1), item=item))
    single = [figure(two_groups(*columns)) for columns in (alone[1], alone[2], alone[0])]

    assert together.estimate == pytest.approx([one.estimate[0] for one in single])
    assert together.variance == pytest.approx([one.variance[0] for one in single])


@pytest.mark.parametrize("figure", FIGURES)
def test_swapping_the_groups_flips_the_sign_and_keeps_the_variance(figure):
    won, played, other_won, other_played = random_groups(np.random.default_rng(4), 6)

    one = figure(two_groups(won, played, other_won, other_played))
    other = figure(two_groups(other_won, other_played, won, played))

    assert one.estimate[0] == pytest.approx(-other.estimate[0])
    assert one.variance[0] == pytest.approx(other.variance[0])


@pytest.mark.parametrize("figure", FIGURES)
def test_the_variance_is_how_much_the_figure_varies(figure):
    rng = np.random.default_rng(5)
    games = np.array([[30, 8, 120, 3], [50, 40, 90, 5]])
    wins = rng.binomial(games[None], [[[0.6], [0.5]]], size=(4000, 2, 4)).astype(float)
    item = np.repeat(np.arange(4000), 4)
    first, second = np.broadcast_to(games[:, None], (2, 4000, 4)).reshape(2, -1)

    found = figure(two_groups(wins[:, 0].ravel(), first, wins[:, 1].ravel(), second, item=item))

    assert found.estimate.var() == pytest.approx(found.variance.mean(), rel=0.08)


def test_what_is_added_is_one_more_stratum_with_a_game_in_each_cell():
    columns = random_groups(np.random.default_rng(6), 5)
    longer = np.concatenate([columns, [[1], [2], [1], [2]]], axis=1)

    added = log_odds_ratio(two_groups(*columns), added=0.25)
    pooled = log_odds_ratio(two_groups(*longer))

    assert added.estimate == pytest.approx(pooled.estimate)
    assert added.variance == pytest.approx(pooled.variance)


@pytest.mark.parametrize("figure", FIGURES)
def test_a_side_without_games_says_nothing(figure):
    found = figure(two_groups([3, 0], [5, 0], [0, 4], [0, 9]))

    assert np.isnan(found.estimate).all()
    assert np.isnan(found.variance).all()


def test_half_a_game_is_taken_off_no_further_than_to_nothing():
    even = two_groups([10, 20], [20, 50], [10, 20], [20, 50])

    assert association(even, corrected=True) == pytest.approx([0], abs=1e-12)


def test_a_stratum_of_one_game_adds_nothing_to_the_association():
    longer = two_groups([8, 22, 1], [106, 98, 1], [5, 16, 0], [120, 85, 0])

    assert association(longer) == pytest.approx(association(TOLBUTAMIDE))


@pytest.mark.parametrize(
    ("counts", "message"),
    [
        (([5], [4], [1], [2]), r"wins must lie between 0 and games \(4\), got 5"),
        (([1], [4], [-1], [2]), r"wins must lie between 0 and games \(2\), got -1"),
        (([1], [np.nan], [1], [2]), "wins must lie between 0 and games"),
        (([1], [np.inf], [1], [2]), "wins must lie between 0 and games"),
        (([1, 2], [4], [1], [2]), "must be of one length, got 2, 1, 1, 1, 2"),
    ],
)
def test_refuses_counts_that_no_games_give(counts, message: str):
    with pytest.raises(CountError, match=message):
        two_groups(*counts)


def test_strata_of_two_games_count_as_large_ones_do():
    # The defining sum, stratum by stratum: McNemar's statistic, (b - c)^2 / (b + c).
    first, second = np.array([1, 1, 1, 0, 1, 0]), np.array([0, 0, 0, 1, 1, 0])
    pairs = two_groups(first, np.ones(6), second, np.ones(6))

    assert association(pairs) == pytest.approx([(3 - 1) ** 2 / (3 + 1)])


def test_the_first_impossible_row_is_the_one_that_is_told():
    with pytest.raises(CountError, match=r"between 0 and games \(4\), got 5"):
        two_groups([1, 5, 9], [4, 4, 8], [1, 1, 1], [4, 4, 4])


def test_without_rows_there_are_no_items_but_the_one_that_none_are_named_of():
    assert two_groups([], [], [], [], item=np.array([], dtype=int)).items == 0
    assert two_groups([], [], [], []).items == 1
