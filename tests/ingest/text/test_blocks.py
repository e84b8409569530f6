"""Streams cut into blocks of whole records."""

from io import BytesIO

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.errors import TableError
from winrate_tools.ingest.text import blocks as blocks_module
from winrate_tools.ingest.text.blocks import (
    NEWLINE,
    PIECE,
    blocks,
    line_count,
    line_ends,
    record_end,
)

records = st.lists(
    st.sampled_from(["a,1", '"b\nc",2', '"d ""e""",3', "", "f,\u00e4"]), min_size=1, max_size=20
)


@given(records=records, size=st.integers(1, 30), end=st.sampled_from(["\n", "\r\n"]))
def test_blocks_lose_nothing_and_know_their_lines(records, size, end):
    text = end.join(records).encode()
    cut = list(blocks(BytesIO(text), "log", size=size, with_ends=True))

    assert b"".join(block.data for block in cut) == text
    at = 0
    for block in cut:
        assert block.line == 1 + line_count(text[:at])
        assert block.lines == line_count(block.data)
        assert block.ends.tolist() == [n for n, b in enumerate(block.data) if b == NEWLINE]
        assert text[:at].count(b'"') % 2 == 0
        at += len(block.data)
    assert all(block.data.endswith(b"\n") for block in cut[:-1])


def test_what_was_read_before_comes_first():
    cut = list(blocks(BytesIO(b"b\nc\n"), "log", read=b"a\n", line=7, size=2))

    assert (cut[0].data, cut[0].line) == (b"a\nb\n", 7)
    assert cut[1].line == 9


def test_a_record_without_an_end_is_refused(monkeypatch):
    monkeypatch.setattr(blocks_module, "LONGEST", 50)

    with pytest.raises(TableError, match="log:2: a record must end within"):
        list(blocks(BytesIO(b'a\n"b' + b"\nc" * 100), "log", size=10))


@pytest.mark.parametrize(
    ("data", "end"),
    [(b"", 0), (b"a", 0), (b"a\nb", 2), (b'"a\nb', 0), (b'x\n"a\nb"\n', 8), (b'x\n"a\nb', 2)],
)
def test_a_record_ends_at_the_last_line_end_outside_quotes(data, end):
    assert record_end(data) == end


def test_every_kind_of_line_end_counts_once():
    assert line_count(b"a\nb\r\nc\rd") == 3
    assert line_count(b"a\n" * PIECE) == PIECE


def test_line_ends_are_found_in_every_piece():
    data = b"abc\n" * PIECE
    (block,) = blocks(BytesIO(data), "log", size=len(data), with_ends=True)

    assert (line_ends(data) == np.arange(3, 4 * PIECE, 4)).all()
    assert len(line_ends(data)) == len(block.ends) == block.lines == PIECE
    assert len(line_ends(b"")) == 0


def test_nobody_looks_for_line_ends_unless_asked():
    (block,) = blocks(BytesIO(b"a\nb\n"), "log")

    assert (block.lines, block.ends) == (2, None)


def test_line_ends_of_every_kind_are_counted_where_newlines_are_found():
    (block,) = blocks(BytesIO(b"a\rb\r\nc\n"), "log", with_ends=True)

    assert (block.lines, block.ends.tolist()) == (3, [4, 6])


def test_blocks_are_the_same_whoever_looked_for_their_line_ends():
    (one,), (other,) = (
        tuple(blocks(BytesIO(b"a\nb\n"), "log", with_ends=with_ends))
        for with_ends in (False, True)
    )

    assert one == other
