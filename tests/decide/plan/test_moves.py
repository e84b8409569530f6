"""What a plan says, as plain values."""

from winrate_tools.decide.plan.moves import Floor, Move, Plan
from winrate_tools.pools import PoolCard, PoolTable


def move(name: str, before: int, after: int) -> Move:
    return Move(
        PoolCard(name, before), before, after, 0.5, 0.4, 0.6, 0.2, 0.5, ("room",), None, None
    )


def plan(*moves: Move) -> Plan:
    floor = Floor(10, *[1.0] * 6)
    return Plan(moves, (), (), floor, 0.0, (), (), 60, 0.5, 0.9, (), (), (), PoolTable([]))


def test_a_change_is_what_comes_in_less_what_goes_out():
    assert [move("a", 3, 1).change, move("b", 0, 2).change] == [-2, 2]


def test_moves_are_told_apart_by_their_direction():
    out, fewer, into, more = move("a", 3, 0), move("b", 3, 2), move("c", 0, 2), move("d", 1, 2)

    found = plan(out, fewer, into, more)

    assert found.gone == (out, fewer)
    assert found.come == (into, more)
