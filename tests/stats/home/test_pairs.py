"""Paired comparison: against published fits, the defining equations, another library."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import expit

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.home.pairs import UNKNOWN, Contests, most_likely, posterior

PUBLISHED = Path(__file__).parent.parent.parent / "published"


def contests(pairs, wins, games, seat=0.0, archetypes=None):
    pairs = np.array(pairs)
    what = np.full(pairs.shape, UNKNOWN) if archetypes is None else np.array(archetypes)
    return Contests(
        pairs[:, 0],
        pairs[:, 1],
        np.array(wins, dtype=float),
        np.array(games, dtype=float),
        what[:, 0],
        what[:, 1],
        np.full(len(pairs), seat),
    )


def table(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((PUBLISHED / name).read_text(encoding="utf-8").splitlines()))


def against(rows, first, second, names):
    return [[names.index(row[first]), names.index(row[second])] for row in rows]


# Agresti (1990), Categorical Data Analysis, section 10.5, American League East 1987; values as
# in the vignette of the R package BradleyTerry2 (Turner and Firth 2012, Journal of Statistical
# Software 48(9)), Baltimore = 0. Without the ground, then with it.
CLUBS = ["Baltimore", "Boston", "Cleveland", "Detroit", "Milwaukee", "New York", "Toronto"]
BASEBALL = table("baseball_1987.csv")
HOME_WINS = np.array([float(row["home.wins"]) for row in BASEBALL])
BASEBALL_GAMES = HOME_WINS + [float(row["away.wins"]) for row in BASEBALL]
PLAIN = [1.1077, 0.6839, 1.4364, 1.5814, 1.2476, 1.2945]
PLAIN_ERRORS = [0.3339, 0.3319, 0.3396, 0.3433, 0.3359, 0.3367]
GROUND = [0.3023, 1.1438027, 0.7046945, 1.4753572, 1.6195550, 1.2813404, 1.3271104]
GROUND_ERRORS = [0.1309, 0.3378422, 0.3350014, 0.3445518, 0.3473653, 0.3404034, 0.3403222]


def baseball_rows():
    pairs = against(BASEBALL, "home.team", "away.team", CLUBS)
    return contests(pairs, HOME_WINS, BASEBALL_GAMES, seat=1.0).rows(7, 0)


@pytest.mark.parametrize(
    ("columns", "values", "errors", "deviance"),
    [
        (slice(1, 7), PLAIN, PLAIN_ERRORS, 44.053),
        ([7, *range(1, 7)], GROUND, GROUND_ERRORS, 38.643),
    ],
)
def test_matches_the_published_fit_of_baseball(columns, values, errors, deviance):
    found = most_likely(baseball_rows()[:, columns], HOME_WINS, BASEBALL_GAMES)

    assert found.mean == pytest.approx(values, abs=1e-4)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(errors, abs=1e-4)
    assert found.deviance == pytest.approx(deviance, abs=5e-4)


def test_matches_the_published_likelihood_ratio_of_the_ground():
    rows = baseball_rows()
    plain, ground = (
        most_likely(rows[:, 1:end], HOME_WINS, BASEBALL_GAMES).log_likelihood for end in (7, 8)
    )

    assert 2 * (ground - plain) == pytest.approx(5.4106, abs=1e-4)


# Stigler (1994), Statistical Science 9:94-108: citations between four journals; values as in
# the vignette of BradleyTerry2, Biometrika = 0.
def test_matches_the_published_fit_of_citations():
    cited = np.array(
        [[0, 730, 498, 221], [33, 0, 68, 17], [320, 813, 0, 142], [284, 276, 325, 0]]
    )
    pairs = np.argwhere(np.triu(np.ones((4, 4)), 1))
    wins = cited[pairs[:, 0], pairs[:, 1]]
    games = wins + cited[pairs[:, 1], pairs[:, 0]]

    found = most_likely(contests(pairs, wins, games).rows(4, 0)[:, 1:4], wins * 1.0, games)

    assert found.mean == pytest.approx([-2.94907, -0.47957, 0.26895], abs=1e-5)
    errors = np.sqrt(np.diag(found.covariance))
    assert errors == pytest.approx([0.10255, 0.06059, 0.07083], abs=1e-5)
    assert found.deviance == pytest.approx(4.2934, abs=1e-4)


# England's Premier League 2008-09, draws as half a win each way, strengths centred; values
# computed beforehand by iteratively reweighted least squares apart from this package.
def test_matches_another_computation_with_draws_of_half_a_win():
    rows = table("football_2008.csv")
    names = sorted({row["home"] for row in rows})
    wins = np.array([float(row["won"]) + float(row["drawn"]) / 2 for row in rows])
    met = contests(against(rows, "home", "away", names), wins, np.ones(380), seat=1.0)

    found = most_likely(met.rows(20, 0)[:, 1:], wins, met.games).mean

    strength = np.r_[0.0, found[:-1]] - found[:-1].sum() / 20
    assert found[-1] == pytest.approx(0.414083, abs=1e-6)
    assert strength[names.index("MnU")] == pytest.approx(1.58536, abs=1e-5)
    assert strength[names.index("Mid")] == pytest.approx(-0.79698, abs=1e-5)


def test_agrees_with_the_binomial_model_of_another_library():
    import statsmodels.api as sm

    rows = baseball_rows()[:, 1:]
    model = sm.GLM(
        np.column_stack([HOME_WINS, BASEBALL_GAMES - HOME_WINS]), rows, sm.families.Binomial()
    ).fit()

    found = most_likely(rows, HOME_WINS, BASEBALL_GAMES)

    assert found.mean == pytest.approx(model.params, abs=1e-7)
    assert found.covariance == pytest.approx(model.cov_params(), abs=1e-7)


def test_a_row_codes_who_met_whom_with_what_and_who_began():
    met = Contests(
        np.array([0, 2]),
        np.array([1, 0]),
        np.ones(2),
        np.ones(2),
        np.array([1, UNKNOWN]),
        np.array([0, 1]),
        np.array([1.0, -1.0]),
    )

    assert met.rows(3, 2).tolist() == [[1, -1, 0, 1, -1, 1], [-1, 0, 1, -1, 0, -1]]


def test_the_same_archetype_on_both_sides_tells_nothing_of_it():
    met = contests([[0, 1]], [1], [1], archetypes=[[1, 1]])

    assert met.rows(2, 2)[0, 3:].tolist() == [0, 0]


def test_refuses_a_player_against_themself():
    with pytest.raises(CountError, match="two different players were wanted, got 3 twice"):
        contests([[0, 1], [3, 3]], [1, 1], [1, 1])


@pytest.mark.parametrize("wins", [-0.5, 2.5, np.nan])
def test_refuses_wins_outside_the_games(wins):
    with pytest.raises(CountError, match=r"wins must lie between 0 and games \(2\), got"):
        contests([[0, 1]], [wins], [2])


@pytest.mark.parametrize("wins", [[0, 0], [5, 5]])
def test_no_finite_strength_is_likeliest_for_who_always_won(wins):
    met = contests([[0, 1], [0, 1]], wins, [5, 5])

    with pytest.raises(FitError, match="won or lost every game that tells"):
        most_likely(met.rows(2, 0)[:, :1], met.wins, met.games)


def test_groups_that_never_met_cannot_be_compared():
    met = contests([[0, 1], [2, 3]], [1, 1], [2, 2])

    with pytest.raises(FitError, match="some never met the others"):
        most_likely(met.rows(4, 0)[:, :3], met.wins, met.games)


def test_the_slope_is_nothing_at_the_posterior_mode():
    rows, mean, variance = baseball_rows()[:, :7], np.linspace(-1, 1, 7), np.full(7, 0.3)

    found = posterior(rows, HOME_WINS, BASEBALL_GAMES, mean=mean, variance=variance)

    over = HOME_WINS - BASEBALL_GAMES * expit(rows @ found.mean)
    assert rows.T @ over == pytest.approx((found.mean - mean) / variance, abs=1e-4)
    curve = np.linalg.inv(found.covariance)
    assert curve - np.diag(1 / variance) == pytest.approx(found.information)


def test_without_games_the_posterior_is_the_prior():
    nothing = np.zeros(0)
    mean, variance = np.array([0.1, -0.2]), np.array([0.3, 0.04])

    found = posterior(np.zeros((0, 2)), nothing, nothing, mean=mean, variance=variance)

    assert found.mean == pytest.approx(mean)
    assert found.covariance == pytest.approx(np.diag(variance))
    assert found.log_evidence == pytest.approx(0.0)


def test_evidence_is_the_integral_over_the_prior():
    wins, games = np.array([60.0]), np.array([100.0])
    grid = np.linspace(-4, 4, 8001)
    inside = wins * grid - games * np.logaddexp(0, grid)
    density = np.exp(inside - 0.5 * (grid - 0.2) ** 2 / 0.09) / np.sqrt(2 * np.pi * 0.09)
    exact = np.log(density.sum() * (grid[1] - grid[0]))

    found = posterior(
        np.ones((1, 1)), wins, games, mean=np.array([0.2]), variance=np.array([0.09])
    )

    assert found.log_evidence == pytest.approx(exact, abs=2e-3)


def test_a_design_effect_makes_games_worth_less():
    rows, prior = baseball_rows()[:, :7], {"mean": np.zeros(7), "variance": np.ones(7)}
    half = posterior(rows, HOME_WINS / 2, BASEBALL_GAMES / 2, **prior)

    found = posterior(rows, HOME_WINS, BASEBALL_GAMES, **prior, design_effect=2.0)

    assert found.mean == pytest.approx(half.mean)


@given(
    st.integers(1, 400),
    st.floats(0, 1),
    st.floats(-3, 3),
    st.floats(0.01, 25),
)
def test_the_mode_is_found_however_far_the_prior_is(games, share, mean, variance):
    one = np.ones((1, 1))
    wins, played = np.array([round(games * share)]) * 1.0, np.array([games]) * 1.0

    found = posterior(
        one, wins, played, mean=np.array([mean]), variance=np.array([variance])
    ).mean[0]

    slope = wins[0] - games * expit(found) - (found - mean) / variance
    assert slope == pytest.approx(0.0, abs=1e-3)


def test_a_far_start_is_climbed_back_from():
    one, wins, games = np.ones((1, 1)), np.array([300.0]), np.array([400.0])

    found = posterior(one, wins, games, mean=np.array([-6.0]), variance=np.array([400.0]))

    assert found.mean[0] == pytest.approx(np.log(3), abs=1e-2)


def test_a_row_without_games_adds_nothing():
    rows, wins = np.array([[1.0], [1.0]]), np.array([3.0, 0.0])

    found = most_likely(rows, wins, np.array([4.0, 0.0]))

    assert found.deviance == pytest.approx(0.0, abs=1e-9)
