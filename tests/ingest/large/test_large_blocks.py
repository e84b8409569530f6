"""Blocks of a large table, checked."""

import pytest

from winrate_tools.ingest.large.large_blocks import BlockCheck
from winrate_tools.ingest.large.number_styles import WholeFileError
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid
from winrate_tools.ingest.text.sheet import read_sheet

HEAD = "card,archetype,games,wins\n"
WHERE = {"card": 1, "archetype": 2, "games": 3, "wins": 4}


def checker(rows: str = "Fox,Kites,4,2\n") -> BlockCheck:
    return BlockCheck(read_sheet(read_grid(HEAD + rows, "cards.csv")), WHERE)


def test_a_plain_block_is_checked_without_a_close_look():
    checked = checker().check(Block(b"Fox,Kites,4,2\nMoth,,9,3\n", 12, 2))

    assert checked.view is None
    assert checked.lines.tolist() == [12, 13]
    assert checked.numbers["games"].tolist() == [4, 9]
    assert checked.labels["archetype"].tolist() == [0, -1]


@pytest.mark.parametrize(
    "row", ["Moth,Kites,4,5", "Moth,Kites,x,5", "Moth,Kites,9", "M\u202e,Kites,9,5"]
)
def test_what_is_odd_is_looked_at_closely_and_placed(row):
    checked = checker().check(Block(f"Fox,Kites,4,2\n{row}\n".encode(), 12))

    assert checked.view is not None
    assert [found.line for found in checked.findings] == [13]


@pytest.mark.parametrize("text", ["Fox,Kites,4,2\n\nMoth,Kites,9,3\n", '"Fox\nA",Kites,4,2\n'])
def test_lines_that_are_no_rows_are_counted_too(text):
    checked = checker().check(Block(text.encode(), 12))

    assert checked.lines.tolist() == ([12, 14] if "Moth" in text else [12])
    assert checked.findings == ()


@pytest.mark.parametrize(
    "row", ["Total,Kites,4,2", "Fox,All,4,2", ",Kites,4,2", "* total *,,4,2"]
)
def test_a_row_that_may_be_a_total_bears_on_the_whole_file(row):
    with pytest.raises(WholeFileError):
        checker().check(Block(f"{row}\n".encode(), 12))


def test_a_number_style_that_the_head_does_not_show_bears_on_the_whole_file():
    with pytest.raises(WholeFileError, match=r"no decimal mark, '1\.5' shows one"):
        checker().check(Block(b"Moth,Kites,9,3\nFox,Kites,1.5,2\n", 12))


def test_the_style_of_the_head_holds():
    checked = checker("Fox,Kites,1.500,2\nMoth,Kites,1.234.567,2\n").check(
        Block(b"Fox,Kites,2.500,2\n", 12)
    )

    assert checked.numbers["games"].tolist() == [2500]


def test_text_in_numbers_is_read_once_and_spread():
    checked = checker("Fox,Kites,n/a,\n").check(
        Block(b"Fox,Kites,n/a,\nMoth,,7,3\nFox,,n/a,\n", 12)
    )

    assert str(checked.numbers["games"].tolist()) == "[nan, 7.0, nan]"
    assert checked.findings == ()


def test_a_broken_name_is_unknown():
    checked = checker().check(Block("Fox,K\u202e,4,2\nM\u202e,Kites,9,5\n".encode(), 12))

    assert checked.labels["card"].tolist() == [0, -1]
    assert checked.labels["archetype"].tolist() == [0, 1]
