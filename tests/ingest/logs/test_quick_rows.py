"""Blocks read at full speed, against the same blocks read with care."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ingest.logs_on_disk import quoted
from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Wanted
from winrate_tools.ingest.logs.quick_rows import has_plain_quotes, quick_rows
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("card,cards,games\nFox,a|b,3\n", "cards.csv")
WANTED = Wanted((1,), (3,), {2: "|"})
cells = st.sampled_from(["Fox", 'W"ax', "a\nb", " Moth", "K\u00e4fer", "", "1,2"])


def texts(coded) -> list[str]:
    return [coded.texts[code].strip() for code in coded.codes]


def lists(column) -> list[list[str]]:
    entries = [column.texts[code].strip() for code in column.codes]
    return [
        part.tolist() for part in np.split(np.array(entries, dtype=object), column.ends[:-1])
    ]


@given(st.lists(st.tuples(cells, st.lists(cells, min_size=1), st.integers(0, 999)), min_size=1))
def test_both_ways_of_reading_find_the_same(rows):
    lines = [",".join(quoted(c, ",") for c in (a, "|".join(b), n)) for a, b, n in rows]
    block = Block("\n".join(lines).encode(), 2)
    quick, careful = quick_rows(block, HEAD, WANTED), careful_rows(block, HEAD, WANTED)

    assert quick is not None
    assert texts(quick.columns[1]) == texts(careful.columns[1])
    assert lists(quick.lists[2]) == lists(careful.lists[2])
    assert quick.numbers[3].tolist() == [int(text) for text in texts(careful.columns[3])]


@pytest.mark.parametrize(
    "data",
    [
        b'Fox,5" nail,3\n',
        b'Fox,"a"b,3\n',
        b'Fox,"a,3\n',
        b"Fox,3\n",
        b"F\0x,a,3\n",
        b"F\xffx,a,3\n",
        b'Fox, "a",3\n',
        b",,\n,,,\n",
    ],
)
def test_a_block_that_is_not_plain_is_left_to_care(data):
    assert quick_rows(Block(data, 2), HEAD, WANTED) is None


@pytest.mark.parametrize("cell", ["", "n/a", "0x1F", "+3", "1.5"])
def test_numbers_that_are_not_plain_come_as_codes(cell):
    rows = quick_rows(Block(f"Fox,a,4\nMoth,b,{cell}\n".encode(), 2), HEAD, WANTED)

    assert rows.numbers == {}
    assert texts(rows.columns[3]) == ["4", cell]


@pytest.mark.parametrize(
    ("data", "plain"),
    [
        (b"a,b", True),
        (b'"a","b""c"\n"d"', True),
        (b'"a"\r\n', True),
        (b'a,""', True),
        (b'a"b', False),
        (b'"a', False),
        (b'"a"b"', False),
        (b'a, "b"', False),
        (b'"a" ,b', False),
    ],
)
def test_quotes_are_plain_where_they_enclose_cells(data, plain):
    assert has_plain_quotes(data, ",") == plain


def test_blank_copies_are_none():
    head = read_grid("won,a,b\n1,2,0\n", "log.csv")
    rows = quick_rows(Block(b"1,,3\n", 2), head, Wanted((1,), copies=(2, 3)))

    assert rows.copies.tolist() == [[0, 3]]
    assert quick_rows(Block(b"1,0x2,3\n", 2), head, Wanted((1,), copies=(2, 3))) is None
