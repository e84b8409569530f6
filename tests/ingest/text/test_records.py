"""Physical lines to records."""

import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.text.records import Row, find_delimiter, split_rows


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


@pytest.mark.parametrize(
    ("mark", "is_one"), [("_", True), ("~", True), ("1", False), ("x", False)]
)
def test_a_letter_or_digit_parts_no_cells(mark: str, is_one: bool):
    lines = [f"sep={mark}\n", "Card,Games\n", "Ash,3\n"]

    assert find_delimiter(lines, "cards.csv") == ((mark, 1) if is_one else (",", 0))


@pytest.mark.parametrize("lines", [[], ["Card\n", "Ash\n"], [";;\n", ",,\n"]])
def test_text_that_no_mark_cuts_is_refused(lines: list[str]):
    with pytest.raises(TableError, match="no two columns"):
        find_delimiter(lines, "cards.csv")


def test_records_know_the_lines_that_they_cover():
    lines = ["a,b\n", '"x\n', 'y", "p""q"\n', "\n", "c,d"]

    assert split_rows(lines, ",", skip=1) == (
        [Row(["x\ny", 'p"q'], 2, 3), Row([], 4, 4), Row(["c", "d"], 5, 5)],
        [],
    )


def test_reading_starts_afresh_on_the_line_after_a_broken_quote():
    rows, broken = split_rows(["a,1\n", '"b,2\n', "c,3\n", '"d"x,4\n', "e,5\n"], ",")

    assert [row.cells[0] for row in rows] == ["a", "c", "e"]
    assert [row.first for row in rows] == [1, 3, 5]
    assert broken == [2, 4]
