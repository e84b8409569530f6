"""How a card's effect changes with skill."""

import numpy as np
import pytest
import statsmodels.api as sm
from scipy.special import expit, logit

from winrate_tools.stats.cards.skill import (
    FAR_SLOPE,
    FEWEST_SLOPES,
    USUAL_SLOPE_SD,
    Slopes,
    slopes,
    unknown_slopes,
)
from winrate_tools.stats.records.heterogeneity import paule_mandel, shrunk

LEVELS = np.array([-0.4, 0.0, 0.3])


def rows(cards: int = 40, *, sd: float = 0.3, games: float = 4000, seed: int = 1):
    """Rows of cards in three bands, and the slopes they were drawn with."""
    rng = np.random.default_rng(seed)
    slope = rng.normal(0, sd, cards)
    card, band = np.repeat(np.arange(cards), 3), np.tile(np.arange(3), cards)
    played = games * rng.uniform(0.2, 1.8, len(card))
    level = LEVELS[band]
    effect = rng.normal(0, 0.2, cards)[card]
    rate = expit(0.1 + level)
    wins = rng.binomial(played.astype(int), expit(logit(rate) + effect + slope[card] * level))
    return card, level, wins.astype(float), np.floor(played), rate, slope


def fitted(cards: int = 40, **choices) -> tuple[Slopes, np.ndarray]:
    *data, truth = rows(cards, **choices)
    return slopes(*data, cards), truth


def regression(card, level, wins, games, rate, which: int) -> tuple[float, float]:
    """Slope and variance of one card's surprise per information on the level."""
    mine = card == which
    information = (games * rate * (1 - rate))[mine]
    surprise = (wins - games * rate)[mine] / information
    fit = sm.WLS(surprise, sm.add_constant(level[mine]), weights=information).fit()
    return fit.params[1], fit.normalized_cov_params[1, 1]


def prior_variance(found: Slopes) -> float:
    """Variance of nine slopes like most and one that may stand out."""
    return 0.9 * found.sd**2 + 0.1 * max(found.sd, FAR_SLOPE) ** 2


def test_slopes_are_weighted_regressions_drawn_to_0():
    *data, _ = rows(15)
    raw, variance = np.array([regression(*data, which) for which in range(15)]).T
    spread = paule_mandel(raw, variance)

    found = slopes(*data, 15)

    drawn = shrunk(raw - spread.mean, variance, spread.variance, far=FAR_SLOPE)
    assert found.mean == pytest.approx(drawn.mean, rel=1e-6)
    assert found.variance == pytest.approx(drawn.variance, rel=1e-6)
    assert found.sd == pytest.approx(np.sqrt(spread.variance))


def test_the_centre_is_the_mean_level_behind_the_games():
    card, level, wins, games, rate, _ = rows(12)
    information = games * rate * (1 - rate)

    found = slopes(card, level, wins, games, rate, 12)

    assert found.centre[3] == pytest.approx(
        np.average(level[card == 3], weights=information[card == 3])
    )


@pytest.mark.parametrize("sd", [0.1, 0.4])
def test_recovers_how_much_slopes_differ(sd: float):
    found, truth = fitted(300, sd=sd, games=20_000)

    assert found.sd == pytest.approx(sd, rel=0.12)
    error = found.mean - (truth - truth.mean())
    assert np.mean(error**2) == pytest.approx(np.mean(found.variance), rel=0.3)


def test_without_differences_slopes_are_drawn_to_0():
    found, _ = fitted(60, sd=0.0)

    assert found.sd < 0.1
    assert np.abs(found.mean).max() < 0.1


def test_the_mean_slope_is_0_whatever_all_cards_share():
    # What all cards gain with skill is the players', and stands in the bands' own rates.
    card, level, wins, games, rate, _ = rows(40)
    tilted = wins + games * rate * (1 - rate) * 0.2 * level

    plain, moved = (slopes(card, level, each, games, rate, 40) for each in (wins, tilted))

    assert moved.mean == pytest.approx(plain.mean, abs=1e-3)


@pytest.mark.parametrize(
    ("cards", "learns"), [(FEWEST_SLOPES - 1, False), (FEWEST_SLOPES, True)]
)
def test_few_cards_do_not_teach_how_slopes_differ(cards: int, learns: bool):
    found, _ = fitted(cards, sd=0.6)

    assert (found.sd != USUAL_SLOPE_SD) == learns
    assert found.mean.any() == learns
    assert found.centre.any()


def test_a_card_in_one_band_only_keeps_the_prior():
    card, level, wins, games, rate, _ = rows(30)
    games[(card == 7) & (level != 0.3)] = wins[(card == 7) & (level != 0.3)] = 0

    found = slopes(card, level, wins, games, rate, 30)

    assert found.mean[7] == 0
    assert found.variance[7] == pytest.approx(prior_variance(found))
    assert found.centre[7] == pytest.approx(0.3)
    assert np.all(np.delete(found.variance, 7) < found.variance[7])


def test_a_card_without_rows_keeps_the_prior():
    *data, _ = rows(30)

    found = slopes(*data, 31)

    assert (found.mean[30], found.centre[30]) == (0, 0)
    assert found.variance[30] == pytest.approx(prior_variance(found))


def test_slopes_of_players_not_told_apart_are_unknown():
    found = unknown_slopes(3)

    assert found.mean.tolist() == found.centre.tolist() == [0, 0, 0]
    assert found.variance == pytest.approx(np.full(3, USUAL_SLOPE_SD**2))
    assert found.sd == USUAL_SLOPE_SD


def test_effects_are_shifted_from_where_they_were_seen():
    here = Slopes(np.array([0.2, -0.5]), np.array([0.01, 0.04]), np.array([0.3, 0.0]), 0.3)

    mean, variance = here.shift(-0.2)

    assert mean == pytest.approx([0.2 * -0.5, -0.5 * -0.2])
    assert variance == pytest.approx([0.01 * 0.25, 0.04 * 0.04])


def test_where_they_were_seen_nothing_is_added():
    here = Slopes(np.array([0.2]), np.array([0.01]), np.array([0.3]), 0.3)

    mean, variance = here.shift(0.3)

    assert (mean[0], variance[0]) == (0, 0)


def test_slopes_that_nobody_saw_differ_by_three_twentieths_or_stand_out_by_three_tenths():
    few, _ = fitted(FEWEST_SLOPES - 1)
    alike, _ = fitted(60, sd=0.0)
    unseen = prior_variance(alike) - 0.9 * alike.sd**2

    assert (few.sd, unknown_slopes(2).sd) == (0.15, 0.15)
    assert few.variance == pytest.approx(np.full(FEWEST_SLOPES - 1, 0.15**2))
    assert unknown_slopes(2).variance == pytest.approx([0.15**2, 0.15**2])
    assert unseen == pytest.approx(0.1 * 0.3**2)
