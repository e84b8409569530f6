"""The three layouts of a log."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ingest.logs_on_disk import Game, log_lines, written
from winrate_tools.ingest.logs import log_layouts as module
from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Coded, CodedLists, CodedRows
from winrate_tools.ingest.logs.log_layouts import Last, filled_places, read_games
from winrate_tools.ingest.logs.log_reader import LogReader
from winrate_tools.ingest.logs.log_roles import find_log_roles
from winrate_tools.ingest.logs.log_rows import text_key
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

PLAYED = [
    Game("yes", "Kites", "new", 1, (("Fox", True), ("Fox", False), ("Ash Vine", True))),
    Game("draw", "", "old", 2, (("Tin Moth", False),)),
]


def read(text: str, last: Last | None = None):
    head = read_grid(text, "log.csv")
    reader = LogReader(head, find_log_roles(head, {}), Tally())
    body = text.split("\n", 1)[1].encode()
    rows = careful_rows(Block(body, 2), head, reader.wanted)
    return read_games(rows, reader.roles, reader.tally, last), reader.tally


@pytest.mark.parametrize("layout", ["long", "list", "wide"])
def test_every_layout_tells_the_same_games(layout):
    reading, tally = read(written(log_lines(PLAYED, layout)))
    names = [tally.cards.names[card] for card in reading.games.deck.card]

    assert reading.troubles == []
    assert reading.decided.tolist() == [True, False]
    assert reading.games.won.tolist() == [True, False]
    assert sorted(zip(reading.games.deck.game.tolist(), names, strict=True)) == [
        (0, "Ash Vine"), (0, "Fox"), (0, "Fox"), (1, "Tin Moth"),
    ]  # fmt: skip
    held = [tally.cards.names[card] for card in reading.games.held.card]
    assert sorted(held) == ["Ash Vine", "Fox"]
    assert reading.row.tolist() == ([0, 3] if layout == "long" else [0, 1])


@pytest.mark.parametrize("codes", [[0, 0], [1, 0, 1]])
def test_a_deck_of_no_card_is_told_whether_its_list_is_empty_or_blank(codes):
    head = read_grid("won,cards\nyes,Fox|Moth\n", "log.csv")
    won = Coded(np.zeros(2, dtype=np.int32), ("yes",))
    ends = np.array([len(codes) - 2, len(codes)], dtype=np.int32)
    cards = CodedLists(ends, np.array(codes, dtype=np.int32), ("Fox", ""))
    rows = CodedRows(2, {1: won}, lists={2: cards})
    reading = read_games(rows, find_log_roles(head, {}), Tally(), None)

    assert [(trouble.row, trouble.message) for trouble in reading.troubles] == [
        (0, "the cards of a deck were wanted, got none")
    ]


def test_a_game_goes_on_over_the_end_of_a_block():
    text = "game,won,card\n1,yes,Fox\n2,no,Fox\n"
    first, _ = read(text)
    going, _ = read(text, Last(text_key("1"), 1, -1, -1))
    changed, _ = read(text, Last(text_key("1"), 0, -1, -1))

    assert first.games.begins.tolist() == [True, True]
    assert going.games.begins.tolist() == [False, True]
    assert first.last == Last(text_key("2"), 0, -1, -1)
    assert going.troubles == []
    assert [trouble.row for trouble in changed.troubles] == [0]


@pytest.mark.parametrize("dense", [1, 4_000_000])
def test_more_held_than_there_are_is_found_wherever_it_stands(dense, monkeypatch):
    monkeypatch.setattr(module, "DENSE", dense)
    rows = ["1,yes,Fox|Moth,Fox"] * 5 + ["2,yes,Fox|Moth,Moth|Moth"]
    reading, _ = read("game,won,cards,held\n" + "\n".join(rows) + "\n")

    assert [trouble[:2] for trouble in reading.troubles] == [(5, 4)]


@given(st.lists(st.sampled_from([0, 0, 0, 1, 99]), max_size=30))
def test_filled_places_are_those_of_counts_above_none(counts):
    copies = np.array(counts, dtype=np.uint8)

    assert filled_places(copies).tolist() == np.flatnonzero(copies).tolist()
