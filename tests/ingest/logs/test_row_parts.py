"""Parts of rows that repeat, against the same cells split one by one."""

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


@given(st.lists(tables, min_size=1, max_size=4), st.sampled_from([1, 3, 1 << 14]))
def test_parts_are_those_split_cell_by_cell_over_any_number_of_blocks(blocks, most):
    parts = RowParts(HEAD, 2, 5, (2, 4))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(row_parts, "MOST_PARTS", most)
        found = [read(parts, table) for table in blocks]

    assert found == [{2: [c for c, _, _ in t], 4: [c for _, _, c in t]} for t in blocks]


def test_texts_are_numbered_by_first_appearance_each_once():
    parts = RowParts(HEAD, 2, 5, (2,))
    read(parts, [("Moth", "1", "no"), ("Fox", "1", "no"), ("Moth", "2", "yes")])
    rows = ByteRows(b"Vine,1,no\nFox,2,no\nFox,1,no\n")
    found = parts.columns(rows, starts_of(rows.line_ends()), rows.line_ends())[2]

    assert found.texts == ("Moth", "Fox", "Vine")
    assert found.codes.tolist() == [2, 1, 1]


def test_what_is_met_too_often_to_remember_is_forgotten(monkeypatch):
    monkeypatch.setattr(row_parts, "MOST_PARTS", 2)
    parts = RowParts(HEAD, 2, 3, (2,))
    two, three = ByteRows(b"Fox\nMoth\n"), ByteRows(b"Vine\nMoth\nFox\n")
    last = ByteRows(b"Ivy\n")
    texts = [
        parts.columns(rows, starts_of(rows.line_ends()), rows.line_ends())[2].texts
        for rows in (two, three, last)
    ]

    assert texts == [("Fox", "Moth"), ("Fox", "Moth", "Vine"), ("Ivy",)]


@pytest.mark.parametrize("odd", [b"Fox,1\n", b"Fox,1,no,1\n", b"Fox\n"])
def test_other_numbers_of_cells_are_left_to_care_and_leave_no_trace(odd):
    parts = RowParts(HEAD, 2, 5, (2, 4))
    rows = ByteRows(b"Moth,1,no\n" + odd)

    assert parts.columns(rows, starts_of(rows.line_ends()), rows.line_ends()) is None
    assert read(parts, [("Ivy", "1", "no")]) == {2: ["Ivy"], 4: ["no"]}
    rows = ByteRows(b"Vine,1,no\n")
    found = parts.columns(rows, starts_of(rows.line_ends()), rows.line_ends())
    assert found[2].texts == ("Ivy", "Vine")


def test_blank_parts_of_one_cell_are_left_to_care():
    rows = ByteRows(b"Fox\n\n")

    assert (
        RowParts(HEAD, 2, 3, (2,)).columns(rows, starts_of(rows.line_ends()), rows.line_ends())
        is None
    )
