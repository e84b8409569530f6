"""Cards likelier weak than not come in only where they must."""

import numpy as np
import pytest

from tests.decide.planning import program
from winrate_tools.decide.plan.forced import bar_on
from winrate_tools.decide.plan.program import Limit
from winrate_tools.errors import FitError

WEAK = np.array([False, True, False])
WORTH = [[0.0, 0.0], [9.0, 9.0], [-9.0, -9.0]]


def bar(*limits: Limit) -> Limit:
    """One card in the pool, one weak candidate of high worth, one sound one of low worth."""
    return bar_on(program([1, 0, 0], [(0, 1), (0, 1, 2), (0, 1, 2)], WORTH, *limits), WEAK)


def test_no_weak_copy_comes_in_where_the_pool_may_stay_as_it_is():
    found = bar(Limit("size", np.ones(3), 1, 1))

    assert (found.high, found.of, found.weight.tolist()) == (0, "added", [0, 1, 0])


def test_sound_copies_fill_a_larger_pool_whatever_they_are_worth():
    assert bar(Limit("size", np.ones(3), 3, 3)).high == 0


@pytest.mark.parametrize(("size", "fewest"), [(4, 1), (5, 2)])
def test_as_few_weak_copies_as_can_be_fill_the_rest(size: int, fewest: int):
    assert bar(Limit("size", np.ones(3), size, size)).high == fewest


def test_limits_that_clash_are_refused():
    with pytest.raises(FitError):
        bar(Limit("size", np.ones(3), 9, 9))
