"""Time of re-solving a plan over draws, beside the textbook form of the same program.

Run it by ``python tests/benchmarks/plans.py [CARDS] [DRAWS] [ARCHETYPES]``: CPU seconds for all
draws, ours and the textbook's in one run. The textbook form gives each number of copies of each
card a binary variable of its own, one of which is 1, and hands everything to
`scipy.optimize.milp`. Bars: ours takes at most .45 of the textbook's time over 200 draws with 0
to 4 copies of a card, and both come to the same value, to 1e-6, on every draw.

``python tests/benchmarks/plans.py sample`` takes the time of the re-solves of the sample's
plan, and tells how far short of the best value of each draw they come.
"""

import os
import sys
from pathlib import Path
from time import process_time

os.environ["OPENBLAS_NUM_THREADS"] = "1"
sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array, hstack, kron

import winrate_tools as wt
from winrate_tools.decide.plan.case import Case
from winrate_tools.decide.plan.plan import _barred
from winrate_tools.decide.plan.program import Bends, Limit, Program
from winrate_tools.decide.plan.solving import solved
from winrate_tools.decide.plan.survival import spread_draws
from winrate_tools.goals import Goals

SAMPLES = Path(__file__).parents[2] / "sample_data"
MOST = 4
FURTHER = np.array([1, 0.3, 0.1, 0.03])
Counts = np.ndarray


def pools(cards: int, draws: int, archetypes: int) -> list[Program]:
    """One pool of six factions and three rarities, under a budget; a program for each draw.

    Each archetype has its bends: one is to gain, one not, and none is to leave its lines.
    """
    rng = np.random.default_rng(cards)
    before = rng.choice([0, 1, 2, 3, 4], cards)
    limits = [Limit("size", np.ones(cards), before.sum(), before.sum())]
    for groups in (6, 3):
        label = rng.integers(0, groups, cards)
        for name in range(groups):
            weight = (label == name).astype(float)
            limits.append(Limit("kept", weight, weight @ before, weight @ before))
    limits.append(Limit("budget", rng.uniform(0.3, 6, cards), high=60, of="added"))
    limits += [Limit(of, np.ones(cards), high=20, of=of) for of in ("added", "removed")]
    mean, sd = rng.normal(0, 4, cards), rng.uniform(0.5, 2, cards)
    levels = tuple(tuple(range(MOST + 1)) for _ in range(cards))
    cost = np.full(cards, 0.25)
    held = rng.uniform(0, 0.01, (archetypes, cards)) * (rng.random((archetypes, cards)) < 0.4)
    found = []
    for _ in range(draws):
        effect = mean + sd * rng.standard_normal(cards)
        worth = 0.2 * effect.clip(0)[:, None] * FURTHER - (-effect).clip(0)[:, None]
        bends = bent(held * effect, rng) if archetypes else Bends.none(cards)
        found.append(Program(before, levels, worth, cost, cost, bends, tuple(limits)))
    return found


def bent(pull: np.ndarray, rng: np.random.Generator) -> Bends:
    """Lift the first archetype, restrain the second, and keep all within their lines."""
    count = len(pull)
    drift = pull - pull.mean(axis=0)
    ends = -rng.uniform(0, 2, 2 * count)
    side = np.vstack([pull[:1], -pull[1:2], -drift, drift])
    return Bends(side, np.full(len(side), 10.0), np.concatenate([[1.5, 0.0], ends]))


def textbook(program: Program) -> Counts:
    """Choose a number of copies for each card, one binary variable a number."""
    cards, numbers = len(program.before), np.arange(MOST + 1)
    change = numbers - program.before[:, None]
    worth = np.hstack([np.zeros((cards, 1)), program.worth.cumsum(axis=1)])
    cost = program.entry[:, None] * change.clip(0) + program.exit[:, None] * (-change).clip(0)
    counted = {"copies": numbers + 0 * change, "added": change.clip(0)}
    counted["removed"] = (-change).clip(0)
    rows = [(one.weight[:, None] * counted[one.of]).ravel() for one in program.limits]
    bends, count = program.bends, len(program.bends.rate)
    moved = (bends.side[:, :, None] * change).reshape(count, cards * (MOST + 1))
    one_each = kron(csr_array(np.eye(cards)), np.ones((1, MOST + 1)))
    wide = [
        np.hstack([np.array(rows), np.zeros((len(rows), count))]),
        np.hstack([-moved, np.eye(count)]),
    ]
    size = cards * (MOST + 1)
    found = milp(
        -np.concatenate([(worth - cost).ravel(), bends.rate]),
        integrality=np.arange(size + count) < size,
        bounds=Bounds(
            np.concatenate([np.zeros(size), np.full(count, -np.inf)]),
            np.concatenate([np.ones(size), bends.room]),
        ),
        constraints=[
            LinearConstraint(
                csr_array(wide[0]),
                np.array([one.low for one in program.limits]),
                np.array([one.high for one in program.limits]),
            ),
            LinearConstraint(csr_array(wide[1]), -np.inf, 0),
            LinearConstraint(hstack([one_each, csr_array((cards, count))]), 1, 1),
        ],
        options={"mip_rel_gap": 0.0},
    )
    return np.rint(found.x[:size].reshape(cards, MOST + 1) @ numbers).astype(np.int64)


def timed(choose, programs: list[Program]) -> tuple[float, list[float]]:
    """Return CPU seconds and the value reached for each program."""
    start = process_time()
    chosen = [choose(program) for program in programs]
    taken = process_time() - start
    pairs = zip(programs, chosen, strict=True)
    return taken, [program.value(after) for program, after in pairs]


def main(cards: int = 300, draws: int = 200, archetypes: int = 0) -> None:
    """Print the ratio and the largest difference."""
    programs = pools(cards, draws, archetypes)
    ours, values = timed(solved, programs)
    theirs, others = timed(textbook, programs)
    apart = np.abs(np.subtract(values, others)).max()
    sys.stdout.write(
        f"{cards:,} cards, {archetypes} archetypes, {draws} draws: {ours:.1f} s, "
        f"{ours / theirs:.2f} of the textbook form (bar 0.45); values at most {apart:.1e} "
        "apart (bar 1e-06)\n"
    )


def sample() -> None:
    """Print the time of the sample's re-solves, and what is lost by not proving them."""
    tables = [SAMPLES / f"{name}.csv" for name in ("cards_by_archetype", "archetypes")]
    ranking = wt.rank(wt.read_cards(tables[0]), archetypes=wt.read_archetypes(tables[1]))
    pool = wt.read_pool(SAMPLES / "pool.csv")
    candidates = wt.read_candidates(SAMPLES / "candidates.csv")
    case = _barred(Case.of(ranking.verdict, pool, candidates, Goals()))
    before = case.stock.before
    after = solved(case.program(slice(None)))
    draws = spread_draws(case.stock.effects @ (after - before), Goals().resolves)
    programs = [case.program(slice(draw, draw + 1)) for draw in draws.tolist()]
    taken, found = timed(lambda one: solved(one, is_proven=False), programs)
    proof, best = timed(solved, programs)
    short = 1 - np.divide(found, best)
    sys.stdout.write(
        f"the sample's {len(draws)} re-solves: {taken:.1f} s (proven {proof:.1f}); short of "
        f"the best by {short.mean():.2%}, at most {short.max():.1%}\n"
    )


if __name__ == "__main__":
    if sys.argv[1:] == ["sample"]:
        sample()
    else:
        main(*map(int, sys.argv[1:]))
