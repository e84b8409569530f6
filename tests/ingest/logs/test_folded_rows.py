"""Runs of rows that begin alike, against the same rows read with care."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.logs import row_parts
from winrate_tools.ingest.logs.careful_rows import careful_rows
from winrate_tools.ingest.logs.coded import Wanted
from winrate_tools.ingest.logs.folded_rows import ROUNDS, FoldedRows, unfolded
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("game,won,turn,card,other,held\n1,yes,3,Fox,,1\n", "log.csv")
WANTED = Wanted((2, 4, 6), (1,), varying=(4, 6))
PLAIN = b"1,yes,3,Fox,a,1\n1,yes,3,Moth,,0\n1,yes,3,Fox,,1\n2,no,3,1,,0\n1,yes,3,Fox,,0\n"


def folded_rows(data: bytes, line: int = 2, head=HEAD, wanted=WANTED):
    return FoldedRows(head, wanted).read(Block(data, line))


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
    folded, careful = folded_rows(block.data), careful_rows(block, HEAD, WANTED)
    found = unfolded(folded)

    assert folded.rows <= found.rows == careful.rows
    assert set(folded.lists) == {4, 6}
    stripped = {n: [t.strip() for t in texts(found.columns[n])] for n in (2, 4, 6)}
    assert stripped == {n: texts(careful.columns[n]) for n in (2, 4, 6)}
    assert found.numbers[1].tolist() == [int(text) for text in texts(careful.columns[1])]
    assert found.line == 2


def test_rows_of_a_run_come_as_one():
    rows = folded_rows(PLAIN, 7)

    assert rows.numbers[1].tolist() == [1, 2, 1]
    assert texts(rows.columns[2]) == ["yes", "no", "yes"]
    assert rows.lists[4].ends.tolist() == rows.lists[6].ends.tolist() == [3, 4, 5]
    assert rows.lists[4].texts == ("Fox", "Moth", "1")
    assert (rows.rows, rows.line) == (3, 7)


def test_texts_are_numbered_by_first_appearance_in_their_own_column():
    data = b"1,yes,0,b,1,1\n1,yes,0,1,b,1\n1,yes,0,a,1,0\n"
    wanted = Wanted((2, 4, 5), (1,), varying=(4, 5))
    rows = folded_rows(data, wanted=wanted)

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
    rows, quick = folded_rows(data), quick_rows(Block(data, 2), HEAD, WANTED)

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
    assert folded_rows(data) is None


def test_ids_that_are_no_numbers_come_as_texts():
    rows = folded_rows(PLAIN + b"0x1F,yes,3,Fox,,1\n")

    assert rows.numbers == {}
    assert texts(rows.columns[1]) == ["1", "2", "1", "0x1F"]


def test_a_blank_id_is_a_row_too():
    head = read_grid("game,card\n1,Fox\n", "log.csv")
    rows = folded_rows(b"1,Fox\n,Moth\n", 2, head, Wanted((2,), (1,), varying=(2,)))

    assert texts(rows.columns[1]) == ["1", ""]


def test_nothing_is_folded_unless_it_is_asked_for():
    rows = folded_rows(PLAIN, wanted=Wanted((2, 4, 6), (1,)))

    assert (rows.rows, rows.lists) == (5, {})


LONG_IDS = Wanted((1, 2, 4), varying=(4,))
long_ids = st.sampled_from(
    ["", "a", "2031-05-04-1", "2031-05-04-10", "2031-05-04-101", "2031-05-04-2", 70 * "b"]
)


@given(st.lists(st.tuples(long_ids, st.sampled_from(["yes", "no"])), min_size=1))
def test_rows_that_begin_otherwise_never_share_a_run(games):
    data = "".join(f"{game},{won},3,Fox,,1\n" for game, won in games).encode()
    quick = quick_rows(Block(data, 2), HEAD, LONG_IDS)
    found = folded_rows(data, wanted=LONG_IDS)
    found = unfolded(found) if found.lists else found

    assert texts(found.columns[1]) == texts(quick.columns[1]) == [game for game, _ in games]
    assert texts(found.columns[2]) == [won for _, won in games]


def ever_longer_turns(rows: int) -> bytes:
    """Write rows each of which begins like the one before, but goes on a little longer."""
    return b"".join(b"aaaaaaaa,yes," + b"3" * row + b",Fox,,1\n" for row in range(rows))


def test_runs_that_come_out_one_by_one_are_folded_if_they_are_few():
    few = folded_rows(ever_longer_turns(ROUNDS), wanted=LONG_IDS)
    many = folded_rows(ever_longer_turns(ROUNDS + 1), wanted=LONG_IDS)

    assert few.lists[4].ends.tolist() == [1, 2, 3, 4]
    assert (many.rows, many.lists) == (ROUNDS + 1, {})


def test_blocks_of_one_log_number_their_texts_alike(monkeypatch):
    monkeypatch.setattr(row_parts, "FEW", 0)
    log = FoldedRows(HEAD, WANTED)
    one, other = log.read(Block(PLAIN, 2)), log.read(Block(b"3,maybe,3,Vine,,0\n", 7))

    assert one.columns[2].texts == ("yes", "no")
    assert other.columns[2].texts == ("yes", "no", "maybe")
    assert other.lists[4].texts == ("Fox", "Moth", "1", "Vine")
    assert texts(other.lists[4]) == ["Vine"]
    assert (other.numbers[1].tolist(), other.line) == ([3], 7)


@pytest.mark.parametrize("number", ["12345678", "-4", " 4", "+4"])
def test_ids_of_any_length_and_sign_are_those_read_row_by_row(number):
    data = PLAIN + f"{number},yes,3,Fox,,0\n".encode()
    rows, quick = folded_rows(data), quick_rows(Block(data, 2), HEAD, WANTED)

    assert rows.lists
    assert set(rows.numbers) == set(quick.numbers)
    assert [found.tolist()[-1] for found in rows.numbers.values()] == [
        found.tolist()[-1] for found in quick.numbers.values()
    ]


def test_numbers_are_as_wide_as_those_read_row_by_row():
    assert folded_rows(PLAIN).numbers[1].dtype == np.int64


def test_first_cells_may_be_long_but_not_too_long():
    short, long = (f"{'b' * letters},yes,3,Fox,,1\n".encode() for letters in (249, 250))

    assert folded_rows(short, wanted=LONG_IDS).lists
    assert not folded_rows(long, wanted=LONG_IDS).lists


def test_ends_of_rows_may_be_long_but_not_too_long():
    short, long = (f"a,yes,3,{'b' * letters},,1\n".encode() for letters in (253, 254))

    assert folded_rows(short, wanted=LONG_IDS).lists
    assert not folded_rows(long, wanted=LONG_IDS).lists


def test_texts_of_a_block_that_is_not_folded_are_not_known(monkeypatch):
    monkeypatch.setattr(row_parts, "FEW", 0)
    log = FoldedRows(HEAD, WANTED)
    log.read(Block(b"3,maybe,3,Vine,,0\n4,yes,3,Fox,1\n", 2))
    rows = log.read(Block(PLAIN, 4))

    assert rows.columns[2].texts == ("yes", "no")
    assert rows.lists[4].texts == ("Fox", "Moth", "1")


SHORT = read_grid("game,won,card\n1,yes,Fox\n", "log.csv")


def test_rows_of_one_run_may_begin_shortly():
    data = b"1,yes,Fox\n1,yes,Moth\n2,no,Fox\n"
    rows = folded_rows(data, 2, SHORT, Wanted((2, 3), (1,), varying=(3,)))

    assert rows.numbers[1].tolist() == [1, 2]
    assert rows.lists[3].ends.tolist() == [2, 3]


@pytest.mark.parametrize("game", ["1", "a"])
def test_a_blank_outcome_is_read_all_the_same(game):
    data = f"{game},,Fox\n2,yes,Moth\n".encode()
    rows = folded_rows(data, 2, SHORT, Wanted((1, 2, 3), varying=(3,)))
    numbered = folded_rows(data, 2, SHORT, Wanted((2, 3), (1,), varying=(3,)))

    assert rows.lists
    assert numbered.lists
    assert texts(rows.columns[1]) == [game, "2"]
    assert texts(rows.columns[2]) == texts(numbered.columns[2]) == ["", "yes"]


@pytest.mark.parametrize(
    "wanted",
    [
        Wanted((1, 2, 4), varying=(4,)),
        Wanted((2, 4), (1, 3), varying=(4,)),
        Wanted((2, 4), (3,), varying=(4,)),
        Wanted((4,), (1,), varying=(4,)),
    ],
)
def test_numbers_may_stand_anywhere_or_nowhere(wanted):
    found = unfolded(folded_rows(PLAIN, wanted=wanted))
    quick = quick_rows(Block(PLAIN, 2), HEAD, wanted)

    assert set(found.columns) == set(quick.columns)
    assert {n: texts(coded) for n, coded in found.columns.items()} == {
        n: texts(coded) for n, coded in quick.columns.items()
    }
    assert {n: found.numbers[n].tolist() for n in wanted.numbers} == {
        n: quick.numbers[n].tolist() for n in wanted.numbers
    }


def test_a_game_alone_may_stand_before_the_cards():
    head = read_grid("game,card\n1,Fox\n", "log.csv")
    rows = folded_rows(b"1,Fox\n1,Moth\n2,Fox\n", 2, head, Wanted((2,), (1,), varying=(2,)))

    assert rows.numbers[1].tolist() == [1, 2]
    assert (rows.columns, rows.lists[2].ends.tolist()) == ({}, [2, 3])


def test_what_hardly_repeats_is_read_another_way(monkeypatch):
    monkeypatch.setattr(row_parts, "MOST_PARTS", 3)
    log, behind = FoldedRows(HEAD, WANTED), FoldedRows(HEAD, WANTED)
    fronts = b"".join(b"%d,yes,%d,Fox,,1\n" % (row, row) for row in range(5))
    ends = b"".join(b"1,yes,3,Fox,%d,1\n" % row for row in range(5))
    found = [log.read(Block(fronts, 2)) for _ in range(2)]
    folded, plain, again = (behind.read(Block(ends, 2)) for _ in range(3))

    assert all(rows.lists for rows in found)
    assert [texts(rows.columns[2]) for rows in found] == [["yes"] * 5] * 2
    assert [rows.numbers[1].tolist() for rows in found] == [[0, 1, 2, 3, 4]] * 2
    assert folded.lists
    assert (plain.rows, plain.lists, again.lists) == (5, {}, {})


def test_rows_that_begin_longer_than_the_first_one_are_told_apart():
    data = b"1,a,Fox\n1,bcde,Fox\n1,bcdf,Moth\n1,bcdf,Ivy\n"
    rows = folded_rows(data, 2, SHORT, Wanted((2, 3), (1,), varying=(3,)))

    assert texts(rows.columns[2]) == ["a", "bcde", "bcdf"]
    assert rows.lists[3].ends.tolist() == [1, 2, 4]
