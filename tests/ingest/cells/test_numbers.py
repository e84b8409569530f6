"""What a cell can mean as a number."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.ingest.cells.numbers import (
    MARKS,
    Mark,
    is_number,
    is_unknown,
    read_numbers,
    tokenise,
    vote,
)


def read(*cells: str, file_mark=None, told: bool = False):
    return read_numbers(cells, [tokenise(c) for c in cells], file_mark=file_mark, told=told)


@pytest.mark.parametrize(
    ("cell", "mark"),
    [
        ("52,6", ","),
        ("1.234,5", ","),
        ("1.234.567", ","),
        ("0,600", ","),
        ("1'234,5", ","),
        ("1 234,567", ","),
        ("1234,567", ","),
        (",5", ","),
        ("5,", ","),
        ("52.6", "."),
        ("1,234.5", "."),
        ("1,234,567", "."),
        ("0.600", "."),
        ("1\u00a0234.567", "."),
        ("12,34,567", "."),
        (".5", "."),
        ("1234.000", "."),
        ("-0.5 %", "."),
        ("1234", None),
        ("1 234", None),
        ("1'234", None),
        ("1.234", None),
        ("1,234", None),
    ],
)
def test_one_clear_cell_decides_the_mark(cell: str, mark: str | None):
    token = tokenise(cell)

    assert token is not None
    assert token.decides == mark


@pytest.mark.parametrize(
    "cell",
    [
        "",
        "x",
        "1.2.2026",
        "1,23,4",
        "12:30",
        "1e5",
        "5²",
        "1½",
        "(5)",
        "--5",
        "5-3",
        "%5%",
        "1 2",
        "01,234.5x",
        "1..2",
        ".",
        ",",
        "1'23",
        "$5",
        "٣",
        "0x10",
        "1_000",
        "5 games",
        "inf",
        "nan",
    ],
)
def test_what_is_no_number_is_never_one(cell: str):
    assert not is_number(cell)


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ("1\u202f234", 1234),
        ("\uff11\uff12\uff13", 123),
        ("52.6 %", 52.6),
        ("52.6\u00a0%", 52.6),
        ("%52.6", 52.6),
        ("\u2212" + "5.5", -5.5),
        ("+5.5", 5.5),
        ("1\u2019234.5", 1234.5),
        ("12,34,567.5", 1234567.5),
    ],
)
def test_variants_of_writing_are_one_number(cell: str, value: float):
    assert read(cell, "0.25").values[0] == value


@pytest.mark.parametrize(
    "cell",
    [
        *("", "-", "\u2013", "\u2014", "\u2212", "N/A", "na", "NaN", "None", "?", "#DIV/0!"),
        *("n/d", "NC", "n.c.", "N. C.", "s.o.", "s. o.", "s/d", "n.v.", "n. v.", "n. d."),
        "n.\u00a0c.",
    ],
)
def test_unknown_is_neither_zero_nor_bad(cell: str):
    column = read("1", cell)

    assert is_unknown(cell)
    assert np.isnan(column.values[1])
    assert column.bad == {}


@pytest.mark.parametrize("cell", ["1.204", "1,204"])
def test_a_lone_group_of_three_is_grouping_and_in_doubt(cell: str):
    column = read(cell, "90")

    assert column.values.tolist() == [1204, 90]
    assert list(column.doubtful) == [0]
    assert column.decimal is None


def test_a_clear_cell_of_the_column_or_the_file_lifts_the_doubt():
    assert read("1.204", "5,5").values.tolist() == [1204, 5.5]
    assert read("1.204", "5.5").values.tolist() == [1.204, 5.5]
    assert read("1.204", file_mark=",").values.tolist() == [1204]
    assert read("1.204", file_mark=".", told=True).values.tolist() == [1.204]
    assert read("1.204", "5,5").doubtful == {}


def test_the_columns_own_evidence_beats_the_files():
    assert read("1.204", "5,5", file_mark=".").values.tolist() == [1204, 5.5]


def test_two_styles_in_one_column_mark_the_rarer_as_bad():
    column = read("5,5", "6,5", "7.5", "1.204")

    assert column.is_mixed
    assert list(column.bad) == [2]
    assert list(column.doubtful) == [3]


def test_a_mark_that_the_user_names_is_kept_to():
    column = read("5,5", "6.5", file_mark=".", told=True)

    assert list(column.bad) == [0]


def test_printed_digits_and_percent_signs_are_kept():
    column = read("52.60 %", "7", "0.5")

    assert column.digits.tolist() == [2, 0, 1]
    assert column.percent.tolist() == [True, False, False]


@pytest.mark.parametrize(
    ("columns", "mark"),
    [
        ([["1.234"], ["52,6"]], ","),
        ([["1,234"], ["52.6"]], "."),
        ([["1.234"], ["7"]], None),
        ([["52,6"], ["52.6"]], None),
    ],
)
def test_the_file_votes_and_a_split_vote_decides_nothing(columns, mark):
    assert vote([[tokenise(cell) for cell in column] for column in columns]) == mark


@pytest.mark.parametrize(
    ("cell", "words"),
    [("1e5", "a number written in full"), ("-inf", "a finite number"), ("x", "a number was")],
)
def test_bad_cells_say_what_was_wanted(cell: str, words: str):
    assert words in read("1", cell).bad[1]


@pytest.mark.parametrize("cell", ["%" + " " * 100_000 + "x", "1 " * 50_000 + "x"])
def test_a_very_long_cell_is_answered_at_once_and_shortly(cell: str):
    column = read("1", cell)

    assert not is_number(cell)
    assert len(column.bad[1]) < 150


def test_digits_without_end_are_a_number_too_large_and_not_a_crash():
    assert np.isinf(read("9" * 9999).values[0])
    assert read("0" * 9999 + "7").values[0] == 7


def test_minus_zero_is_zero():
    assert not np.signbit(read("-0", "-0.0").values).any()


DIGITS = ("0", "7", "12", "100", "1204", "60000", "\uff15", "\u0664", "\u00b2")
MARKED = (".", ",", " ", "'", "\u00a0", "-", "\u2212", "+", "%", "n/a", "e5", "x")
PARTS = st.sampled_from((*DIGITS, *MARKED))
CELLS = st.lists(PARTS, max_size=5).map(lambda parts: "".join(parts).strip())


@given(st.lists(CELLS, max_size=12), st.sampled_from(MARKS))
def test_a_cell_of_a_column_reads_as_it_does_alone(cells: list[str], mark: Mark):
    column = read(*cells, *cells, file_mark=mark, told=True)

    alone = [read(cell, file_mark=mark, told=True) for cell in 2 * cells]
    for name in ("values", "digits", "percent"):
        expected = [getattr(each, name)[0] for each in alone]
        assert np.array_equal(getattr(column, name), expected, equal_nan=name != "percent")
    for name in ("bad", "doubtful"):
        assert getattr(column, name) == {
            row: getattr(each, name)[0] for row, each in enumerate(alone) if getattr(each, name)
        }


@given(CELLS)
def test_what_is_remembered_of_a_cell_is_what_is_made_of_it(cell: str):
    token, unknown = tokenise(cell), is_unknown(cell)

    assert tokenise(cell) == token == tokenise.__wrapped__(cell)
    assert is_unknown(cell) == unknown == is_unknown.__wrapped__(cell)


@given(st.text("0123456789", min_size=1, max_size=25), st.sampled_from(["", "-", "+"]))
def test_plain_digits_are_the_number_they_write_under_either_mark(digits: str, sign: str):
    token = tokenise(f"{sign}{digits}")

    assert token is not None
    assert token.value(".") == token.value(",") == (float(f"{sign}{digits}"), 0)


def test_a_column_without_cells_holds_numbers_all_the_same():
    column = read()

    assert [part.dtype.kind for part in (column.values, column.digits, column.percent)] == [
        "f", "f", "b",
    ]  # fmt: skip
    assert (column.bad, column.doubtful) == ({}, {})
