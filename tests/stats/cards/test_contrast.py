"""A card in hand against the same card in the deck."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from winrate_tools.simulate.history import Simulation, card_table, simulate, true_effects
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.cards.contrast import EXTRA_SD, Contrast, contrast
from winrate_tools.stats.records.mantel_haenszel import log_odds_ratio, two_groups

Numbers = npt.NDArray[np.float64]

# Three cards in two archetypes, one row a card in an archetype.
HELD, HELD_WON = [40, 30, 60, 20, 50], [25, 14, 35, 9, 20]
LEFT, LEFT_WON = [50, 40, 70, 20, 30], [26, 20, 30, 12, 15]
CARD, STRATUM = [0, 0, 1, 1, 2], [0, 1, 0, 1, 1]


def log_odds(won: float, played: float) -> float:
    return float(np.log(won / (played - won)))


def test_matches_the_sums_written_out():
    found = contrast(HELD, HELD_WON, LEFT, LEFT_WON, CARD, STRATUM)

    up = 25 * 24 / 90 + 14 * 20 / 70 + 0.25
    down = 15 * 26 / 90 + 16 * 20 / 70 + 0.25
    gap_0 = np.log((60 * 64 / 220 + 0.25) / (40 * 56 / 220 + 0.25))
    gap_1 = np.log((43 * 43 / 190 + 0.25) / (57 * 47 / 190 + 0.25))
    weights = 40 * 50 / 90, 30 * 40 / 70
    usual = (weights[0] * gap_0 + weights[1] * gap_1) / sum(weights)
    assert found.stratum_gap == pytest.approx([gap_0, gap_1])
    assert found.estimate[0] == pytest.approx(np.log(up / down) - usual)


def test_the_variance_is_that_of_the_pooled_figure_and_the_extra():
    found = contrast(HELD, HELD_WON, LEFT, LEFT_WON, CARD, STRATUM)
    bare = contrast(HELD, HELD_WON, LEFT, LEFT_WON, CARD, STRATUM, extra_sd=0)
    pooled = log_odds_ratio(two_groups(HELD_WON, HELD, LEFT_WON, LEFT, item=CARD), added=0.25)

    assert bare.variance == pytest.approx(pooled.variance)
    assert found.variance - bare.variance == pytest.approx(np.full(3, EXTRA_SD**2))


def test_the_uncentred_part_agrees_with_statsmodels():
    from statsmodels.stats.contingency_tables import StratifiedTable

    tables = [np.array([[2500, 1500], [2600, 2400]]), np.array([[1400, 1600], [2000, 2000]])]
    theirs = StratifiedTable(tables)
    found = contrast([4000, 3000], [2500, 1400], [5000, 4000], [2600, 2000], [0, 0], [0, 1])

    weight = np.array([4000 * 5000 / 9000, 3000 * 4000 / 7000])
    uncentred = found.estimate[0] + weight @ found.stratum_gap / weight.sum()
    assert uncentred == pytest.approx(theirs.logodds_pooled, abs=1e-4)
    assert found.variance[0] - EXTRA_SD**2 == pytest.approx(
        theirs.logodds_pooled_se**2, rel=1e-3
    )


def test_pace_that_all_cards_share_falls_out():
    games = np.full(4, 1e6)
    chance = {0: (0.60, 0.50), 1: (0.42, 0.50)}
    held = games * [chance[k][0] for k in (0, 1, 0, 1)]
    left = games * [chance[k][1] for k in (0, 1, 0, 1)]

    found = contrast(games, held, games, left, [0, 0, 1, 2], [0, 1, 0, 1])

    assert found.stratum_gap == pytest.approx([log_odds(60, 100), log_odds(42, 100)], abs=1e-5)
    assert found.estimate[1:] == pytest.approx([0, 0], abs=1e-5)
    assert found.estimate[0] == pytest.approx(0, abs=0.005)


def test_a_card_that_only_one_side_has_seen_gets_nothing():
    found = contrast([5, 0, 9], [3, 0, 4], [0, 8, 9], [0, 3, 5], [0, 1, 2], [0, 0, 0])

    assert np.isnan(found.estimate[:2]).all()
    assert np.isnan(found.variance[:2]).all()
    assert np.isfinite([found.estimate[2], found.variance[2]]).all()


def test_sides_that_never_met_in_one_archetype_say_nothing():
    found = contrast([5, 0, 9], [3, 0, 4], [0, 8, 9], [0, 3, 5], [0, 0, 1], [0, 1, 0])

    assert np.isnan(found.estimate[0])


def test_a_row_with_a_blank_is_as_if_it_were_not_there():
    whole = contrast(HELD, HELD_WON, LEFT, LEFT_WON, CARD, STRATUM)
    blank = contrast(
        [*HELD, 90],
        [*HELD_WON, 30],
        [*LEFT, 90],
        [*LEFT_WON, np.nan],
        [*CARD, 2],
        [*STRATUM, 0],
    )

    assert blank.estimate == pytest.approx(whole.estimate)
    assert blank.variance == pytest.approx(whole.variance)


def test_a_card_that_always_wins_keeps_a_finite_figure():
    found = contrast([6, 50], [6, 25], [4, 50], [4, 25], [0, 1], [0, 0])

    assert np.isfinite(found.estimate).all()
    assert found.variance[0] > found.variance[1]


SEEDS = range(4)
GAMES = 80_000
TEMPO_SD = 1.5
"""Archetypes that differ in how much long games suit them."""


@pytest.fixture(scope="module")
def worlds() -> list[Simulation]:
    return [
        simulate(
            replace(random_world(np.random.default_rng(seed), games=GAMES), tempo_sd=TEMPO_SD),
            seed,
        )
        for seed in SEEDS
    ]


def seen(world: Simulation, detail: tuple[str, ...]) -> tuple[Contrast, Contrast]:
    """Contrasts centred on archetypes, and on nothing finer than the whole sample."""
    table = card_table(world, "held", detail, unheld=True)
    assert table.unheld_games is not None
    code = {name: i for i, name in enumerate(world.truth.card)}
    labels = list(zip(*(getattr(table, name) for name in detail), strict=True))
    layer = {label: k for k, label in enumerate(dict.fromkeys(labels))}
    counts = (table.games, table.wins, table.unheld_games, table.unheld_wins)
    card = [code[name] for name in table.card]
    centred = contrast(*counts, card, [layer[label] for label in labels], extra_sd=0)
    pooled = log_odds_ratio(
        two_groups(table.wins, table.games, table.unheld_wins, table.unheld_games, item=card),
        added=0.25,
    )
    return centred, Contrast(pooled.estimate, pooled.variance, centred.stratum_gap)


def weighted(weight: Numbers) -> Callable[[Numbers, Numbers], float]:
    """Weighted covariance."""

    def covariance(x: Numbers, y: Numbers) -> float:
        mean_x, mean_y = np.average(x, weights=weight), np.average(y, weights=weight)
        return float(np.average((x - mean_x) * (y - mean_y), weights=weight))

    return covariance


def correlation(truth: Numbers, found: Contrast) -> float:
    cov = weighted(1 / (found.variance + EXTRA_SD**2))
    spread = cov(truth, truth) * cov(found.estimate, found.estimate)
    return cov(truth, found.estimate) / float(np.sqrt(spread))


def slope(truth: Numbers, found: Contrast) -> float:
    """Slope of the truth on the contrast, its sampling variance taken off."""
    weight = 1 / (found.variance + EXTRA_SD**2)
    cov = weighted(weight)
    noise = float(np.average(found.variance, weights=weight))
    return cov(truth, found.estimate) / (cov(found.estimate, found.estimate) - noise)


DETAILS = [("archetype",), ("archetype", "skill_band")]


@pytest.mark.parametrize("detail", DETAILS, ids=" x ".join)
def test_centring_brings_the_contrast_nearer_to_the_truth(worlds, detail):
    pairs = [(true_effects(world), seen(world, detail)) for world in worlds]

    centred = np.mean([correlation(truth, found) for truth, (found, _) in pairs])
    uncentred = np.mean([correlation(truth, found) for truth, (_, found) in pairs])

    assert centred > uncentred + 0.03
    assert centred > 0.85


@pytest.mark.parametrize("detail", DETAILS, ids=" x ".join)
def test_a_unit_of_contrast_is_a_unit_of_truth(worlds, detail):
    slopes = [slope(true_effects(world), seen(world, detail)[0]) for world in worlds]

    assert np.mean(slopes) == pytest.approx(1, abs=0.04)


@pytest.mark.parametrize("detail", DETAILS, ids=" x ".join)
def test_the_variance_tells_how_far_the_truth_is(worlds, detail):
    misses = []
    for world in worlds:
        found, _ = seen(world, detail)
        miss = found.estimate - true_effects(world)
        weight = 1 / found.variance
        misses.append(np.mean((miss - np.average(miss, weights=weight)) ** 2 * weight))

    assert np.mean(misses) == pytest.approx(1, abs=0.06)


def test_one_game_on_either_side_says_something():
    found = contrast([1, 400], [1, 240], [1, 600], [0, 300], [0, 1], [0, 0])

    assert np.isfinite(found.estimate).all()
    assert found.variance[0] > found.variance[1] > 0
