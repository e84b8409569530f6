"""Logs with a column a card, read from their bytes."""

import numpy as np
import pytest

from winrate_tools.ingest.logs import wide_rows as module
from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Wanted
from winrate_tools.ingest.logs.wide_rows import quick_wide_rows
from winrate_tools.ingest.text.blocks import Block, line_ends
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("game,won,Fox,Moth,Fox held,Moth held\n1,yes,2,0,1,0\n", "log.csv")
WANTED = Wanted((2,), (1,), copies=(3, 4, 5, 6))
PLAIN = b'2,yes,1,0,1,0\n"3",no,0,9,0,4\n'


@pytest.fixture
def no_other_way(monkeypatch):
    """Let only the heads of lines be parsed."""
    parse = module.quick_rows

    def parse_heads(block, like, wanted):
        assert not wanted.copies
        return parse(block, like, wanted)

    monkeypatch.setattr(module, "quick_rows", parse_heads)


@pytest.mark.parametrize("data", [PLAIN, PLAIN.replace(b"\n", b"\r\n"), PLAIN[:-1]])
def test_single_digits_at_the_ends_of_lines_are_read_from_their_places(data, no_other_way):
    rows = quick_wide_rows(Block(data, 2), HEAD, WANTED)

    assert rows.copies.tolist() == [[1, 0, 1, 0], [0, 9, 0, 4]]
    assert rows.numbers[1].tolist() == [2, 3]
    assert rows.columns[2].texts == ("yes", "no")


def test_counts_come_in_the_order_in_which_they_are_wanted(no_other_way):
    rows = quick_wide_rows(Block(PLAIN, 2), HEAD, Wanted((2,), (1,), copies=(3, 5, 4, 6)))

    assert rows.copies.tolist() == [[1, 1, 0, 0], [0, 0, 9, 4]]


@pytest.mark.parametrize(
    "data", [b"2,yes,10,0,1,0\n", b"2,yes,,0,1,0\n", b'2,yes,"1",0,1,0\n', b"2,yes, 1,0,1,0\n"]
)
def test_other_counts_are_read_as_with_care(data):
    quick = quick_wide_rows(Block(PLAIN + data, 2), HEAD, WANTED)
    careful = careful_rows(Block(PLAIN + data, 2), HEAD, WANTED)

    assert np.array_equal(quick.copies, careful.copies)


@pytest.mark.parametrize(
    "data", [b"2,yes,1,0,1\n", b"2,yes,x,0,1,0\n", b"2,yes,1,0,1,0,1\n", b"1,0\n"]
)
def test_lines_that_do_not_fit_are_left_to_care(data):
    assert quick_wide_rows(Block(PLAIN + data, 2), HEAD, WANTED) is None


def test_columns_behind_the_cards_are_read_too():
    head = read_grid("game,Fox,Moth,won\n1,2,0,yes\n", "log.csv")
    rows = quick_wide_rows(Block(b"1,2,0,yes\n", 2), head, Wanted((4,), (1,), copies=(2, 3)))

    assert rows.copies.tolist() == [[2, 0]]
    assert rows.columns[4].texts == ("yes",)


@pytest.mark.parametrize("data", [PLAIN, PLAIN.replace(b"\n", b"\r\n"), PLAIN[:-1]])
def test_line_ends_that_are_known_are_used_where_they_hold(data, no_other_way):
    rows = quick_wide_rows(Block(data, 2, ends=line_ends(data)), HEAD, WANTED)

    assert rows.copies.tolist() == [[1, 0, 1, 0], [0, 9, 0, 4]]
