"""What copies and archetypes are worth."""

import numpy as np
import pytest

from tests.decide.planning import LINE, archetype, archetypes, stock
from winrate_tools.decide.plan.copies import Advice
from winrate_tools.decide.plan.play import Play
from winrate_tools.decide.plan.worth import bends_of, needs_of, shortfall, worth_of_copies
from winrate_tools.goals import Goals
from winrate_tools.pools import PoolCard
from winrate_tools.stats.packs.dealing import chance_dealt

SHELF = stock([PoolCard("a", 4), PoolCard("b", 4)], [2, 2], [0.0] * 2)
AT = SHELF.effect(LINE)
ADVICE = (Advice(2, 3, ()), Advice(2, 3, ()))
PLAY = Play(("Kites", "Moths"), np.eye(2), np.array([4.0, 6.0]), np.array([0.5, 0.5]))
POOL = archetypes(archetype("Kites", 0.47), archetype("Moths", 0.53))


def effects(*rows: tuple[float, float]) -> np.ndarray:
    return AT + np.array(rows) / 25
    # a point is a twenty-fifth of log-odds where the mean is one half


def test_shortfall_and_what_lies_above_are_averaged_over_draws():
    under, over = shortfall(SHELF, LINE, effects((1, -2), (-3, -2)))

    assert under == pytest.approx([1.5, 2])
    assert over == pytest.approx([0.5, 0])


def worth(goals: Goals, *rows: tuple[float, float], advice=ADVICE) -> np.ndarray:
    return worth_of_copies(SHELF, LINE, effects(*rows), advice, goals)


def test_every_copy_of_a_weak_card_hurts_alike():
    found = worth(Goals(floor=2, strength=0, surplus=0), (-1.5, 1))

    assert found == pytest.approx(np.array([[-3, -3, -3], [0, 0, 0]]))


def test_further_copies_of_a_strong_card_count_by_how_much_likelier_it_is_dealt():
    found = worth(Goals(strength=0.5, surplus=0, dealt=0.5), (4, -1))

    there = chance_dealt([1, 2, 3], 4, 2)
    steps = np.diff(there, prepend=0) / there[0]
    assert found[0] == pytest.approx(2 * steps)
    assert found[1] == pytest.approx(-1)


def test_copies_beyond_those_asked_for_cost_something():
    advice = (Advice(1, 3, ("strong",)), Advice(3, 3, ()))

    found = worth(Goals(surplus=0.5, strength=0), (1, 1), advice=advice)

    assert found.tolist() == [[0, -0.5, -0.5], [0, 0, 0]]


def test_worth_never_grows_from_copy_to_copy():
    found = worth(Goals(), (2, -2), (-1, 3), (5, 5))

    assert (np.diff(found, axis=1) <= 1e-12).all()


def test_needs_are_shares_of_draws_beyond_the_lines():
    strengths = np.array([[0.47, 0.53], [0.47, 0.51], [0.49, 0.515], [0.51, 0.5]])

    needs = needs_of(PLAY, POOL, strengths)

    assert needs.below.tolist() == [0.5, 0]
    assert needs.above.tolist() == [0, 0.25]
    assert needs.room == pytest.approx([100 * (0.03 + 0.03 + 0.01) / 4, 0])
    assert needs.up == pytest.approx([100 * (0.05 + 0.05 + 0.03 + 0.01) / 4, 100 * 0.035 / 4])
    assert needs.down == pytest.approx([100 * (0.01 + 0.03) / 4, 100 * 0.135 / 4])


def test_without_archetypes_nothing_is_needed():
    nothing = Play((), np.zeros((0, 2)), np.zeros(0), np.zeros(0))

    assert [len(part) for part in needs_of(nothing, None, np.zeros((3, 0)))] == [0] * 5


def test_bends_weigh_needs_and_pull_in_points():
    strengths = np.array([[0.47, 0.53]])
    rows = np.array([[0.04, -0.04], [0.0, -0.04]])
    shelf = stock([PoolCard("a", 4), PoolCard("b", 4)], [2, 3], [0.0] * 2)
    play = Play(PLAY.archetype, np.ones((2, 2)), PLAY.counted, PLAY.share)

    bends = bends_of(
        shelf, play, rows, needs_of(play, POOL, strengths), Goals(lift=3, restrain=7)
    )

    pull = 25 * play.pulls(shelf.before, np.array([0.02, -0.04]))
    drift = pull - pull.mean(axis=0)
    assert bends.rate.tolist() == [3, 0, 0, 7, 7, 0, 0, 3]
    assert bends.room == pytest.approx([3, 0, 0, 0, -5, 0, 0, -5])
    assert bends.side == pytest.approx(np.vstack([pull, -pull, -drift, drift]))


def test_no_archetype_is_pushed_over_a_line_for_nothing():
    strengths = np.array([[0.5, 0.51]])
    play = Play(PLAY.archetype, np.array([[1.0, 0], [0, 1]]), PLAY.counted, PLAY.share)

    bends = bends_of(
        SHELF,
        play,
        np.array([[0.2, -0.2]]),
        needs_of(play, POOL, strengths),
        Goals(lift=3, restrain=7),
    )
    costs = [bends.worth(np.array([0, copies])) for copies in (0, -1, 1)]

    assert costs[0] == pytest.approx(-7 * (2 + 1) - 3 * (2 + 3))
    assert costs[0] == max(costs)


@pytest.mark.parametrize(
    ("pool", "play"),
    [(None, PLAY), (POOL, Play((), np.eye(2)[:0], np.zeros(0), np.zeros(0)))],
    ids=["no lines", "no cards by archetype"],
)
def test_where_lines_or_cards_are_lacking_nothing_is_needed(pool, play):
    needs = needs_of(play, pool, np.zeros((3, 2)))

    assert [part.tolist() for part in needs] == [[0.0] * len(play.archetype)] * 5


def test_one_card_at_least_is_dealt():
    found = worth(Goals(strength=0.5, surplus=0, dealt=0.1), (4, -1))

    assert found[0] == pytest.approx([2, 2, 2])
