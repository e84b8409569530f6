"""Blocks read cell by cell."""

from dataclasses import replace

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs.careful_rows import careful_rows, placed
from winrate_tools.ingest.logs.coded import NO_COUNT, Wanted
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import read_grid

HEAD = read_grid("card,games,copies\nFox,3,1\n", "cards.csv")


def test_rows_that_do_not_fit_are_found_and_the_others_coded():
    rows = careful_rows(
        Block(b"Fox,1,2\nMoth\n,,\nVine,4,\n", 7), HEAD, Wanted((1,), (2,), copies=(3,))
    )

    assert [rows.columns[1].texts[code] for code in rows.columns[1].codes] == ["Fox", "Vine"]
    assert rows.columns[2].texts == ("1", "4")
    assert rows.copies.tolist() == [[2], [0]]
    (found,) = rows.grid.findings
    assert (found.line, found.problem.line, rows.line) == (2, "Moth", 7)


def test_what_is_no_count_is_marked():
    rows = careful_rows(
        Block(b"a,1,x\nb,1,-1\nc,1,100\nd,1,12345\n", 2), HEAD, Wanted((), copies=(3,))
    )

    assert rows.copies.tolist() == [[NO_COUNT]] * 4


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"a,1,1\r\nb,\0,1\n", "line 8 holds a zero byte"),
        (b"a,1,1\nb\xff,1,1\n", "up to line 8"),
    ],
)
def test_what_is_no_text_is_refused_by_its_line(data, words):
    with pytest.raises(TableError, match=words):
        careful_rows(Block(data, 7), HEAD, Wanted((1,)))


def test_a_row_of_a_file_without_lines_is_placed_by_its_number():
    grid = replace(HEAD, unit="row")
    found = grid.finding(0, 2, "wrong", "mend")

    assert placed(found, grid, 11).problem.place == "cards.csv:row 12:2"
