"""Worlds that break what the estimates assume, and what the tool then says."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from tests.calibration.scoring import Detail, Score, score
from winrate_tools.decide.cards.doubts import doubts
from winrate_tools.decide.cards.verdicts import Caution
from winrate_tools.settings import Settings
from winrate_tools.simulate.history import Simulation, card_table, simulate, true_effects
from winrate_tools.simulate.random_world import random_world
from winrate_tools.simulate.world import World
from winrate_tools.stats.cards.strength import strength

GAMES = 80_000
BOTH = ("archetype", "skill_band")
DETAILS = {
    "totals": Detail("held"),
    "by archetype": Detail("held", ("archetype",)),
    "by archetype, unheld": Detail("held", ("archetype",), unheld=True),
    "by archetype and band": Detail("held", BOTH),
    "the same, unheld": Detail("held", BOTH, unheld=True),
}
OF_FIT: tuple[Caution, ...] = (
    "usage tells little",
    "scattered records",
    "records too alike",
    "far records",
    "clashing looks",
    "uneven pace",
)
"""Cautions that a table earns by not fitting the model, not by what it lacks."""


def clustered(world: World) -> World:
    return replace(world, deck_sd=0.9, games_per_deck=10.0, drafts=world.drafts // 2)


def dominated(world: World) -> World:
    first, *others = world.archetypes
    return replace(world, archetypes=(replace(first, appeal=9.0), *others))


def long_games_lost(world: World) -> World:
    slow = tuple(replace(one, tempo=-3.0) for one in world.archetypes)
    return replace(world, archetypes=slow, length_sd=0.2)


WORLDS: dict[str, Callable[[World], World]] = {
    "as assumed": lambda world: world,
    "heavy tails": lambda world: replace(world, tails=2.5),
    "usage uninformative": lambda world: replace(
        world, foresight=0.0, insight=0.0, trap_share=0.0, unplayed_share=0.0
    ),
    "usage misleading": lambda world: replace(world, foresight=-0.6, insight=0.0),
    "one dominant archetype": dominated,
    "games in longer runs": clustered,
    "long games are lost": long_games_lost,
    "long games suit some": lambda world: replace(world, tempo_sd=4.0, length_sd=0.2),
    "strong players choose": lambda world: replace(world, skill_sd=0.6, lean_sd=0.35),
}


@dataclass(frozen=True, slots=True)
class Outcome:
    """How verdicts on one world did, and what was said of them."""

    score: Score
    cautions: tuple[Caution, ...]


def played(name: str, seed: int, games: int = GAMES) -> Simulation:
    """Play one world of a kind."""
    usual = random_world(np.random.default_rng([seed, games]), games=games)
    return simulate(WORLDS[name](usual), seed)


def outcome(
    simulation: Simulation, detail: Detail, settings: Settings | None = None
) -> Outcome:
    """Judge a world from a table of some detail."""
    settings = settings or Settings()
    table = card_table(simulation, detail.measure, detail.strata, unheld=detail.unheld)
    fitted = strength(table, settings)
    truth = fitted.rate(true_effects(simulation, detail.measure))
    games = int(simulation.play.games.sum())
    return Outcome(score(fitted, truth, settings, games), doubts(fitted).cautions)


def told(outcomes: Iterable[Outcome]) -> str:
    """How often each caution of a misfit was given."""
    given = [one.cautions for one in outcomes]
    counts = {caution: sum(caution in each for each in given) for caution in OF_FIT}
    said = [f"{name} {count}/{len(given)}" for name, count in counts.items() if count]
    return ", ".join(said) or "none"
