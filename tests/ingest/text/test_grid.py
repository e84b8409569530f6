"""Text to rows of cells that know their place."""

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.text.grid import read_grid


def test_lines_stay_physical_after_titles_blank_lines_and_quoted_ends():
    grid = read_grid('Fair\n\nCard,Games\n"A\r\nB",1\n\nC,2\n', "cards.csv")

    assert grid.header_line == 3
    assert [(row.first, row.last) for row in grid.rows] == [(4, 5), (7, 7)]


def test_unusual_separators_inside_a_line_do_not_end_it():
    grid = read_grid("Card,Games\nA\u2028B\x0bC\x85D,1\nE,2\n", "cards.csv")

    assert [row.first for row in grid.rows] == [2, 3]


def test_rows_that_do_not_fit_are_findings_and_the_others_stay():
    grid = read_grid("Card,Games,Wins\nA,1\nB,2,1\nC,3,1,9\nD,4,2,,\n", "cards.csv")

    assert [row.cells for row in grid.rows] == [["B", "2", "1"], ["D", "4", "2"]]
    assert [found.problem.place for found in grid.findings] == [
        "cards.csv:2:2",
        "cards.csv:4:4",
    ]


def test_every_broken_quote_is_found_and_none_can_be_skipped():
    grid = read_grid('Card,Games\n"A"x,1\nB,2\n"C,3\nD,4\n', "cards.csv")

    assert [row.cells[0] for row in grid.rows] == ["B", "D"]
    assert [(found.line, found.fatal) for found in grid.findings] == [(2, True), (4, True)]


def test_a_file_full_of_broken_quotes_ends_soon():
    grid = read_grid("Card,Games\n" + '"A"x,1\n' * 500, "cards.csv")

    assert len(grid.findings) == 20


def test_repeated_and_blank_headers_are_called_by_number():
    grid = read_grid("Games,,Games,Card\n1,x,2,A\n", "cards.csv")

    assert [grid.label(n) for n in (1, 2, 3, 4)] == ["column 1", "column 2", "column 3", "Card"]


def test_text_without_a_row_is_refused():
    with pytest.raises(TableError, match="a header on line 1 and no rows below it"):
        read_grid("Card,Games\n,\n", "cards.csv")


@pytest.mark.parametrize(("cell", "place"), [("{}", "2:1"), ('"{}"', "2:1"), ('x,"{}"', "2:2")])
def test_a_cell_longer_than_any_reader_holds_is_named(cell: str, place: str):
    text = f"Card,Games\n{cell.format('z' * 140_000)},3\nB,2\n"
    (found,) = read_grid(text, "cards.csv").findings

    assert found.problem.place == f"cards.csv:{place}"
    assert found.problem.message.startswith("a cell may hold 131072 characters, this one has")
    assert found.fatal


def test_many_blank_headers_are_noted_shortly():
    grid = read_grid("Card" + "," * 99 + "Games\n" + "x," * 99 + "3\n", "cards.csv")

    assert grid.notes[-1].startswith("blank header over column 2, 3, 4, 5, 6 and ")


@pytest.mark.parametrize(
    "title", ["Spring fair", "Spring fair,,", "Spring fair\n,\nby the table"]
)
def test_lone_text_above_a_table_without_header_is_left_out_with_a_note(title: str):
    grid = read_grid(f"{title}\nAsh,12,7\nTin,9,4\n", "cards.csv")

    assert (grid.header_line, [row.cells[0] for row in grid.rows]) == (None, ["Ash", "Tin"])
    assert grid.notes[-1].startswith("lone text above the table (line 1")
    assert grid.findings == ()


def test_a_first_card_of_unknown_numbers_is_a_row_and_no_header():
    grid = read_grid("Ash,-,-\nTin,9,4\nElk,8,4\n", "cards.csv")

    assert (grid.header_line, len(grid.rows)) == (None, 3)
