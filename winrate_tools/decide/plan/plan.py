"""From a judged pool to a better one: what goes, what comes, and how sure each choice is."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.decide.packs.archetypes_named import archetypes_named
from winrate_tools.decide.plan.case import Case
from winrate_tools.decide.plan.causes import Causes
from winrate_tools.decide.plan.clashes import clash_of, refusal
from winrate_tools.decide.plan.forced import bar_on
from winrate_tools.decide.plan.forecast import demand_own_effects, forecast
from winrate_tools.decide.plan.limits import prices
from winrate_tools.decide.plan.moves import Bound, Floor, Move, Plan
from winrate_tools.decide.plan.program import Program
from winrate_tools.decide.plan.solving import solved
from winrate_tools.decide.plan.staying import staying
from winrate_tools.decide.plan.survival import spread_draws, survival
from winrate_tools.decide.plan.swaps import swaps_of
from winrate_tools.decide.plan.worth import pull_of
from winrate_tools.errors import FitError
from winrate_tools.goals import Goals
from winrate_tools.pools import CandidateTable, PoolCard, PoolTable

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
EVEN = 0.5


def make_plan(
    verdict: PoolVerdict,
    pool: PoolTable,
    candidates: CandidateTable,
    goals: Goals | None = None,
    progress: Callable[[int], None] | None = None,
) -> Plan:
    """Choose which copies to hold.

    Parameters
    ----------
    verdict, pool, candidates, goals
        As in `winrate_tools.jobs.plan.plan`.
    progress : callable, optional
        Told each time the plan has been made again, how often that was.

    Returns
    -------
    Plan
        The best one for what is believed on average, to the solver's precision.

    Raises
    ------
    CountError
        If the tables do not fit together, or a candidate lacks a price under a budget.
    SettingError
        If the limits clash, with the least that has to give; if a quota is for a label that
        no card has; if the estimates are raw records.
    """
    goals = goals or Goals()
    demand_own_effects(verdict)
    case = _barred(Case.of(verdict, pool, candidates, goals))
    program = case.program(slice(None))
    after = solved(program)
    draws = spread_draws(case.stock.effects @ (after - program.before), goals.resolves)
    stays = survival(lambda draw: case.program(slice(draw, draw + 1)), after, draws, progress)
    stock, known = case.stock, case.stock.labels
    causes = _causes(case)
    cost = float(prices(stock) @ (after - program.before).clip(0))
    return Plan(
        moves=_moves(case, causes, after, stays),
        swaps=swaps_of(stock, after - program.before),
        outcomes=forecast(stock, case.play, verdict, after),
        floor=_floor(case, after),
        cost=round(cost, 2),
        bounds=tuple(_bounds(program, after)),
        kept=tuple(label for label in goals.keep if label in known),
        resolves=len(draws),
        line=verdict.line,
        sure=verdict.sure,
        unknown=stock.unknown,
        in_pool=stock.in_pool,
        elsewhere=stock.elsewhere,
        pool=_new_pool(pool, case, after),
        staying=staying(case, causes, after),
        unlabelled=tuple(label for label in goals.keep if label not in known),
        is_whole=goals.whole,
    )


def _barred(case: Case) -> Case:
    """Bar weak cards from coming in, or refuse limits that clash."""
    program = case.program(slice(None))
    try:
        bar = bar_on(program, case.chance_below > EVEN)
    except FitError as error:
        raise refusal(clash_of(program)) from error
    return case._replace(limits=(*case.limits, bar))


def _causes(case: Case) -> Causes:
    stock, needs = case.stock, case.needs(slice(None))
    pull = pull_of(stock, case.play, stock.effects)
    below, sure = case.chance_below, case.verdict.sure
    return Causes(stock, case.advice, case.play, pull, needs, below, sure)


def _moves(case: Case, causes: Causes, after: Counts, stays: Numbers) -> tuple[Move, ...]:
    stock, below = case.stock, causes.chance_below
    estimate, (low, high) = case.estimates, case.ranges

    def move(i: int) -> Move:
        change = int(after[i] - stock.before[i])
        why = causes.going if change < 0 else causes.coming
        reasons, archetype = why(i, int(after[i]))
        price = stock.cards[i].price
        return Move(
            card=stock.cards[i],
            before=int(stock.before[i]),
            after=int(after[i]),
            estimate=float(estimate[i]),
            low=float(low[i]),
            high=float(high[i]),
            chance_below=float(below[i]),
            stays=float(stays[i]),
            reasons=reasons,
            archetype=archetype,
            cost=None if price is None else round(price * max(change, 0), 2),
        )

    change = after - stock.before
    gone = sorted(np.flatnonzero(change < 0), key=lambda i: estimate[i])
    come = sorted(np.flatnonzero(change > 0), key=lambda i: -estimate[i])
    return tuple(move(int(i)) for i in (*gone, *come))


def _floor(case: Case, after: Counts) -> Floor:
    """Count weak cards dealt: a draft deals each copy as likely as any other."""
    stock, sure = case.stock, case.verdict.sure
    weak = stock.effects < stock.effect(case.verdict.line)
    dealt = max(round(case.goals.dealt * int(stock.before.sum())), 1)

    def dealt_weak(copies: Counts) -> tuple[float, float, float]:
        number = weak @ copies * (dealt / max(int(copies.sum()), 1))
        low, high = np.quantile(number, [1 - sure, sure])
        return float(number.mean()), float(low), float(high)

    return Floor(dealt, *dealt_weak(stock.before), *dealt_weak(after))


def _bounds(program: Program, after: Counts) -> list[Bound]:
    """List limits that are reached, but for those that leave no room at all."""
    reached = []
    for limit in program.limits:
        amount = limit.amount(program.before, after)
        room = 1 if limit.of == "copies" else min(limit.weight[limit.weight > 0], default=1.0)
        if limit.high - limit.low >= 1 and amount > 0:
            near = [end for end in (limit.low, limit.high) if abs(end - amount) < room]
            reached += [Bound(limit.name, round(amount, 2), float(end)) for end in near]
    return reached


def _new_pool(pool: PoolTable, case: Case, after: Counts) -> PoolTable:
    """Write the new pool: old cards in their order, then new ones; no card without copies.

    Where few cards name archetypes, the others get those that play them.
    """
    is_filled = not archetypes_named(pool.cards)
    new: list[PoolCard] = [
        replace(
            card,
            copies=int(copies),
            archetypes=card.archetypes or (_homes(case, i) if is_filled else ()),
        )
        for i, (card, copies) in enumerate(zip(case.stock.cards, after, strict=True))
        if copies > 0
    ]
    return PoolTable(new, pool.source)


def _homes(case: Case, item: int) -> tuple[str, ...]:
    """Name the archetypes of a card by its own games in the pool."""
    verdict, before = case.stock.verdicts[item], case.stock.before[item]
    return case.play.homes(item) if before and verdict and verdict.homes else ()
