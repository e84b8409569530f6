"""Strengths of archetypes."""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import expit, logit

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.archetypes.archetypes import (
    BAND_SD,
    SPREAD_SCALE,
    SPREADS,
    archetype_strength,
)

THREE = np.array([[400.0], [900.0], [700.0]]), np.array([[180.0], [520.0], [390.0]])


def by_brute_force(games: list[float], wins: list[float]) -> tuple[float, float]:
    """Mean and deviation of the log-odds between two archetypes, on a fine grid.

    Given the spread, the two log-odds are normal about the mean with the band's variance in
    common and the spread's of their own.
    """
    n, x = np.array(games), np.array(wins)
    middle = logit(x.sum() / n.sum())
    eta = middle + np.linspace(-2.5, 2.5, 501)
    like = x[:, None] * eta - n[:, None] * np.logaddexp(0, eta)
    like -= like.max(axis=1, keepdims=True)
    first, second = np.meshgrid(eta - middle, eta - middle, indexing="ij")
    total = np.zeros((501, 501))
    for spread in np.linspace(0.005, 1.4, 280):
        shared, own = BAND_SD**2, spread**2
        sums = (first + second) ** 2 / (2 * (2 * shared + own))
        gaps = (first - second) ** 2 / (2 * own)
        density = np.exp(-0.5 * (sums + gaps)) / np.sqrt(own * (2 * shared + own))
        total += density * np.exp(-0.5 * (spread / SPREAD_SCALE) ** 2)
    total *= np.exp(like[0][:, None] + like[1][None, :])
    total /= total.sum()
    gap = first - second
    mean = float((total * gap).sum())
    return mean, float(np.sqrt((total * (gap - mean) ** 2).sum()))


@pytest.mark.parametrize(
    ("games", "wins"),
    [([60, 40], [40, 16]), ([500, 100], [260, 40]), ([30, 2000], [18, 1000])],
)
def test_two_archetypes_agree_with_integration_by_brute_force(games: list, wins: list):
    found = archetype_strength(np.c_[games], np.c_[wins])

    mean, deviation = by_brute_force(games, wins)
    other = games[1] / sum(games)  # the first one's distance from the mean is that of the gap
    assert found.relative.centre[0] == pytest.approx(other * mean, abs=0.01)
    assert found.relative.scale[0] == pytest.approx(other * deviation, rel=0.06)


def test_many_games_leave_the_logits_themselves():
    games = np.array([[4e7], [2e7], [2e7]])
    rates = np.array([0.52, 0.55, 0.58])

    found = archetype_strength(games, games * rates[:, None])

    odds = logit(rates)
    assert found.relative.centre == pytest.approx(odds - odds @ [0.5, 0.25, 0.25], abs=1e-4)
    assert found.mean_rate == pytest.approx(0.5425)


def test_strengths_average_to_nothing_over_all_games():
    found = archetype_strength(*THREE)

    assert found.share.sum() == pytest.approx(1)
    assert found.share @ found.relative.centre == pytest.approx(0, abs=1e-12)


def test_few_games_draw_an_archetype_towards_the_others():
    games = np.array([[20.0], [5000.0], [5000.0], [5000.0]])
    rates = np.array([[0.8], [0.5], [0.52], [0.48]])

    found = archetype_strength(games, games * rates)

    assert 0 < found.relative.centre[0] < 0.4 * logit(0.8)
    assert found.relative.scale[0] > 3 * found.relative.scale[1]


def test_players_do_not_count_as_the_archetypes():
    games = np.array([[9000.0, 1000.0], [1000.0, 9000.0]])
    even = archetype_strength(games, games * [0.45, 0.65])

    raw = games @ [0.45, 0.65] / games.sum(axis=1)
    assert raw[1] - raw[0] == pytest.approx(0.16)
    assert even.relative.centre == pytest.approx([0, 0], abs=0.005)


def test_strength_is_not_lost_where_good_players_favour_the_strong_one():
    games = np.array([[9000.0, 1000.0], [1000.0, 9000.0]])
    chance = expit(np.add.outer([-0.2, 0.2], [-0.1, 0.4]))

    found = archetype_strength(games, games * chance)

    assert found.relative.centre == pytest.approx([-0.2, 0.2], abs=0.01)


def test_an_empty_band_changes_nothing():
    games, wins = THREE
    wide = archetype_strength(np.c_[games, 0 * games], np.c_[wins, 0 * wins])

    assert wide.relative.centre == pytest.approx(
        archetype_strength(games, wins).relative.centre
    )


def test_an_archetype_without_games_is_as_unknown_as_the_spread_allows():
    found = archetype_strength([[0], [3000], [3000], [3000]], [[0], [1500], [1700], [1300]])

    assert found.relative.centre[0] == pytest.approx(0, abs=0.02)
    assert found.relative.scale[0] > found.spread


def test_all_wins_are_finite():
    found = archetype_strength([[5], [1000]], [[5], [500]])

    assert np.isfinite(found.relative.quantile(0.95)).all()
    assert 0 < found.relative.centre[0] < 2


def test_a_design_effect_widens_as_fewer_games_would():
    games, wins = (1000 * each for each in THREE)
    plain, wider = (
        archetype_strength(games, wins),
        archetype_strength(games, wins, design_effect=4),
    )

    assert wider.relative.scale == pytest.approx(2 * plain.relative.scale, rel=0.01)
    assert wider.information == pytest.approx(plain.information / 4)


def test_an_error_of_the_counts_does_not_go_away_with_games():
    games, wins = (1e6 * each for each in THREE)
    found = archetype_strength(games, wins, error=0.03)

    assert found.relative.scale == pytest.approx(0.03, rel=0.01)
    assert (found.removable < 1e-6).all()


