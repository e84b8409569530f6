"""Home tables whose truth is known, and how well the estimates find it."""

from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.stats.home.home import STRAY, USUAL
from winrate_tools.stats.home.home_table import HomeTable, Outside, home_table
from winrate_tools.stats.home.pairs import Contests
from winrate_tools.stats.planning.nights import Lines, chance_settled, pace
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT

Numbers = npt.NDArray[np.float64]
LINES = Lines(-0.08, 0.08, 0.9, 0.8)
MATCH = 3
"""Games of a match; every night everybody meets everybody once, with one deck."""
POINTS = 25
"""Win rate in points for one unit of log-odds between equals."""


@dataclass(frozen=True)
class World:
    """How home tables are made; the first archetype is one that was rebuilt."""

    players: int = 5
    nights: int = 6
    archetypes: int = 9
    spread: float = 0.15
    outside_sd: float = 0.04
    usual: float = USUAL
    stray_share: float = 0.05
    rebuilt: float = 0.2
    skill: float = 0.5
    deck: float = 0.3


@dataclass(frozen=True, eq=False)
class Home:
    """One table: its truth, and what strangers say."""

    world: World
    skill: Numbers
    strength: Numbers
    outside: Outside

    @property
    def contrasts(self) -> Numbers:
        """Each archetype against the mean of all, over all strengths."""
        count, players = self.world.archetypes, self.world.players
        against = np.zeros((count, players + 1 + count))
        against[:, players + 1 :] = np.eye(count) - 1 / count
        return against

    @property
    def truth(self) -> Numbers:
        """Archetypes' true strengths against the mean of all."""
        return self.strength - self.strength.mean()


@dataclass(frozen=True)
class Found:
    """What one table's estimates are worth: shares covered, and squared errors."""

    games: float
    cover: float
    rebuilt: float
    players: float
    ours: float
    outside: float
    alone: float


def new_home(world: World, rng: np.random.Generator) -> Home:
    """Draw one table of a world."""
    count = world.archetypes
    strangers = rng.normal(0, world.spread, count)
    differs = np.where(rng.random(count) < world.stray_share, STRAY, world.usual)
    strength = strangers + differs * rng.normal(size=count)
    strength[0] += world.rebuilt * rng.normal()
    sd, holds = np.full(count, world.outside_sd), np.arange(count) > 0
    sd[0] = np.sqrt(world.outside_sd**2 + USUAL**2 + 0.2**2)
    mean = strangers + rng.normal(0, world.outside_sd, count)
    skill = rng.normal(0, world.skill, world.players)
    return Home(world, skill, strength, Outside(mean, sd, holds))


def play(home: Home, nights: int, rng: np.random.Generator) -> Contests:
    """Play some nights; a deck may turn out better or worse than its archetype."""
    rows = []
    world = home.world
    for _ in range(nights):
        held = rng.integers(0, world.archetypes, world.players)
        luck = rng.normal(0, world.deck, world.players)
        deck = home.skill + home.strength[held] + luck
        for one in range(world.players):
            for other in range(one):
                won = rng.binomial(MATCH, expit(deck[one] - deck[other]))
                rows.append((one, other, won, MATCH, held[one], held[other]))
    one, other, won, games, ours, theirs = np.array(rows).T
    seat = np.zeros(len(one))
    return Contests(one, other, won.astype(float), games.astype(float), ours, theirs, seat)


def joined(first: Contests, then: Contests) -> Contests:
    """Put the games of two spells together."""
    parts = (
        (getattr(spell, field.name) for spell in (first, then)) for field in fields(Contests)
    )
    return Contests(*(np.concatenate([*pair]) for pair in parts))


def weighed(home: Home, met: Contests, outside: Outside | None = None) -> HomeTable:
    """Weigh games with what strangers say."""
    world = home.world
    return home_table(
        met.rows(world.players, world.archetypes),
        met.wins,
        met.games,
        outside or home.outside,
        players=world.players,
        design_effect=DEFAULT_DESIGN_EFFECT,
    )


