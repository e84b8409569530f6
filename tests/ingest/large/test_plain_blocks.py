"""Plain blocks of a large table, against the same blocks checked row by row."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.large import plain_blocks as module
from winrate_tools.ingest.large.large_blocks import BlockCheck
from winrate_tools.ingest.large.number_styles import WholeFileError
from winrate_tools.ingest.large.plain_blocks import PlainBlocks
from winrate_tools.ingest.text import byte_keys
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid
from winrate_tools.ingest.text.sheet import read_sheet

HEAD = "card,note,archetype,games,wins\n"
WHERE = {"card": 1, "archetype": 3, "games": 4, "wins": 5}


def checker(head: str = HEAD, where=WHERE, row: str = "Fox,,Kites,4,2\n") -> BlockCheck:
    return BlockCheck(read_sheet(read_grid(head + row, "cards.csv")), where)


rows = st.tuples(
    st.sampled_from(["Fox", "fox", "Ash Vine", "K\u00e4fer", "0x1F", "12"]),
    st.sampled_from(["", "a", "b"]),
    st.sampled_from(["Kites", "Masks", "", "-"]),
    st.integers(0, 2000),
    st.integers(0, 2000),
).map(lambda row: (*row[:3], max(row[3:]), min(row[3:])))
"""Wins never exceed games."""


@given(st.lists(st.lists(rows, min_size=1), min_size=1, max_size=3))
def test_plain_blocks_hold_what_a_check_of_every_row_finds(table):
    plain, check = PlainBlocks(checker()), checker()
    labels = {"card": [], "archetype": []}

    for block in table:
        data = "".join(",".join(map(str, row)) + "\n" for row in block).encode()
        found, checked = plain.read(Block(data, 9)), check.check(Block(data, 9))
        for role, codes in labels.items():
            fresh = np.empty(len(found.order), dtype=np.int64)
            fresh[found.order] = found.labels.get(role, [])
            codes.extend(fresh.tolist())

            assert [codes[key] for key in found.key] == checked.labels[role].tolist()
        assert found.numbers["games"].tolist() == checked.numbers["games"].tolist()
        assert found.numbers["wins"].tolist() == checked.numbers["wins"].tolist()
        assert found.first.tolist() == sorted(found.first.tolist())
    assert plain.check.labels["card"].names == check.labels["card"].names


@pytest.mark.parametrize(
    "row",
    [
        "Fox,,Kites,4,5",
        "Fox,,Kites,4,",
        "Fox,,Kites,n/a,2",
        "Fox,,Kites,4.0,2",
        "Fox,,Kites,-4,2",
        "Fox,,Kites,123456789,2",
        '"Fox",,Kites,4,2',
        "Fox,Kites,4,2",
        "Fox,,,Kites,4,2",
        "Fox,,Kites,4,2,",
        "",
        f"{'Fox' * 99},,Kites,4,2",
        "F\u202ex,,Kites,4,2",
    ],
)
def test_a_block_with_an_odd_row_is_left_to_the_check_of_every_row(row):
    data = f"Fox,,Kites,4,2\n{row}\n".encode()

    assert PlainBlocks(checker()).read(Block(data, 9)) is None


def test_after_an_odd_number_plain_blocks_are_read_again_after_an_odd_label_none():
    plain = PlainBlocks(checker())

    assert plain.read(Block(b"Fox,,Kites,4,5\n", 9)) is None
    assert plain.read(Block(b"Fox,,Kites,4,2\n", 10)) is not None
    assert plain.read(Block("F\u202ex,,Kites,4,2\n".encode(), 11)) is None
    assert plain.read(Block(b"Fox,,Kites,4,2\n", 12)) is None


@pytest.mark.parametrize("row", ["Total,,Kites,4,2", "Fox,,All,4,2", ",,Kites,4,2"])
def test_a_row_that_may_be_a_total_bears_on_the_whole_file(row):
    with pytest.raises(WholeFileError):
        PlainBlocks(checker()).read(Block(f"{row}\n".encode(), 9))


@pytest.mark.parametrize(
    ("head", "where", "row"),
    [
        (
            "card,games,wins,rarity\n",
            {"card": 1, "games": 2, "wins": 3, "rarity": 4},
            "a,4,2,b",
        ),
        ("card,games,wins,note\n", {"card": 1, "games": 2, "wins": 3}, "a,4,2,5"),
        (
            "card,games,wins,mean pick\n",
            {"card": 1, "games": 2, "wins": 3, "mean_pick": 4},
            "a,4,2,3",
        ),
        (
            "card,mean pick,games,wins\n",
            {"card": 1, "mean_pick": 2, "games": 3, "wins": 4},
            "a,3.5,4,2",
        ),
        (
            "card,games,wins,losses\n",
            {"card": 1, "games": 2, "wins": 3, "losses": 4},
            "a,4.000,2,2",
        ),
    ],
)
def test_a_table_that_does_not_end_in_plain_counts_is_left_to_the_other_check(head, where, row):
    plain = PlainBlocks(checker(head, where, f"{row}\n"))

    assert plain.read(Block(f"{row}\n".encode(), 9)) is None


def test_a_blank_name_that_is_all_of_a_label_is_odd():
    where = {"card": 1, "games": 2, "wins": 3}
    plain = PlainBlocks(checker("card,games,wins\n", where, "Fox,4,2\n"))

    assert plain.read(Block(b"Fox,4,2\n,9,3\n", 9)) is None


def test_new_keys_come_in_the_order_of_their_rows_even_where_one_has_to_move(monkeypatch):
    monkeypatch.setattr(byte_keys, "_scattered", lambda words: words[:, 0] % np.uint64(2) << 63)
    plain = PlainBlocks(checker())
    plain.read(Block(b"ax,,Kites,4,2\nay,,Kites,4,2\n", 9))
    found = plain.read(Block(b"az,,Kites,4,2\nbx,,Kites,4,2\n", 11))

    assert found.first.tolist() == [0, 1]
    assert found.order.tolist() == [1, 0]
    assert found.key.tolist() == [3, 2]
    assert found.labels["card"].tolist() == [2, 3]


def test_too_many_different_labels_are_not_remembered(monkeypatch):
    monkeypatch.setattr(module, "MOST_KEYS", 1)
    plain = PlainBlocks(checker())

    assert plain.read(Block(b"Fox,,Kites,4,2\nMoth,,Kites,4,2\n", 9)) is not None
    assert plain.read(Block(b"Fox,,Kites,4,2\n", 11)) is None
