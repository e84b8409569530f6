"""Swap cards of pools whose truth is known, and see what that really does."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import TypeVar

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.decide.plan.case import Case
from winrate_tools.decide.plan.forecast import forecast
from winrate_tools.decide.plan.solving import solved
from winrate_tools.goals import Goals
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable
from winrate_tools.simulate.history import Simulation, card_table, simulate, true_effects
from winrate_tools.simulate.random_world import random_world
from winrate_tools.simulate.truth import Truth
from winrate_tools.stats.archetypes.archetypes import archetype_strength
from winrate_tools.tables import ArchetypeTable

Numbers = npt.NDArray[np.float64]
Score = TypeVar("Score", "ForecastScore", "PlanScore")
SWAPS = 16
CANDIDATES = 60
ELSEWHERE = 0.53
COMPANY_SD = 0.1
"""Spread of what a candidate's record elsewhere owes to its company there."""


@dataclass(frozen=True)
class Setting:
    """A world, judged, with candidates for its pool.

    Attributes
    ----------
    simulation : Simulation
        The world.
    case : Case
        What a plan starts from.
    truth : ndarray of shape (n,)
        True effects of pool cards and candidates, from the average card of the sample.
    raw : ndarray of shape (n,)
        What raw rates make of them.
    """

    simulation: Simulation
    case: Case
    truth: Numbers
    raw: Numbers


def setting(seed: int, games: int, goals: Goals) -> Setting:
    """Draw a world without skill slopes, judge it, and draw candidates of its kind."""
    rng = np.random.default_rng([seed, games])
    world = replace(random_world(rng, games=games), slope_sd=0.0, narrow_share=0.0)
    simulation = simulate(world, seed)
    verdict = judged(simulation)
    pool = pool_of(simulation)
    own = true_effects(simulation)
    average = float(np.mean(simulation.truth.effect - own / simulation.play.fade))
    table, effects = candidates(simulation, pool, rng)
    case = Case.of(verdict, pool, table, goals)
    records = {card.card: card.win_rate for card in verdict.cards}
    rates = [records[card.card] or verdict.sample_mean for card in pool.cards]
    shifts = [logit(one.wins / one.games) - logit(ELSEWHERE) for one in table.candidates]
    return Setting(
        simulation,
        case,
        np.concatenate([own, simulation.play.fade * (effects - average)]),
        np.concatenate(
            [logit(np.clip(rates, 0.02, 0.98)) - logit(verdict.sample_mean), shifts]
        ),
    )


def judged(simulation: Simulation) -> PoolVerdict:
    """Judge a world by archetype and skill band, with unheld games and whole decks."""
    world, games = simulation.world, simulation.play.games
    decks = ArchetypeTable(
        np.repeat([one.name for one in world.archetypes], games.shape[1]).tolist(),
        games.ravel(),
        simulation.play.wins.ravel(),
        skill_band=list(world.bands) * len(games),
    )
    table = card_table(simulation, detail=("archetype", "skill_band"), unheld=True)
    return judge(table, archetypes=decks)


def pool_of(simulation: Simulation) -> PoolTable:
    """List the world's pool; each home is a faction of its own."""
    world, truth = simulation.world, simulation.truth
    return PoolTable(
        [
            PoolCard(
                name,
                int(world.copies[i]),
                world.homes[truth.home[i]],
                world.rarities[world.rarity[i]].name,
                slot="special" if world.rarities[world.rarity[i]].special else "main",
            )
            for i, name in enumerate(truth.card)
        ]
    )


def candidates(
    simulation: Simulation, pool: PoolTable, rng: np.random.Generator
) -> tuple[CandidateTable, Numbers]:
    """Draw candidates as the pool's cards were drawn, with records that hold company too."""
    world = simulation.world
    like = rng.choice(len(pool.cards), CANDIDATES, replace=False)
    spread = np.array([rarity.spread for rarity in world.rarities])[world.rarity[like]]
    effects = world.effect_sd * spread * rng.standard_normal(CANDIDATES)
    games = np.exp(rng.uniform(np.log(300), np.log(4000), CANDIDATES)).astype(int)
    company = COMPANY_SD * rng.standard_normal(CANDIDATES)
    wins = rng.binomial(games, expit(logit(ELSEWHERE) + effects + company))
    rows = [
        Candidate(replace(pool.cards[i], card=f"new {j:02}"), int(n), int(w), ELSEWHERE)
        for j, (i, n, w) in enumerate(zip(like, games, wins, strict=True))
    ]
    return CandidateTable(rows), effects


@dataclass(frozen=True)
class ForecastScore:
    """Errors of forecasts of archetypes' changes in one world, in points of win rate.

    Root mean squares of saying "no change", of a forecast from raw rates, of ours, and of the
    same sums over the true effects; whether our 8 in 10 ranges hold the truth.
    """

    no_change: float
    raw: float
    ours: float
    from_truth: float
    covered: float


@dataclass(frozen=True)
class PlanScore:
    """True points below the line, summed over the pool's copies, in one world.

    As it is, after the plan from estimates, after one from raw rates, after one from the truth.
    """

    before: float
    ours: float
    raw: float
    from_truth: float


