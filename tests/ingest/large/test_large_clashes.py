"""Cards of a large table that carry two labels of one attribute."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.cells.names import clash_note, contradictions
from winrate_tools.ingest.large.large_clashes import Clashes

ROWS = st.lists(st.tuples(st.integers(0, 3), st.integers(-1, 2)), max_size=30)


@given(ROWS, st.integers(1, 9))
def test_blocks_tell_what_the_rows_tell_at_once(rows: list[tuple[int, int]], size: int):
    clashes = Clashes()
    for start in range(0, len(rows), size):
        block = np.array(rows[start : start + size])
        clashes.add(*block.T, np.arange(start, start + len(block)))

    told = [
        clash_note(str(card), "kind", (str(first), str(other)), (str(here), str(there)))
        for card, first, here, other, there in clashes
    ]
    labels = {"kind": [None if code < 0 else str(code) for _, code in rows]}
    cards = [str(card) for card, _ in rows]
    assert told == list(contradictions(cards, labels, range(len(rows)), str))
