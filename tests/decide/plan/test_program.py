"""What a choice of copies is worth and what it must keep to."""

import numpy as np
import pytest

from tests.decide.planning import no_bends, program
from winrate_tools.decide.plan.program import Bends, Limit

BEFORE = np.array([2, 0])


@pytest.mark.parametrize(
    ("of", "amount"), [("copies", 2 * 1 + 3 * 2), ("added", 3 * 2), ("removed", 1.0)]
)
def test_a_limit_counts_what_it_is_about(of: str, amount: float):
    limit = Limit("weight", np.array([1.0, 3.0]), of=of)
    after = np.array([1, 2])

    found = limit.amount(BEFORE, after)

    assert found == amount + (of == "copies") * (1 - 2)


def test_a_limit_holds_up_to_its_bounds_and_no_further():
    limit = Limit("size", np.ones(2), 2, 3)

    kept = [limit.holds(BEFORE, np.array([2, new])) for new in (0, 1, 2)]

    assert kept == [True, True, False]
    assert not limit.holds(BEFORE, np.array([1, 0]))


def test_a_limit_without_bounds_always_holds():
    assert Limit("size", np.ones(2)).holds(BEFORE, np.array([900, 900]))


def test_a_lift_is_worth_something_up_to_its_room_and_a_loss_costs_as_much():
    bends = Bends(np.array([[1.0]]), np.array([2.0]), np.array([1.5]))

    worths = [bends.worth(np.array([change])) for change in (-1, 0, 1, 2, 3)]

    assert worths == [-2, 0, 2, 3, 3]


def test_what_is_restrained_costs_when_it_gains_and_pays_nothing_when_it_loses():
    bends = Bends(np.array([[-0.5]]), np.array([4.0]), np.array([0.0]))

    worths = [bends.worth(np.array([change])) for change in (-2, 0, 2)]

    assert worths == [0, 0, -4]


def test_value_sums_copies_costs_and_bends():
    bends = Bends(np.array([[0.0, 1.0]]), np.array([10.0]), np.array([5.0]))
    problem = program(
        [2, 0], [(0, 1, 2), (0, 1, 2)], [[-1, -3], [2, 1]], bends=bends, cost=0.25
    )

    value = problem.value(np.array([1, 2]))

    assert value == pytest.approx(3 + (2 + 1) - 3 * 0.25 + 10 * 2)


def test_leaving_everything_is_worth_nothing():
    problem = program([2, 0], [(0, 2), (0, 1)], [[-1, -3], [2, 1]], cost=1.0)

    assert problem.value(BEFORE) == 0


def test_costs_of_coming_and_going_may_differ():
    problem = program([1, 0], [(0, 1), (0, 1)], [[0.0], [0.0]])
    problem = type(problem)(
        *(problem.before, problem.levels, problem.worth),
        *(np.array([1.0, 2.0]), np.array([4.0, 8.0]), no_bends(2)),
    )

    assert problem.value(np.array([0, 1])) == -(4 + 2)
