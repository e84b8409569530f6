"""Lines as bytes, against the same lines split and read one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.text.blocks import Block, line_ends
from winrate_tools.ingest.text.byte_rows import (
    FEW_LETTERS,
    FRAME,
    MOST_WORDS,
    WORD,
    ByteRows,
    byte_rows,
    differ,
    spelt,
    starts_of,
)

labels = st.text(st.characters(exclude_characters='",\n\r\0', codec="utf-8"), max_size=40)
counts = st.integers(0, 9_999_999).map(str) | st.sampled_from(["0", "007", "0000000"])


def lines_of(rows) -> bytes:
    return "".join(",".join(row) + "\n" for row in rows).encode()


@given(st.lists(st.tuples(labels, counts, counts), min_size=1))
def test_numbers_are_read_from_the_end_of_any_line(table):
    rows = ByteRows(lines_of(table))
    last = rows.line_ends()
    wins, before_wins = rows.numbers(last, ",")
    games, before_games = rows.numbers(before_wins, ",")
    lengths = [len(label.encode()) for label, _, _ in table]

    assert wins.tolist() == [int(row[2]) for row in table]
    assert games.tolist() == [int(row[1]) for row in table]
    assert (before_games - starts_of(last)).tolist() == lengths


@pytest.mark.parametrize("width", [4, 7])
@pytest.mark.parametrize("place", range(7))
@pytest.mark.parametrize("letter", [0x2F, 0x3A, 0x20, 0x2E, 0x2D, 0x41, 0x7F, 0x80, 0xB0, 0xFF])
def test_every_letter_but_a_digit_is_noticed_anywhere_in_a_number(width, place, letter):
    number = bytearray(b"1234567"[:width])
    number[place % width] = letter
    rows = ByteRows(b"Fox,5\nMoth," + bytes(number) + b"\nVine,6\n")

    assert rows.numbers(rows.line_ends(), ",") is None


@pytest.mark.parametrize("data", [b"Fox,\n", b",5\n,\n", b"5\n", b"Fox;5\n", b"Fox,12345678\n"])
def test_what_is_no_number_behind_a_delimiter_is_none(data):
    rows = ByteRows(data)

    assert rows.numbers(rows.line_ends(), ",") is None


def test_a_number_does_not_reach_into_the_line_above():
    rows = ByteRows(b"Fox,5\n77\n")

    assert rows.numbers(rows.line_ends(), ",") is None


@given(st.lists(labels, min_size=1))
def test_words_are_the_same_where_labels_are(names):
    rows = ByteRows(lines_of([(name,) for name in names]))
    ends = rows.line_ends()
    words = rows.words(starts_of(ends), ends)
    spelt = {row.tobytes() for row in words}

    assert len(spelt) == len(set(names))
    assert [row.tobytes().rstrip(b"\0").decode() for row in words] == names


def test_words_may_be_many_but_not_too_many():
    letters = WORD * MOST_WORDS
    rows = ByteRows(b"a" * letters + b"\n")
    longer = ByteRows(b"a" * (letters + 1) + b"\n")

    assert rows.words(np.array([0]), rows.line_ends()).shape == (1, MOST_WORDS)
    assert longer.words(np.array([0]), longer.line_ends()) is None


@pytest.mark.parametrize("count", [1, 2, 4, 8, 16])
def test_rows_differ_where_any_of_their_words_does(count):
    one = np.ones((3 * count, count), dtype=np.uint64)
    other = one.copy()
    other[range(count), range(count)] = 2

    assert differ(one, other).tolist() == count * [True] + 2 * count * [False]


@given(st.lists(labels, min_size=1))
def test_what_words_spell_can_be_written_again(names):
    rows = ByteRows(lines_of([(name,) for name in names]))
    starts, ends = starts_of(rows.line_ends()), rows.line_ends()

    assert spelt(rows.words(starts, ends), ends - starts).decode().split("\n") == [*names, ""]


@pytest.mark.parametrize(
    ("data", "ends"),
    [
        (b"Fox,1\r\nMoth,2\r\n", [5, 12]),
        (b"Fox,1\nMoth,2", [5, 12]),
        (b"Fox,1\r\nMoth,2", [5, 12]),
        (b"\n", [0]),
    ],
)
def test_lines_may_end_in_any_usual_way(data, ends):
    assert byte_rows(Block(data, 1)).line_ends().tolist() == ends


@pytest.mark.parametrize(
    "data", [b'"Fox",1\n', b"Fox\0,1\n", b"Fox,1\rMoth,2\n", b"F\xffx,1\n", b"F\xc3"]
)
def test_letters_that_may_mean_something_else_are_left_to_care(data):
    assert byte_rows(Block(data, 1)) is None


def test_text_beyond_ascii_is_text():
    assert byte_rows(Block("Käfer,1\n".encode(), 1)) is not None


@pytest.mark.parametrize("end", ["\n", "\r\n", ""])
def test_line_ends_that_are_known_are_those_found(end):
    data = f"Fox,1\nMoth,2{end}".encode()

    assert byte_rows(Block(data, 1, ends=line_ends(data))).line_ends().tolist() == [5, 12]


names = st.text(st.characters(exclude_characters="\n\0,", codec="ascii"), max_size=80)


@given(st.lists(st.lists(names, min_size=3, max_size=4), min_size=1))
def test_first_cells_end_at_their_delimiters(table):
    rows = ByteRows(lines_of(table))
    starts = starts_of(rows.line_ends())
    ends = rows.cell_ends(starts, ",", 2)
    far = max(len(one) + len(other) for one, other, *_ in table) + 2 > len(FRAME)
    first = [len(cells[0]) for cells in table]
    second = [len(cells[0]) + 1 + len(cells[1]) for cells in table]

    assert far == (ends is None)
    assert far or (ends - starts).tolist() == [first, second]


@pytest.mark.parametrize("letters", [FEW_LETTERS, len(FRAME)])
def test_first_cells_may_fill_all_letters_that_are_looked_at(letters):
    rows = ByteRows(b"a,b\n" + b"c" * (letters - 1) + b",d\n")

    assert rows.cell_ends(np.array([0, 4]), ",", 1).tolist() == [[1, letters + 3]]


@pytest.mark.parametrize(
    "data",
    [
        b"a,b\na\nc,d\n",
        b"a\nb,c\n",
        b"a,b\nc\n",
        b"c" * len(FRAME) + b",d\n",
        b"c" * len(FRAME) + b",d\n,e\n",
    ],
)
def test_lines_with_too_few_cells_or_too_long_ones_have_no_such_ends(data):
    rows = ByteRows(data)

    assert rows.cell_ends(starts_of(rows.line_ends()), ",", 1) is None


def test_cells_of_the_next_line_are_not_taken_for_those_that_are_missing():
    rows = ByteRows(b"a\nb,c,d\n")

    assert rows.cell_ends(starts_of(rows.line_ends()), ",", 2) is None
