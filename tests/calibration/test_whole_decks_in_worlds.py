"""Whole decks in simulated worlds of three sizes: what ranges hold, and how views agree."""

import numpy as np
import pytest

from winrate_tools.decide.cards.whole_decks import WholeDecks, seen_with_whole_decks
from winrate_tools.ranking import rank
from winrate_tools.simulate.history import card_table, design_effect, simulate, true_effects
from winrate_tools.simulate.logs import simulate_log
from winrate_tools.simulate.random_world import random_world
from winrate_tools.stats.cards.whole_decks import InHand, effects_in_hand

WORLDS = range(71, 77)
LEAST, MOST = 0.86, 0.96
"""Cover of 9-in-10 ranges, averaged over worlds."""


def seen(seed: int, games: int) -> tuple[InHand, np.ndarray, WholeDecks]:
    """Play a world and look at it both ways; the truth stands between."""
    world = random_world(np.random.default_rng(seed), games=games)
    log, history = simulate_log(world, seed), simulate(world, seed)
    decks = log.decks.cards[log.games.deck].astype(np.int16)
    held = np.where(log.games.held, decks, np.int16(-1))
    band = np.searchsorted(world.skill_cuts, log.decks.skill)
    stratum = (len(world.bands) * log.decks.archetype + band)[log.games.deck]
    effect, won = design_effect(history), log.games.won
    found = effects_in_hand(won, held, decks, world.cards, stratum, design_effect=effect)
    strata = ["archetype", "skill_band"]
    table = card_table(history, "held", strata, usage=False, unheld=True)
    ranked = rank(table, sure=0.95, design_effect=effect).verdict
    view = seen_with_whole_decks(ranked, log.truth.card, found, len(won))
    return found, true_effects(history), view


@pytest.mark.slow
@pytest.mark.parametrize("games", [15_000, 80_000, 400_000])
def test_ranges_hold_the_truth_and_both_views_agree(games: int):
    cover, agreement, apart = [], [], []
    for seed in WORLDS:
        found, truth, view = seen(seed, games)
        cover.append(np.mean(np.abs(found.effect - truth) < 1.645 * found.std_error))
        agreement.append(view.agreement)
        apart.append(len(view.apart) / len(view.cards))
    print(
        f"\n{games:,} games: cover {np.mean(cover):.3f} ({min(cover):.3f} to {max(cover):.3f})"
    )
    print(
        f"correlation {np.mean(agreement):.2f}, apart {np.mean(apart):.4f} ({max(apart):.4f})"
    )

    assert LEAST < np.mean(cover) < MOST
    assert max(apart) <= 0.1
    assert min(agreement) > 0.6
