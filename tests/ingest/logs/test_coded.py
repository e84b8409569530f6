"""Columns as codes."""

import numpy as np

from winrate_tools.ingest.logs.coded import NO_COUNT, CodedLists, Wanted, small_counts


def test_lists_know_their_lengths():
    ends = np.array([2, 2, 5], dtype=np.int32)

    assert CodedLists(ends, ends, ()).lengths().tolist() == [2, 0, 3]


def test_numbers_can_be_wanted_as_codes():
    assert Wanted((1,), (2, 3), {4: "|"}).coded == Wanted((1, 2, 3), (), {4: "|"})


def test_a_count_that_no_deck_has_is_marked():
    counts = small_counts(np.array([[-1, 0, 99, 100]]))

    assert counts.tolist() == [[NO_COUNT, 0, 99, NO_COUNT]]
