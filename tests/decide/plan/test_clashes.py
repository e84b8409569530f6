"""Limits that cannot be kept together."""

import numpy as np

from tests.decide.planning import program
from winrate_tools.decide.plan.clashes import Clash, Relaxation, clash_of, refusal
from winrate_tools.decide.plan.program import Limit

EVERY = np.ones(3)


def test_the_limits_that_clash_are_named_and_no_others():
    size = Limit("size", EVERY, 6, 6)
    most = Limit("box", EVERY, high=4)
    idle = Limit("money", EVERY, high=100, of="added")
    problem = program([2, 2, 0], [range(4)] * 3, [[0] * 3] * 3, size, idle, most)

    clash = clash_of(problem)

    assert clash.names == ("size", "box")
    assert clash.relaxations in (
        (Relaxation("size", 6.0, 4.0),),
        (Relaxation("box", 4.0, 6.0),),
    )


def test_a_limit_that_no_copies_can_reach_clashes_with_the_cards_alone():
    quota = Limit("quota", np.array([0.0, 0.0, 1.0]), low=5)
    problem = program([2, 2, 0], [(0, 2), (0, 2), (0, 3)], [[0] * 3] * 3, quota)

    assert clash_of(problem) == Clash(("quota",), (Relaxation("quota", 5.0, 3.0),))


def test_the_smallest_relaxation_counts_in_copies_whatever_the_unit():
    cheap = Limit("money", np.full(3, 0.1), high=0.05, of="added")
    many = Limit("new", EVERY, low=2, of="added")
    problem = program([0, 0, 0], [(0, 1)] * 3, [[0]] * 3, cheap, many)

    clash = clash_of(problem)

    assert set(clash.names) == {"money", "new"}
    assert sum(abs(one.needed - one.bound) > 0 for one in clash.relaxations) >= 1
    assert {one.name for one in clash.relaxations} <= {"money", "new"}


def test_a_refusal_says_what_has_to_give():
    clash = Clash(("size", "budget"), (Relaxation("budget", 4.0, 5.25),))

    assert str(refusal(clash)) == (
        "no pool keeps to all limits: size against budget; the least that has to give: "
        "budget 5.25, not 4"
    )
