"""Whether as many verdicts settle, with twice the games, as were promised.

A world is judged, played once more with the same cards, and judged by both halves together.
The bar: over all cards, and over those undecided at first, the share settled then is within 5
points of the share expected. The small run of every day grants 3 points more.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest

from tests.calibration.scoring import Detail
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.settings import Settings
from winrate_tools.simulate.games import Play, Record
from winrate_tools.simulate.history import Simulation, card_table, simulate
from winrate_tools.simulate.random_world import random_world

SIZES = (25_000, 80_000)
SEEDS, FEW_SEEDS = range(4000, 4010), range(4100, 4102)
BOTH = ("archetype", "skill_band")
DETAILS = [
    Detail("held"),
    Detail("held", ("archetype",)),
    Detail("held", BOTH),
    Detail("held", BOTH, unheld=True),
]


class Settled(NamedTuple):
    """Shares of all cards settled with twice the games, and of those undecided before."""

    expected: float
    happened: float
    newly_expected: float
    newly_happened: float


def together(first: Simulation, second: Simulation) -> Simulation:
    """Put the games of two runs of one world into one table."""
    records = {
        name: _added(first.play.record(name), second.play.record(name))
        for name in ("deck", "held", "opening")
    }
    play: Play = replace(
        first.play,
        games=first.play.games + second.play.games,
        wins=first.play.wins + second.play.wins,
        **records,
    )
    return replace(
        first,
        play=play,
        drafted=first.drafted + second.drafted,
        played=first.played + second.played,
        mean_pick=(first.mean_pick + second.mean_pick) / 2,
    )


def _added(one: Record, other: Record) -> Record:
    return Record(one.games + other.games, one.wins + other.wins, one.expected + other.expected)


def settled(seed: int, games: int, detail: Detail) -> Settled:
    """Judge one world by half of its games and by all of them."""
    world = random_world(np.random.default_rng([seed, games]), games=games)
    first = simulate(world, seed)
    second = simulate(world, seed + 10_000, truth=first.truth)
    before, after = (_judged(each, detail) for each in (first, together(first, second)))
    ahead = next(one for one in before.outlook if one.times == 2)
    open_cards = {card.card for card in before.cards if card.verdict == "more games"}
    closed = [card.card for card in after.cards if card.verdict != "more games"]
    return Settled(
        ahead.settled / len(before.cards),
        len(closed) / len(before.cards),
        ahead.newly / len(open_cards),
        sum(card in open_cards for card in closed) / len(open_cards),
    )


def _judged(simulation: Simulation, detail: Detail) -> PoolVerdict:
    table = card_table(simulation, detail.measure, detail.strata, unheld=detail.unheld)
    return judge(table, Settings(measure=detail.measure))


def check_settled(found: list[Settled], *, more: float = 0.0) -> None:
    mean = Settled(*np.mean(found, axis=0))

    assert mean.happened == pytest.approx(mean.expected, abs=0.05 + more)
    assert mean.newly_happened == pytest.approx(mean.newly_expected, abs=0.05 + more)


def test_about_as_many_verdicts_settle_as_promised():
    check_settled([settled(seed, 25_000, DETAILS[0]) for seed in FEW_SEEDS], more=0.03)


@pytest.mark.slow
@pytest.mark.parametrize("detail", DETAILS, ids=str)
def test_as_many_verdicts_settle_as_promised(
    detail: Detail, capsys: pytest.CaptureFixture[str]
):
    for games in SIZES:
        found = [settled(seed, games, detail) for seed in SEEDS]
        mean = Settled(*(100 * np.mean(found, axis=0)))
        with capsys.disabled():
            print(
                f"\n| {detail} | {games:,} | {mean.expected:.1f} | {mean.happened:.1f} "
                f"| {mean.newly_expected:.1f} | {mean.newly_happened:.1f} |"
            )
        check_settled(found)