def score_forecast(where: Setting, seed: int, drafts: int) -> ForecastScore:
    """Swap cards, play the changed world, and compare the forecasts."""
    stock, play, verdict = where.case.stock, where.case.play, where.case.verdict
    after = swapped(where)
    changed = world_after(where, after, np.random.default_rng(seed))
    before = true_strengths(where, where.simulation.truth, seed, drafts)
    names = [one.name for one in where.simulation.world.archetypes]
    order = [names.index(name) for name in play.archetype]
    mean = verdict.beliefs.mean if verdict.archetypes is None else verdict.archetypes.mean
    slope = 100 * mean * (1 - mean)
    moved = true_strengths(where, changed, seed + 500, drafts) - before
    truth = slope * moved[order]

    def said(effects: Numbers) -> Numbers:
        strengths = (play.strengths(copies, effects[None]) for copies in (after, stock.before))
        return slope * np.subtract(*strengths)[0]

    found = forecast(stock, play, verdict, after)
    low, high = (
        100 * np.array([getattr(one, f"change_{end}") for one in found])
        for end in ("low", "high")
    )
    ours = 100 * np.array([one.change for one in found])
    return ForecastScore(
        _root_mean_square(truth),
        _root_mean_square(said(where.raw) - truth),
        _root_mean_square(ours - truth),
        _root_mean_square(said(where.truth) - truth),
        float(((low < truth) & (truth < high)).mean()),
    )


def score_plan(where: Setting) -> PlanScore:
    """Plan from estimates, from raw rates and from the truth, and see what is really weak."""
    line = where.case.stock.effect(where.case.verdict.line)

    def below(copies: npt.NDArray[np.int64]) -> float:
        return float(25 * (line - where.truth).clip(0) @ copies)

    plans = (planned(where.case, effects) for effects in (None, where.raw, where.truth))
    return PlanScore(below(where.case.stock.before), *map(below, plans))


def mean_score(scores: Sequence[Score]) -> Score:
    """Average scores field by field."""
    kind = type(scores[0])
    names = [field.name for field in fields(kind)]
    return kind(*(float(np.mean([getattr(one, name) for one in scores])) for name in names))


def _root_mean_square(errors: Numbers) -> float:
    return float(np.sqrt(np.mean(errors**2)))


def planned(case: Case, effects: Numbers | None = None) -> npt.NDArray[np.int64]:
    """Solve for what is believed, or for other effects, taken as certain."""
    if effects is not None:
        stock = replace(case.stock, effects=np.tile(effects, (2, 1)))
        case = case._replace(stock=stock)
    return solved(case.program(slice(None)))


def swapped(where: Setting) -> npt.NDArray[np.int64]:
    """Put candidates in the place of the weakest-looking cards of their home and rarity."""
    stock = where.case.stock
    after, looks = stock.before.copy(), stock.effects.mean(axis=0)
    for new in np.flatnonzero(stock.before == 0):
        alike = [
            old
            for old in np.flatnonzero((stock.before > 0) & (after > 0))
            if _kind(stock.cards[old]) == _kind(stock.cards[new])
        ]
        if alike and np.count_nonzero((stock.before == 0) & (after > 0)) < SWAPS:
            old = min(alike, key=lambda i: looks[i])
            after[old], after[new] = 0, stock.before[old]
    return after


def _kind(card: PoolCard) -> tuple[str | None, str | None]:
    return card.faction, card.rarity


def world_after(
    where: Setting, after: npt.NDArray[np.int64], rng: np.random.Generator
) -> Truth:
    """Replace cards of the world by those that came for them, as strong as they truly are."""
    stock, world, truth = where.case.stock, where.simulation.world, where.simulation.truth
    effect, perceived, lean = truth.effect.copy(), truth.perceived.copy(), truth.lean.copy()
    is_trap, is_unplayed = truth.is_trap.copy(), truth.is_unplayed.copy()
    gone = [i for i in np.flatnonzero(stock.before > 0) if after[i] == 0]
    for new in np.flatnonzero((stock.before == 0) & (after > 0)):
        old = next(i for i in gone if _kind(stock.cards[i]) == _kind(stock.cards[new]))
        gone.remove(old)
        average = truth.effect[0] - where.truth[0] / where.simulation.play.fade
        effect[old] = where.truth[new] / where.simulation.play.fade + average
        spread = world.effect_sd * world.rarities[world.rarity[old]].spread
        foresight = world.foresight
        perceived[old] = foresight * (effect[old] - average) / spread
        perceived[old] += np.sqrt(1 - foresight**2) * rng.standard_normal()
        lean[old] = world.lean_sd * rng.standard_normal()
        is_trap[old] = is_unplayed[old] = False
    return replace(
        truth,
        effect=effect,
        perceived=perceived,
        lean=lean,
        is_trap=is_trap,
        is_unplayed=is_unplayed,
    )


def true_strengths(where: Setting, truth: Truth, seed: int, drafts: int) -> Numbers:
    """Archetypes' strengths in many drafts, on the log-odds, luck left out."""
    world = replace(where.simulation.world, drafts=drafts)
    many = simulate(world, seed + 10_000, truth=truth)
    expected = many.play.deck.expected.sum(axis=0) / world.deck_size
    return archetype_strength(many.play.games, expected).relative.centre
