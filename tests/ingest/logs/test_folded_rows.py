"""Runs of rows that begin alike, against the same rows read with care."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Wanted
from winrate_tools.ingest.logs.folded_rows import folded_rows, unfolded
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("game,won,turn,card,other,held\n1,yes,3,Fox,,1\n", "log.csv")
WANTED = Wanted((2, 4, 6), (1,), varying=(4, 6))
PLAIN = b"1,yes,3,Fox,a,1\n1,yes,3,Moth,,0\n1,yes,3,Fox,,1\n2,no,3,1,,0\n1,yes,3,Fox,,0\n"


def texts(coded) -> list[str]:
    return [coded.texts[code] for code in coded.codes]


rows_of_games = st.lists(
    st.tuples(
        st.integers(0, 3),
        st.sampled_from(["yes", "no", ""]),
        st.sampled_from(["3", "K\u00e4fer"]),
        st.sampled_from(["Fox", "K\u00e4fer", "1", "", " Moth"]),
        st.sampled_from(["", "x"]),
        st.sampled_from(["1", "0"]),
    ),
    min_size=1,
)


@given(rows=rows_of_games, end=st.sampled_from(["\n", "\r\n"]), closes=st.booleans())
def test_unfolded_rows_are_those_read_with_care(rows, end, closes):
    lines = end.join(",".join(map(str, row)) for row in rows) + end * closes
    block = Block(lines.encode(), 2)
    folded, careful = folded_rows(block, HEAD, WANTED), careful_rows(block, HEAD, WANTED)
    found = unfolded(folded)

    assert folded.rows <= found.rows == careful.rows
    assert set(folded.lists) == {4, 6}
    stripped = {n: [t.strip() for t in texts(found.columns[n])] for n in (2, 4, 6)}
    assert stripped == {n: texts(careful.columns[n]) for n in (2, 4, 6)}
    assert found.numbers[1].tolist() == [int(text) for text in texts(careful.columns[1])]
    assert found.line == 2


def test_rows_of_a_run_come_as_one():
    rows = folded_rows(Block(PLAIN, 7), HEAD, WANTED)

    assert rows.numbers[1].tolist() == [1, 2, 1]
    assert texts(rows.columns[2]) == ["yes", "no", "yes"]
    assert rows.lists[4].ends.tolist() == rows.lists[6].ends.tolist() == [3, 4, 5]
    assert rows.lists[4].texts == ("Fox", "Moth", "1")
    assert (rows.rows, rows.line) == (3, 7)


def test_texts_are_numbered_by_first_appearance_in_their_own_column():
    data = b"1,yes,0,b,1,1\n1,yes,0,1,b,1\n1,yes,0,a,1,0\n"
    wanted = Wanted((2, 4, 5), (1,), varying=(4, 5))
    rows = folded_rows(Block(data, 2), HEAD, wanted)

    assert rows.lists[4].texts == ("b", "1", "a")
    assert rows.lists[5].texts == ("1", "b")
    assert rows.lists[5].codes.tolist() == [0, 1, 0]


@pytest.mark.parametrize(
    "data",
    [
        PLAIN + b'1,"yes",3,Fox,,1\n',
        PLAIN + b"1,yes,3,Fox,,1\r1,yes,3,Fox,,1\n",
        PLAIN + b"\n",
        PLAIN + b"\r\n",
    ],
)
def test_other_blocks_are_read_row_by_row(data):
    rows, quick = (
        folded_rows(Block(data, 2), HEAD, WANTED),
        quick_rows(Block(data, 2), HEAD, WANTED),
    )

    assert rows.lists == {}
    assert texts(rows.columns[4]) == texts(quick.columns[4])
    assert np.array_equal(rows.numbers[1], quick.numbers[1])


@pytest.mark.parametrize(
    "data",
    [
        PLAIN + b"1,yes,3,Fox,1\n",
        PLAIN + b"1,yes,3,Fox,,1,1\n",
        PLAIN + b"1,yes,3,Fox,1\n1,yes,3,Fox,,1,1\n",
        PLAIN + b"1,yes,3,F\xffx,,1\n",
        PLAIN + b"1,y\xff,3,Fox,,1\n",
        PLAIN + b"1,yes,3,F\0x,,1\n",
        PLAIN + b"1,yes,3,F\rx,,1\n",
    ],
)
def test_a_block_that_is_not_plain_is_left_to_care(data):
    assert folded_rows(Block(data, 2), HEAD, WANTED) is None


def test_ids_that_are_no_numbers_come_as_texts():
    rows = folded_rows(Block(PLAIN + b"0x1F,yes,3,Fox,,1\n", 2), HEAD, WANTED)

    assert rows.numbers == {}
    assert texts(rows.columns[1]) == ["1", "2", "1", "0x1F"]


def test_a_blank_id_is_a_row_too():
    head = read_grid("game,card\n1,Fox\n", "log.csv")
    rows = folded_rows(Block(b"1,Fox\n,Moth\n", 2), head, Wanted((2,), (1,), varying=(2,)))

    assert texts(rows.columns[1]) == ["1", ""]


def test_nothing_is_folded_unless_it_is_asked_for():
    rows = folded_rows(Block(PLAIN, 2), HEAD, Wanted((2, 4, 6), (1,)))

    assert (rows.rows, rows.lists) == (5, {})
