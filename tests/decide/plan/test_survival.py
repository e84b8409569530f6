"""How often each choice of a plan survives."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tests.decide.planning import program
from winrate_tools.decide.plan.program import Limit, Program
from winrate_tools.decide.plan.survival import spread_draws, survival


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=60), st.integers(1, 70))
def test_chosen_draws_stand_for_equal_strata(gains: list[float], number: int):
    chosen = spread_draws(np.array(gains), number)

    assert len(set(chosen.tolist())) == len(chosen) == min(number, len(gains))
    order = sorted(range(len(gains)), key=lambda i: (gains[i], i))
    middles = (np.arange(len(chosen)) + 0.5) * len(gains) / len(chosen)
    ranks = np.array([order.index(i) for i in chosen])
    assert np.abs(ranks + 0.5 - middles).max() <= 0.5


def scored(draw: int) -> Program:
    """Three candidates for one place, whose worths turn with the draw."""
    worths = {0: (3, 1, 0), 1: (3, 2, 0), 2: (1, 2, 0), 3: (0, 0, 5)}[draw]
    size = Limit("size", np.ones(4), 1, 1)
    known = [[0, 1]] * 4
    return program([1, 0, 0, 0], known, [[-1], *([w] for w in worths)], size)


def test_shares_count_the_draws_in_which_a_card_moves_as_planned():
    found = survival(scored, np.array([0, 1, 0, 0]), np.arange(4))

    assert found.tolist() == [1, 0.5, 0.75, 0.75]


def test_each_draw_that_is_done_is_told():
    told = []

    found = survival(scored, np.array([0, 1, 0, 0]), np.arange(4), told.append)

    assert told == [1, 2, 3, 4]
    assert found.tolist() == [1, 0.5, 0.75, 0.75]


def test_a_card_that_stays_survives_where_it_stays():
    found = survival(scored, np.array([1, 0, 0, 0]), np.array([0, 1]))

    assert found.tolist() == [0, 0, 1, 1]


def test_moving_further_counts_and_moving_less_does_not():
    def turning(draw: int) -> Program:
        worth = [[4, 3, 2], [4, -3, -3]][draw]
        return program([1], [(0, 1, 2, 3)], [worth])

    assert survival(turning, np.array([2]), np.array([0, 1])).tolist() == [0.5]
    assert survival(turning, np.array([3]), np.array([0])).tolist() == [1]
