"""Parts of rows that repeat, against the same cells split one by one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.logs import row_parts
from winrate_tools.ingest.logs.row_parts import RowParts
from winrate_tools.ingest.text.byte_rows import ByteRows, starts_of
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("game,card,copy,held\n1,Fox,1,no\n", "log.csv")
cards = st.sampled_from(["Fox", "Moth", "Ash Vine", "K\u00e4fer", "1", "no", "", " Fox"])
tables = st.lists(st.tuples(cards, cards, cards), min_size=1)


def read(parts: RowParts, table) -> dict[int, list[str]]:
    """Read rows, and give every row its own cells."""
    rows = ByteRows("".join(f"7,{','.join(cells)}\n" for cells in table).encode())
    ends = rows.line_ends()
    found = parts.columns(rows, starts_of(ends) + 2, ends)
    return {n: [coded.texts[code] for code in coded.codes] for n, coded in found.items()}


@given(st.lists(tables, min_size=1, max_size=4), st.sampled_from([1, 8, 100]))
def test_parts_are_those_split_cell_by_cell_over_any_number_of_blocks(blocks, few):
    parts = RowParts(HEAD, 2, 5, (2, 4))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(row_parts, "FEW", few)
        found = [read(parts, table) for table in blocks]

    assert found == [{2: [c for c, _, _ in t], 4: [c for _, _, c in t]} for t in blocks]


def cards_of(parts: RowParts, data: bytes):
    """Read cards that stand alone on their lines."""
    rows = ByteRows(data)
    found = parts.columns(rows, starts_of(rows.line_ends()), rows.line_ends())
    return None if found is None else (found[2].texts, found[2].codes.tolist())


def test_texts_are_numbered_by_first_appearance_each_once():
    parts = RowParts(HEAD, 2, 4, (2,))

    assert cards_of(parts, b"Moth,1\nFox,1\nMoth,2\n") == (("Moth", "Fox"), [0, 1, 0])
    assert cards_of(parts, b"Vine,1\nFox,2\nFox,1\n") == (("Fox", "Vine"), [1, 0, 0])


def test_many_texts_are_told_apart():
    names = [f"Card {n * n % 5003}" for n in range(4000)]
    texts, codes = cards_of(RowParts(HEAD, 2, 3, (2,)), "\n".join([*names, ""]).encode())

    assert [texts[code] for code in codes] == names
    assert texts == tuple(dict.fromkeys(names))


def test_few_texts_are_told_whether_rows_have_them_or_not(monkeypatch):
    monkeypatch.setattr(row_parts, "FEW", 2)
    parts = RowParts(HEAD, 2, 3, (2,))
    cards_of(parts, b"Moth\nFox\n")

    assert cards_of(parts, b"Fox\nFox\nFox\nFox\n") == (("Moth", "Fox"), [1, 1, 1, 1])
    assert cards_of(parts, b"Fox\nFox\nFox\n") == (("Fox",), [0, 0, 0])


def test_parts_that_hardly_repeat_are_left_to_others(monkeypatch):
    monkeypatch.setattr(row_parts, "MOST_PARTS", 2)
    parts = RowParts(HEAD, 2, 3, (2,))
    cards_of(parts, b"Fox\nMoth\n")

    assert not parts.is_full
    assert cards_of(parts, b"Vine\nMoth\nFox\n") == (("Fox", "Moth", "Vine"), [2, 1, 0])
    assert parts.is_full
    assert cards_of(parts, b"Fox\n") is None


def test_codes_are_as_narrow_as_those_of_other_columns():
    rows = ByteRows(b"Fox\nMoth\nFox\n")
    found = RowParts(HEAD, 2, 3, (2,)).columns(
        rows, starts_of(rows.line_ends()), rows.line_ends()
    )

    assert found[2].codes.dtype == np.int32


@pytest.mark.parametrize("odd", [b"Fox,1\n", b"Fox,1,no,1\n", b"Fox\n"])
def test_other_numbers_of_cells_are_left_to_care_and_leave_no_trace(odd, monkeypatch):
    monkeypatch.setattr(row_parts, "FEW", 0)
    parts = RowParts(HEAD, 2, 5, (2,))

    assert cards_of(parts, b"Moth,1,no\n" + odd) is None
    assert cards_of(parts, b"Ivy,1,no\n") == (("Ivy",), [0])


def test_blank_parts_of_one_cell_are_left_to_care():
    rows = ByteRows(b"Fox\n\n")

    assert (
        RowParts(HEAD, 2, 3, (2,)).columns(rows, starts_of(rows.line_ends()), rows.line_ends())
        is None
    )
