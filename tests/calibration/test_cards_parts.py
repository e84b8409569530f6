"""Whether ranges for what archetypes owe to their cards hold the truth.

Nine archetypes of a world err together, so that covers of few worlds wander: the bar is that
90 % ranges hold the truth of at least 85 %, over worlds on which their model error was not set.
"""

import numpy as np
import pytest
from scipy.special import ndtri

from tests.calibration.test_archetypes import tables
from winrate_tools.decide.archetypes.archetype_counts import archetype_counts
from winrate_tools.simulate.history import card_table, simulate, true_effects
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.archetypes.archetype_parts import archetype_parts
from winrate_tools.stats.archetypes.archetypes import archetype_strength
from winrate_tools.stats.cards.strength import strength

SIZES = (25_000, 80_000, 250_000)
SEEDS, FEW_SEEDS = range(2100, 2108), range(2200, 2203)
BOTH = ("archetype", "skill_band")
DETAILS = [(("archetype",), False), (BOTH, False), (BOTH, True)]
LEAST_COVER = 0.85


def covered(seed: int, games: int, detail: tuple[str, ...], *, unheld: bool) -> list[bool]:
    """Whether the range for each archetype of a random world holds the truth."""
    simulation = simulate(random_world(np.random.default_rng([seed, games]), games=games), seed)
    table = card_table(simulation, detail=detail, unheld=unheld)
    counts = archetype_counts(table, tables(simulation)[1], "held")
    found = archetype_strength(counts.games, counts.wins)
    parts = archetype_parts(found, counts.copies, strength(table).draws(1000, 1))
    more = counts.copies - found.share @ counts.copies
    off = parts.cards - more @ true_effects(simulation)
    return (np.abs(off) < ndtri(0.95) * parts.cards_sd).tolist()


def test_ranges_of_a_few_worlds_hold_the_truth():
    found = [one for seed in FEW_SEEDS for one in covered(seed, 25_000, BOTH, unheld=True)]

    assert len(found) == 27
    assert np.mean(found) >= 0.75


@pytest.mark.slow
@pytest.mark.parametrize(("detail", "unheld"), DETAILS, ids=str)
@pytest.mark.parametrize("games", SIZES)
def test_ranges_hold_the_truth(games, detail, unheld, capsys: pytest.CaptureFixture[str]):
    found = [one for seed in SEEDS for one in covered(seed, games, detail, unheld=unheld)]
    with capsys.disabled():
        print(f"\n| {detail} {unheld} | {games:,} | {100 * np.mean(found):.1f} |")

    assert np.mean(found) >= LEAST_COVER
