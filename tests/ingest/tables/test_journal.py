"""A journal on disk: read with every problem's place, written whole or not at all."""

import datetime as dt
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.errors import CountError, OutputError, TableError
from winrate_tools.ingest.tables.journal import (
    append_journal,
    holds_journal,
    read_journal,
    write_journal,
)
from winrate_tools.journal import JOURNAL_COLUMNS, JournalRow

DAY = dt.date(2026, 1, 9)
ROWS = (
    JournalRow(DAY, 'out: "Ash, Vine"', "Kites", 0.48, 0.46, 0.5, 0.95),
    JournalRow(DAY, "=3 in", "Moths", None, None, None, 0.9, DAY, 0.51, 0.4, 0.62, 34),
)
HEADER = ",".join(JOURNAL_COLUMNS)
SHORT = "date,change,archetype,forecast,low,high"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.csv"


def test_what_is_written_is_read_again(path):
    write_journal(path, ROWS)

    assert read_journal(path) == ROWS
    assert path.read_text(encoding="utf-8").startswith(HEADER + "\n")


def test_a_text_that_a_spreadsheet_would_compute_gets_an_apostrophe(path):
    write_journal(path, ROWS)

    assert ",'=3 in," not in HEADER
    assert "'=3 in" in path.read_text(encoding="utf-8")


@given(st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1))
def test_any_words_come_back(text):
    rows = (JournalRow(DAY, text, "Kites"), JournalRow(DAY, f"'={text}", "Kites"))

    assert read_back(rows) == rows


def read_back(rows):
    with TemporaryDirectory() as folder:
        write_journal(Path(folder) / "journal.csv", rows)
        return read_journal(Path(folder) / "journal.csv")


def test_a_journal_that_is_not_there_yet_is_empty(path):
    assert read_journal(path) == ()


def test_rows_are_appended_and_those_before_stay(path):
    append_journal(path, ROWS[:1])
    append_journal(path, ROWS[1:])

    assert read_journal(path) == ROWS


def test_rows_out_of_order_are_refused_and_nothing_is_lost(path):
    append_journal(path, ROWS)
    before = path.read_bytes()

    with pytest.raises(CountError, match="date must be 2026-01-09 or later"):
        append_journal(path, [JournalRow(DAY - dt.timedelta(1), "3 in", "Kites")])
    assert path.read_bytes() == before


def test_nothing_is_appended_to_what_cannot_be_read(path):
    path.write_text(f"{SHORT}\nsoon,3 in,Kites,,,\n")

    with pytest.raises(TableError):
        append_journal(path, ROWS)
    assert path.read_text().endswith("soon,3 in,Kites,,,\n")


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(OutputError):
        write_journal(tmp_path / "none" / "journal.csv", ROWS)


def test_percent_signs_blank_lines_a_mark_in_front_and_another_order_are_fine(path):
    path.write_text(
        "\ufeffarchetype,date,change,low,high,forecast\n\n"
        "Kites,2026-01-09, 3 in ,46%,50 %,0.48\n",
        encoding="utf-8",
    )

    assert read_journal(path) == (JournalRow(DAY, "3 in", "Kites", 0.48, 0.46, 0.5),)


@pytest.mark.parametrize(
    ("line", "place", "message"),
    [
        ("9.1.2026,3 in,Kites,,,", "2:1", "date must be a day such as 2026-01-31"),
        (",3 in,Kites,,,", "2:1", "date was wanted, got a blank cell"),
        ("2026-01-09,,Kites,,,", "2:2", "change was wanted, got a blank cell"),
        ("2026-01-09,3 in,,,,", "2:3", "archetype was wanted, got a blank cell"),
        ("2026-01-09,3 in,Kites,well,,", "2:4", "forecast must be a rate such as 0.48"),
        ("2026-01-09,3 in,Kites,48,,", "2:4", "forecast must be between 0 and 1, got 48"),
        ("2026-01-09,3 in,Kites", "2", "6 cells were wanted, got 3"),
    ],
)
def test_every_problem_has_its_place(line, place, message, path):
    path.write_text(f"{SHORT}\n{line}\n")

    with pytest.raises(TableError, match="1 to mend before this journal") as caught:
        read_journal(path)

    (problem,) = caught.value.problems
    assert problem.place == f"journal.csv:{place}"
    assert problem.message.startswith(message)
    assert problem.line == line
    assert problem.fix


def test_a_count_must_be_whole(path):
    path.write_text(f"{SHORT},games\n2026-01-09,3 in,Kites,,,,3.5\n")

    with pytest.raises(TableError) as caught:
        read_journal(path)
    assert caught.value.problems[0].place == "journal.csv:2:7"


def test_a_day_before_the_row_above_is_placed_at_its_line(path):
    path.write_text(f'{SHORT}\n2026-02-01,"3\nin",Kites,,,\n2026-01-09,4 in,Kites,,,\n')

    with pytest.raises(TableError) as caught:
        read_journal(path)
    assert caught.value.problems[0].place == "journal.csv:4:1"


@pytest.mark.parametrize(
    "header",
    [
        "",
        "date,change,archetype,forecast,low",
        f"{SHORT},note",
        f"{SHORT},date",
        "card,games,wins",
    ],
)
def test_what_is_no_journal_is_refused(header, path):
    path.write_text(header)

    with pytest.raises(TableError, match=r"journal\.csv is no journal") as caught:
        read_journal(path)
    assert caught.value.problems[0].place == "journal.csv:1"


def test_bytes_that_are_no_text_are_refused(path):
    path.write_bytes(b"date,ch\xffnge")

    with pytest.raises(TableError, match="UTF-8 text was wanted, byte 8 is none"):
        read_journal(path)


def test_a_folder_is_no_journal(tmp_path):
    with pytest.raises(TableError, match="cannot read"):
        read_journal(tmp_path)


@pytest.mark.parametrize(
    ("text", "is_one"),
    [
        (f"{HEADER}\n", True),
        (f"\ufeff {SHORT.replace(',', ' , ')} \nnonsense", True),
        (SHORT, True),
        ("date,change,archetype\n", False),
        ("archetype,games,wins\n", False),
        ("", False),
    ],
)
def test_a_journal_is_known_by_its_first_line(path, text: str, is_one: bool):
    path.write_text(text, "utf-8")

    assert holds_journal(path) is is_one


def test_bytes_that_are_no_text_and_what_is_no_file_hold_no_journal(path):
    path.write_bytes(b"PAR1\xff\xfe\x00" * 999)

    assert not holds_journal(path)
    assert not holds_journal(path.parent)
