"""A world's games written down."""

import csv
from io import StringIO

import numpy as np
import pytest

from winrate_tools.simulate.history import simulate
from winrate_tools.simulate.logs import log_text, simulate_log
from winrate_tools.simulate.world import World

WORLD = World(drafts=3)


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text)))


def test_games_are_those_that_the_world_counts():
    log, played = simulate_log(WORLD, 2), simulate(WORLD, 2).play

    assert np.array_equal(log.games.deck_games, played.deck_games)
    assert log.games.won.sum() == played.wins.sum()
    assert log.games.held.sum() == played.held.games.sum()


def test_every_layout_tells_the_same():
    log = simulate_log(WORLD, 2)
    listed, long, wide = (rows(log_text(log, layout)) for layout in ("list", "long", "wide"))

    assert len(listed) == len(wide) == len(log.games.won)
    assert len(long) == log.games.held.size
    assert [row["card"] for row in long[:22]] == listed[0]["cards"].split("|")
    held = [row["card"] for row in long[:22] if row["held"] == "1"]
    assert held == listed[0]["held"].split("|")
    for name in set(listed[0]["cards"].split("|")):
        assert int(wide[0][name]) == listed[0]["cards"].split("|").count(name)
        assert int(wide[0][f"{name} held"]) == held.count(name)
    assert {row["won"] for row in listed} == {"yes", "no"}


@pytest.mark.parametrize(
    ("layout", "last"), [("list", "cards"), ("long", "card"), ("wide", "card 240")]
)
def test_hands_may_stay_untold(layout, last):
    first = rows(log_text(simulate_log(World(drafts=1), 1), layout, hands=False))[0]

    assert list(first)[-1] == last
    assert None not in first


def test_another_truth_can_be_played():
    truth = simulate(WORLD, 5).truth

    assert simulate_log(WORLD, 2, truth=truth).truth is truth