def a_game(home: Home, met: Contests) -> Numbers:
    """Information that a further game brings, as far as these tell."""
    world = home.world
    pairs = np.zeros((world.players,) * 2)
    decks = np.zeros((world.players, world.archetypes))
    np.add.at(pairs, (met.player, met.opponent), met.games)
    for who, what in ((met.player, met.archetype), (met.opponent, met.opponent_archetype)):
        np.add.at(decks, (who, what), 1 / (world.players - 1))
    share = np.full(world.archetypes, 1 / world.archetypes)
    return pace(pairs, decks, share, design_effect=DEFAULT_DESIGN_EFFECT)


def score(world: World, seed: int) -> Found:
    """Play one table and score what is made of it."""
    rng = np.random.default_rng([seed, world.players, world.nights])
    home = new_home(world, rng)
    met = play(home, world.nights, rng)
    table, count = weighed(home, met), world.archetypes
    nobody = Outside(np.zeros(count), np.ones(count), np.zeros(count, dtype=bool))
    believed, alone = table.of(home.contrasts), weighed(home, met, nobody).of(home.contrasts)
    covered = _covered(believed, home.truth)
    against = np.eye(world.players, table.mean.shape[1])
    against[:, : world.players] -= 1 / world.players
    strangers = home.outside.mean - home.outside.mean.mean()
    return Found(
        games=float(met.games.sum()),
        cover=float(covered.mean()),
        rebuilt=float(covered[0]),
        players=float(_covered(table.of(against), home.skill - home.skill.mean()).mean()),
        ours=float(((believed.centre - home.truth) ** 2).mean()),
        outside=float(((strangers - home.truth) ** 2).mean()),
        alone=float(((alone.centre - home.truth) ** 2).mean()),
    )


def _covered(believed, truth: Numbers) -> Numbers:
    return (believed.quantile(0.05) < truth) & (truth < believed.quantile(0.95))


def mean_found(world: World, seeds: range) -> Found:
    """Average what many tables scored; errors become root mean squares in points."""
    rows = [score(world, seed) for seed in seeds]
    mean = {
        field.name: np.mean([getattr(one, field.name) for one in rows])
        for field in fields(Found)
    }
    for name in ("ours", "outside", "alone"):
        mean[name] = POINTS * np.sqrt(mean[name])
    return Found(**{name: float(value) for name, value in mean.items()})


def settling(world: World, further: int, seeds: range) -> tuple[Numbers, Numbers]:
    """Foretell which open verdicts further nights settle, and play those nights.

    Returns
    -------
    tuple of two ndarrays
        Chances foretold, and whether it happened, one entry an open verdict.
    """
    foretold, happened = [], []
    for seed in seeds:
        rng = np.random.default_rng([seed, world.players, further])
        home = new_home(world, rng)
        met = play(home, world.nights, rng)
        table, ahead = weighed(home, met), play(home, further, rng)
        is_open = ~LINES.settled(table.of(home.contrasts))
        games = float(ahead.games.sum())
        chance = chance_settled(table, home.contrasts, a_game(home, met), games, LINES)
        then = LINES.settled(weighed(home, joined(met, ahead)).of(home.contrasts))
        foretold += [*chance[is_open]]
        happened += [*then[is_open]]
    return np.array(foretold), np.array(happened, dtype=float)


def first_answers(world: World, nights: int, seeds: range) -> tuple[Numbers, Numbers]:
    """Look after every night, take each archetype's first verdict, and see whether it is true.

    Returns
    -------
    tuple of two ndarrays
        Chances stated when the verdict was taken, and whether it was true.
    """
    stated, true = [], []
    for seed in seeds:
        rng = np.random.default_rng([seed, world.players, nights, 7])
        home = new_home(world, rng)
        met, taken = play(home, 1, rng), np.zeros(world.archetypes, dtype=bool)
        for _ in range(nights):
            met = joined(met, play(home, 1, rng))
            believed = weighed(home, met).of(home.contrasts)
            below, above = believed.below(LINES.low), 1 - believed.below(LINES.high)
            for k in np.flatnonzero(LINES.settled(believed) & ~taken):
                side = int(np.argmax([below[k], 1 - below[k] - above[k], above[k]]))
                place = int(home.truth[k] >= LINES.low) + int(home.truth[k] > LINES.high)
                stated.append([below[k], 1 - below[k] - above[k], above[k]][side])
                true.append(place == side)
                taken[k] = True
    return np.array(stated), np.array(true, dtype=float)
