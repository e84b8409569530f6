"""The steps that items may take from level to level."""

import numpy as np
import pytest

from tests.decide.planning import program
from winrate_tools.decide.plan.steps import Steps


def test_single_copies_go_one_by_one_and_wait_for_nobody():
    steps = Steps.of(program([2], [(0, 1, 2, 3)], [[3, 2, 1]], cost=0.5))

    assert steps.copies.tolist() == [-1, -1, 1]
    assert steps.worth.tolist() == [-2.5, -3.5, 0.5]
    assert steps.order == ()
    assert steps.apart == ()


def test_steps_of_several_copies_are_worth_all_of_them():
    steps = Steps.of(program([3], [(0, 3, 5)], [[5, 4, 3, 2, 1]], cost=0.5))

    assert steps.copies.tolist() == [-3, 2]
    assert steps.worth.tolist() == [-13.5, 2.0]
    assert steps.order == ()
    assert steps.apart == ((0, 1),)


def test_unlike_steps_wait_for_each_other_on_either_side():
    steps = Steps.of(program([1, 3], [(0, 1), (0, 2, 3, 4, 6)], [[0] * 6] * 2))

    assert steps.item.tolist() == [0, 1, 1, 1, 1]
    assert steps.copies.tolist() == [-1, -1, -2, 1, 2]
    assert steps.order == ((1, 2), (3, 4))
    assert steps.apart == ((1, 3),)


def test_an_item_of_one_level_has_no_steps():
    steps = Steps.of(program([2], [(2,)], [[1, 1]]))

    assert len(steps.item) == 0
    assert steps.after(np.array([2]), np.zeros(0)).tolist() == [2]


@pytest.mark.parametrize(("taken", "after"), [((1, 0, 0), 2), ((1, 1, 0), 0), ((0, 0, 1), 5)])
def test_steps_taken_add_up(taken: tuple[int, ...], after: int):
    steps = Steps.of(program([3], [(0, 2, 3, 5)], [[0] * 5]))

    assert steps.after(np.array([3]), np.array(taken) + 1e-9).tolist() == [after]
