"""Text to rows of cells that know their place."""

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.grid import read_grid
from winrate_tools.ingest.headers import find_header
from winrate_tools.ingest.records import find_delimiter
from winrate_tools.ingest.spans import cell_spans, physical_line


@pytest.mark.parametrize(
    ("text", "delimiter"),
    [
        ("Card,Games\nAsh,1\n", ","),
        ("Karte;Quote\nAsh;1,5\nOwl;2,5\nElk;3,5\n", ";"),
        ("Karte\tSpiele\tQuote\nAsh\t1.204\t1,5\nOwl\t3\t2,5\nElk\t3\n", "\t"),
        ("Karte, neu;Spiele;Quote\nAsh;1;1,5\nOwl;2;2,5\nElk;3,5\nFox;7;4,5\n", ";"),
        ("Card|Games\na,b|1\nc,d|2\n", "|"),
        ("Card;Games;Rate\nVine, Ash;1,204;5\nMoth, Tin;2,204;6\n", ";"),
    ],
)
def test_the_delimiter_is_the_one_that_cuts_evenly_into_numbers(text: str, delimiter: str):
    assert find_delimiter(text.splitlines(keepends=True), "cards.csv") == (delimiter, 0)


@pytest.mark.parametrize("line", ["sep=;\n", '"sep=;"\n', "SEP=;\r\n"])
def test_a_sep_line_decides_the_delimiter(line: str):
    assert find_delimiter([line, "a,b;c\n"], "cards.csv") == (";", 1)


def test_a_sep_line_may_name_a_tab():
    assert find_delimiter(["sep=\t\n", "a\tb\n"], "cards.csv") == ("\t", 1)


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


@pytest.mark.parametrize(
    ("rows", "header"),
    [
        ([["Card", "Games"], ["A", "1"]], 0),
        ([["A", "1"], ["B", "2"]], None),
        ([["Fair", "2026"], ["Card", "Games"], ["A", "-"], ["B", "2"], ["C", "3"]], None),
        ([["Card", "Games", "2026"], ["A", "1", "3"], ["B", "2", "4"]], 0),
        ([["Made", "in spring", ""], ["Card", "Games", "Wins"], ["A", "1", "3"]], 1),
        ([["Card", "Games", "Wins"], ["A", "-", "-"], ["B", "1", "0"]], 0),
        ([["Card", "Games"], ["A", ""], ["B", ""]], 0),
    ],
)
def test_the_header_is_the_fullest_row_of_words_above_the_numbers(rows, header):
    assert find_header(rows) == header


@pytest.mark.parametrize(
    ("record", "cells"),
    [
        ("a,b", ["a", "b"]),
        (' "a,b" , c ', ['"a,b"', "c"]),
        ('"a ""b"", c",d', ['"a ""b"", c"', "d"]),
        ('5" nail,"x"', ['5" nail', '"x"']),
        ('5"" nail,x', ['5"" nail', "x"]),
        (",,", ["", "", ""]),
        ('"a\nb",c', ['"a\nb"', "c"]),
    ],
)
def test_spans_cut_a_record_as_the_reader_does(record: str, cells: list[str]):
    assert [record[start:end] for start, end in cell_spans(record, ",")] == cells


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n"])
def test_a_span_moves_to_the_line_on_which_it_begins(end: str):
    record = f'"a{end}bb{end}c",dd'
    start = record.index("dd")

    assert physical_line(record, start, start + 2) == (2, 'c",dd', 3, 5)
    assert physical_line(record, 0, start - 1) == (0, '"a', 0, 2)
