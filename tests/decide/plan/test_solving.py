"""The integer program against brute force."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.decide.planning import allows, no_bends, program
from winrate_tools.decide.plan.program import Bends, Limit, Program
from winrate_tools.decide.plan.solving import is_possible, least_broken, solved
from winrate_tools.decide.plan.steps import Steps
from winrate_tools.errors import FitError

MOST = 3
WORTHS = st.floats(-5, 5).map(lambda number: round(number, 2))


def brute_force(problem: Program) -> float | None:
    """Value of the best of all choices."""
    choices = (np.array(choice) for choice in product(*problem.levels))
    values = [problem.value(choice) for choice in choices if allows(problem, choice)]
    return max(values, default=None)


@st.composite
def levels(draw: st.DrawFn) -> tuple[int, tuple[int, ...]]:
    known = draw(st.sets(st.integers(0, MOST), min_size=1))
    return draw(st.sampled_from(sorted(known))), tuple(sorted(known))


@st.composite
def programs(draw: st.DrawFn) -> Program:
    items = draw(st.integers(1, 5))
    now, known = zip(*(draw(levels()) for _ in range(items)), strict=True)
    before = np.array(now)
    worth = [sorted((draw(WORTHS) for _ in range(MOST)), reverse=True) for _ in range(items)]
    weights = st.lists(st.integers(0, 3), min_size=items, max_size=items)
    limits = []
    for of in draw(st.lists(st.sampled_from(["copies", "added", "removed"]), max_size=3)):
        weight = np.array(draw(weights), dtype=np.float64)
        centre = float(weight @ before) if of == "copies" else 0.0
        low = centre - draw(st.integers(0, 3))
        limits.append(Limit(of, weight, low, low + draw(st.integers(0, 5)), of=of))
    pull = np.array([[draw(WORTHS) for _ in range(items)] for _ in range(2)])
    bends = Bends(
        np.vstack([pull, -pull]),
        np.array([draw(st.integers(0, 3)) for _ in range(4)]),
        np.array([draw(st.floats(-3, 3)) for _ in range(4)]),
    )
    cost = draw(st.floats(0, 1))
    return program(before, known, worth, *limits, bends=bends, cost=cost)


@settings(deadline=None, max_examples=150)
@given(programs())
def test_no_choice_is_better_than_the_one_found(problem: Program):
    best = brute_force(problem)
    if best is None:
        with pytest.raises(FitError):
            solved(problem)
        return

    found = solved(problem)

    assert allows(problem, found)
    assert problem.value(found) == pytest.approx(best, abs=1e-6)


@settings(deadline=None, max_examples=60)
@given(programs())
def test_what_can_be_kept_to_is_known(problem: Program):
    steps = Steps.of(problem)

    assert is_possible(problem, steps, problem.limits) is (brute_force(problem) is not None)


@settings(deadline=None, max_examples=60)
@given(programs())
def test_limits_are_broken_by_as_little_as_can_be(problem: Program):
    def broken(choice: np.ndarray) -> float:
        total = 0.0
        for limit in problem.limits:
            amount = limit.amount(problem.before, choice)
            over = max(limit.low - amount, amount - limit.high, 0.0)
            used = limit.weight[limit.weight > 0]
            total += over / (used.mean() if len(used) else 1.0)
        return total

    least = min(broken(np.array(choice)) for choice in product(*problem.levels))
    steps = Steps.of(problem)
    found = steps.after(problem.before, least_broken(problem, steps))

    assert all(count in known for count, known in zip(found, problem.levels, strict=True))
    assert broken(found) == pytest.approx(least, abs=1e-5)


def random_program(items: int, seed: int) -> Program:
    """As large as a large pool: nine factions, four rarities, a budget, two archetypes."""
    rng = np.random.default_rng(seed)
    most = rng.integers(1, 5, items)
    before = np.minimum(rng.choice([0, 1, 2, 3, 4], items), most)
    effect = rng.normal(0, 4, items)
    further = np.array([1, 0.3, 0.1, 0.03])
    worth = 0.2 * effect.clip(0)[:, None] * further - (-effect).clip(0)[:, None]
    groups = [(rng.integers(0, count, items), count) for count in (9, 4)]
    limits = [Limit("size", np.ones(items), before.sum(), before.sum())]
    for label, count in groups:
        for name in range(count):
            weight = (label == name).astype(float)
            limits.append(Limit("kept", weight, weight @ before, weight @ before))
    limits.append(Limit("budget", rng.uniform(0.3, 6, items), high=60, of="added"))
    limits += [Limit(of, np.ones(items), high=30, of=of) for of in ("added", "removed")]
    bends = Bends(rng.normal(0, 0.05, (2, items)), np.array([10.0, 10.0]), np.array([1.0, 0.0]))
    known = [range(count + 1) for count in most]
    return program(before, known, worth, *limits, bends=bends, cost=0.25)


def test_a_very_good_choice_of_a_large_pool_is_nearly_the_best():
    problem = random_program(300, 3)

    best, good = solved(problem), solved(problem, is_proven=False)

    assert allows(problem, best)
    assert allows(problem, good)
    assert problem.value(best) > 10
    assert 0.98 * problem.value(best) <= problem.value(good) <= problem.value(best) + 1e-6


def test_nothing_to_choose_leaves_everything():
    problem = program([2], [(2,)], [[1.0, 1.0]], Limit("size", np.ones(1), 2, 2))

    assert solved(problem).tolist() == [2]


def test_nothing_to_choose_and_a_limit_that_fails_is_refused():
    problem = program([2], [(2,)], [[1.0, 1.0]], Limit("size", np.ones(1), 3, 3))

    with pytest.raises(FitError, match="no choice of copies keeps within all limits"):
        solved(problem)


def test_without_limits_each_card_is_chosen_for_itself():
    problem = program([1, 1], [(0, 1, 2)] * 2, [[2.0, 1.0], [-2.0, -2.0]], bends=no_bends(2))

    assert solved(problem).tolist() == [2, 0]


@pytest.mark.parametrize(
    ("before", "levels", "between"), [(3, (0, 2, 3), 1), (0, (0, 1, 3), 2), (3, (0, 3, 4), 1)]
)
def test_no_combination_of_steps_lands_between_levels(
    before: int, levels: tuple[int, ...], between: int
):
    only = Limit("size", np.ones(1), between, between)

    with pytest.raises(FitError):
        solved(program([before], [levels], [[0.0] * 4], only))
