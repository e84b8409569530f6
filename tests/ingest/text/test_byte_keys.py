"""Numbers for rows of words, against a dictionary."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.text import byte_keys as module
from winrate_tools.ingest.text.byte_keys import ByteKeys

words = st.integers(0, 5) | st.sampled_from([1 << 63, (1 << 64) - 1])


def blocks(width: int):
    return st.lists(st.lists(words, min_size=width, max_size=width), min_size=1, max_size=40)


def assert_as_a_dictionary(keys: ByteKeys, known: dict, block) -> None:
    rows = [tuple(row) for row in block]
    had = len(known)
    codes, first = keys.codes(np.array(block, dtype=np.uint64))
    fresh = [at for at, row in enumerate(rows) if row not in known and row not in rows[:at]]
    known |= {rows[at]: had + n for n, at in enumerate(first.tolist())}

    assert sorted(first.tolist()) == fresh
    assert codes.tolist() == [known[row] for row in rows]
    assert len(keys) == len(known)


@given(st.lists(blocks(2), min_size=1, max_size=5))
def test_rows_have_one_number_however_many_blocks_hold_them(table):
    keys, known = ByteKeys(), {}

    for block in table:
        assert_as_a_dictionary(keys, known, block)


@given(st.lists(blocks(2), min_size=2, max_size=5))
def test_rows_that_want_the_same_slot_are_told_apart(table):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module, "_scattered", lambda words: np.zeros(len(words), np.uint64))
        patch.setattr(module, "FEWEST_SLOTS", 2)
        keys, known = ByteKeys(), {}

        for block in table:
            assert_as_a_dictionary(keys, known, block)


def test_many_rows_are_told_apart_as_the_table_grows():
    keys = ByteKeys()
    rows = np.arange(40_000, dtype=np.uint64).reshape(-1, 2)
    codes = [keys.codes(rows[start:][:5000])[0] for start in range(0, len(rows), 5000)]
    again, first = keys.codes(rows)

    assert np.array_equal(again, np.concatenate(codes))
    assert len(set(again.tolist())) == len(keys) == len(rows)
    assert not len(first)


def test_missing_words_are_zero():
    keys = ByteKeys()
    short, _ = keys.codes(np.array([[7], [8]], dtype=np.uint64))
    long, first = keys.codes(np.array([[8, 0], [8, 1], [7, 0]], dtype=np.uint64))
    again, _ = keys.codes(np.array([[7], [8]], dtype=np.uint64))

    assert long.tolist() == [short[1], 2, short[0]]
    assert first.tolist() == [1]
    assert again.tolist() == short.tolist()