def test_games_of_one_archetype_inform_about_it_against_the_others():
    games, wins = THREE
    found = archetype_strength(games, wins)
    more = archetype_strength(1.01 * games, 1.01 * wins)
    rate = wins.sum() / games.sum()

    assert found.information == pytest.approx(rate * (1 - rate) / (1 - found.share))
    gained = 1 / more.removable - 1 / found.removable
    assert gained == pytest.approx(0.01 * games[:, 0] * found.information, rel=0.25)


def test_ranges_cover_as_often_as_they_say():
    rng = np.random.default_rng(5)
    inside = []
    for _ in range(120):
        games = rng.integers(100, 4000, (10, 3)).astype(float)
        strengths = abs(SPREAD_SCALE * rng.standard_normal()) * rng.standard_normal(10)
        wins = rng.binomial(games.astype(int), expit(strengths[:, None] + [-0.2, 0.1, 0.5]))
        found = archetype_strength(games, wins)
        truth = strengths - found.share @ strengths
        inside.append(abs(found.relative.below(truth) - 0.5) < 0.45)

    assert np.mean(inside) == pytest.approx(0.9, abs=0.035)


@pytest.mark.parametrize(
    ("games", "wins", "error", "message"),
    [
        ([[9], [9]], [[10], [1]], CountError, r"between 0 and games \(9\), got 10"),
        ([[9], [np.nan]], [[1], [1]], CountError, "got 1"),
        ([9, 9], [1, 1], CountError, r"archetypes x bands, got \(2,\) and \(2,\)"),
        ([[9], [0]], [[1], [0]], FitError, "at least two archetypes with games.*got 1"),
        ([[9], [8]], [[9], [8]], FitError, "some lost, got 17 wins in 17 games"),
        ([[9], [8]], [[0], [0]], FitError, "some games must be won"),
    ],
)
def test_counts_that_cannot_be_are_refused(games, wins, error, message):
    with pytest.raises(error, match=message):
        archetype_strength(games, wins)


@pytest.mark.parametrize(("games", "wins"), [([60, 40], [54, 28]), ([300, 200], [60, 30])])
def test_two_archetypes_that_win_often_or_seldom_agree_with_brute_force(games, wins):
    found = archetype_strength(np.c_[games], np.c_[wins])

    mean, deviation = by_brute_force(games, wins)
    other = games[1] / sum(games)
    assert found.relative.centre[0] == pytest.approx(other * mean, abs=0.01)
    assert found.relative.scale[0] == pytest.approx(other * deviation, rel=0.06)


def test_games_remove_all_but_the_error_of_the_counts():
    exact, rough = archetype_strength(*THREE), archetype_strength(*THREE, error=0.1)

    assert rough.removable == pytest.approx(exact.removable)
    assert rough.relative.scale**2 == pytest.approx(exact.removable + 0.1**2)


def test_one_game_and_one_win_are_enough():
    found = archetype_strength([[1.0], [1.0]], [[1.0], [0.0]])

    assert found.relative.centre[0] > 0 > found.relative.centre[1]


@pytest.mark.parametrize(
    ("games", "wins", "message"),
    [
        ([[4.0], [4.0]], [[-0.5], [2.0]], r"between 0 and games \(4\), got -0\.5"),
        ([[[4.0]], [[4.0]]], [[[2.0]], [[2.0]]], r"archetypes x bands, got \(2, 1, 1\)"),
    ],
)
def test_counts_just_out_of_bounds_are_refused(games, wins, message):
    with pytest.raises(CountError, match=message):
        archetype_strength(games, wins)


PRECISE = {"xatol": 1e-6, "fatol": 1e-9, "maxiter": 4000}


def by_optimiser(games: np.ndarray, wins: np.ndarray, band_sd: float) -> np.ndarray:
    """Strengths from modes that an optimiser finds, with the bands' own prior written out."""
    count = len(games)
    middle = logit(wins.sum() / games.sum())

    def depth(at: np.ndarray, spread: float) -> float:
        eta = at[:count, None] + at[count:]
        like = (wins * eta - games * np.logaddexp(0, eta)).sum()
        own, band = at[:count] / spread, (at[count:] - middle) / band_sd
        return 0.5 * (own @ own + band @ band) - like

    heights, modes = [], []
    for spread in SPREADS:
        start = np.r_[np.zeros(count), np.full(games.shape[1], middle)]
        found = minimize(depth, start, args=(spread,), method="Nelder-Mead", options=PRECISE).x
        rate = expit(found[:count, None] + found[count:])
        weight = games * rate * (1 - rate)
        curve = np.block([[np.diag(weight.sum(axis=1)), weight],
                          [weight.T, np.diag(weight.sum(axis=0))]])  # fmt: skip
        curve += np.diag([spread**-2] * count + [band_sd**-2] * games.shape[1])
        prior = (1 - count) * np.log(spread) - 0.5 * (spread / SPREAD_SCALE) ** 2
        heights.append(prior - depth(found, spread) - 0.5 * np.linalg.slogdet(curve)[1])
        modes.append(found[:count])
    weight = np.exp(np.array(heights) - max(heights))
    mean = weight @ np.array(modes) / weight.sum()
    return mean - games.sum(axis=1) @ mean / games.sum()


def test_a_band_of_few_games_leans_towards_the_mean_as_its_prior_says():
    # All of its 60 games were won with one archetype: the less bands may differ, the more is
    # that archetype's. Deviations of 1.2 and 1.8 would move it by .004 and .002.
    games, wins = np.array([[90.0, 60.0], [110.0, 0.0]]), np.array([[45.0, 60.0], [55.0, 0.0]])

    found = archetype_strength(games, wins).relative.centre

    assert found == pytest.approx(by_optimiser(games, wins, 1.5), abs=2e-4)
