"""The world of Lantern Fair: an invented game with all that misleads a reader of win rates.

Six trades of a night market make nine archetypes. Smoke & Mirrors is too strong and lifts the
records of its weak cards; Floating Flowers is failing and drags its good ones down. Some cards
are traps, taken early and weak; some lie in nobody's deck. A few have stories of their own
(`lantern_stories`).
"""

from collections import Counter
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from scipy.special import expit, logit

from winrate_tools.simulate.history import Simulation, simulate, true_effects, true_records
from winrate_tools.simulate.lantern_names import TRADES, fair_name, lantern_name
from winrate_tools.simulate.lantern_stories import tell_stories
from winrate_tools.simulate.truth import Truth, draw_truth
from winrate_tools.simulate.world import Archetype, Rarity, World
from winrate_tools.tables import Flags, Numbers

SEED = 20
"""Chosen so that the records show what the world was made for; not every seed's do."""

TOO_STRONG = "Smoke & Mirrors"
FAILING = "Floating Flowers"

ARCHETYPES = (
    Archetype("Candlelit Supper", (0, 1), effect=0.02, seen=0.40),
    Archetype(TOO_STRONG, (1, 2), effect=0.30, seen=0.44, tempo=0.6, appeal=0.5),
    Archetype("Wind-Up Garden", (2, 3), effect=0.03, seen=0.48, tempo=0.9),
    Archetype(FAILING, (3, 4), effect=-0.30, seen=0.38, tempo=-0.5),
    Archetype("Messages in Bottles", (4, 5), effect=-0.02, seen=0.42),
    Archetype("Recipe Book", (0, 5), effect=0.0, seen=0.50, tempo=0.5),
    Archetype("Honey & Thyme", (0, 3), effect=0.05, seen=0.42),
    Archetype("River Lights", (1, 4), effect=-0.06, seen=0.35, tempo=-1.0, appeal=-0.5),
    Archetype("Printing Press", (2, 5), effect=0.0, seen=0.40, tempo=-0.4),
)

WORLD = World(
    factions=TRADES,
    archetypes=ARCHETYPES,
    rarities=(
        Rarity("common", cards=112, copies=3, spread=0.85),
        Rarity("uncommon", cards=66, copies=2),
        Rarity("rare", cards=34, copies=1, spread=1.3),
        Rarity("lantern", cards=28, copies=1, spread=1.3, special=True),
    ),
    drafts=3000,
    trap_share=0.04,
    trap_effect=-0.24,
    unplayed_share=0.05,
    unplayed_look=-3.6,
    archetype_sd=0.0,
    seen_sd=0.0,
    tempo_sd=0.0,
)

AGAINST_THE_GRAIN = {TOO_STRONG: -0.11, FAILING: 0.10}
"""Mean effect of the cards that only these archetypes play: their records say otherwise."""

LINE = -0.02
"""A card this far below the average is weak."""


@dataclass(frozen=True, slots=True, eq=False)
class Fair:
    """The fair, played, with what only its makers know.

    Attributes
    ----------
    simulation : Simulation
        All drafts and games.
    role : tuple of str
        What each card is for.
    points : ndarray of float
        Each card's own effect on the win rate when held, in percentage points.
    carried_up, carried_down : ndarray of bool
        Weak cards whose record is fine even without luck; fine cards whose record is weak.
    """

    simulation: Simulation
    role: tuple[str, ...]
    points: Numbers
    carried_up: Flags
    carried_down: Flags


@cache
def lantern_fair() -> Fair:
    """Hold the whole fair; the same at every call.

    Returns
    -------
    Fair
        About 120 thousand games of 240 cards.

    Examples
    --------
    >>> len(lantern_fair().role)
    240
    """
    roles, truth = _cards()
    simulation = simulate(WORLD, SEED, truth=truth)
    held = simulation.play.held
    baseline = held.expected.sum() / held.games.sum()
    own = expit(logit(baseline) + true_effects(simulation)) - baseline
    record = true_records(simulation) - baseline
    return Fair(
        simulation=simulation,
        role=roles,
        points=100 * own,
        carried_up=(own < LINE) & (record > LINE),
        carried_down=(own > LINE) & (record < LINE),
    )


def _cards() -> tuple[tuple[str, ...], Truth]:
    """Draw the cards' truth, name them, and change those that have a story."""
    truth = _against_the_grain(draw_truth(WORLD, np.random.default_rng([SEED, 0])))
    so_far: Counter[str] = Counter()
    names, roles = [], []
    for home, rarity in zip(truth.home, WORLD.rarity, strict=True):
        label = WORLD.homes[home]
        if WORLD.rarities[rarity].special:
            lanterns = f"{label.partition('-')[0]} lanterns"
            name, role = lantern_name(label, so_far[lanterns]), "lantern"
            so_far[lanterns] += 1
        else:
            name, role = fair_name(label, so_far[label])
            so_far[label] += 1
        names.append(name)
        roles.append(role)
    return tuple(roles), tell_stories(WORLD, replace(truth, card=tuple(names)))


def _against_the_grain(truth: Truth) -> Truth:
    """Make cards of the strong archetype weak and cards of the failing one good."""
    effect = truth.effect.copy()
    for place, archetype in enumerate(WORLD.archetypes):
        own = truth.home == len(TRADES) + place
        own &= ~truth.is_trap & ~truth.is_unplayed
        if archetype.name in AGAINST_THE_GRAIN:
            spread = np.linspace(0.9, 1.2, np.count_nonzero(own))
            effect[own] = AGAINST_THE_GRAIN[archetype.name] * spread
    return replace(truth, effect=effect)
