"""Numbers of blocks, read in the one style that the head of their table shows."""

import numpy as np
import pytest

from winrate_tools.ingest.large.number_styles import (
    NumberStyles,
    WholeFileError,
    whole_numbers,
)
from winrate_tools.ingest.logs.coded import Coded
from winrate_tools.ingest.text.grid import read_grid
from winrate_tools.ingest.text.sheet import read_sheet


def styles(*rows: str, decimal: str | None = None) -> NumberStyles:
    text = "card;games;mean pick\n" + "\n".join(rows) + "\n"
    return NumberStyles(read_sheet(read_grid(text, "cards.csv"), decimal))


def coded(*texts: str) -> Coded:
    return Coded(np.arange(len(texts), dtype=np.int32), texts)


def test_every_row_has_the_reading_of_its_text():
    column = styles("Fox;4;5", "Moth;5;6").column(
        2, Coded(np.array([2, 0, 1, 2]), ("x", " 5%", "?"))
    )

    assert str(column.values.tolist()) == "[nan, nan, 5.0, nan]"
    assert column.percent.tolist() == [False, False, True, False]
    assert column.bad == {1: "a number was wanted, got 'x'"}


@pytest.mark.parametrize(
    ("head", "text", "value"),
    [
        ("Fox;1.204.300;5", "2.500", 2500),
        ("Fox;1,204,300;5", "2,500", 2500),
        ("Fox;1.5;5", "2.500", 2.5),
        ("Fox;4;5", "2.500", 2500),
        ("Fox;4;5", "2,500", 2500),
    ],
)
def test_the_style_of_the_head_holds(head, text, value):
    column = styles(head).column(2, coded("7", text))

    assert column.values.tolist() == [7, value]


def test_a_mark_that_only_another_column_settles_stays_doubtful():
    column = styles("Fox;4;5.5").column(2, coded("7", "1.000"))

    assert column.doubtful == {1: "."}
    assert column.decimal == "."


def test_a_mark_that_the_user_tells_is_not_doubtful():
    column = styles("Fox;4;5", decimal=",").column(2, coded("1.000", "4"))

    assert column.values.tolist() == [1000, 4]
    assert column.doubtful == {}


def test_a_cell_against_the_mark_that_the_user_tells_is_bad():
    column = styles("Fox;4;5", decimal=".").column(2, coded("1.5", "4,5"))

    assert list(column.bad) == [1]
    assert column.values[0] == 1.5


@pytest.mark.parametrize(
    ("head", "text", "words"),
    [
        ("Fox;4;5", "1,5", "the first rows show no decimal mark, '1,5' shows one"),
        ("Fox;4;5.5", "1,5", r"show '\.' as the decimal mark, '1,5' shows one"),
        ("Fox;1.5;5", "1,5", r"show '\.' as the decimal mark, '1,5' shows one"),
    ],
)
def test_another_decimal_mark_than_that_of_the_head_bears_on_all_rows(head, text, words):
    with pytest.raises(WholeFileError, match=words):
        styles(head).column(2, coded("7", text))


@pytest.mark.parametrize(
    ("head", "texts"),
    [
        ("Fox;4;5", ["1.204", "1,204"]),
        ("Fox;4;5.5", ["1.204", "1.5"]),
        ("Fox;4;5.5", ["1.5", "1.204"]),
    ],
)
def test_cells_that_settle_what_others_mean_bear_on_all_rows(head, texts):
    numbers = styles(head)
    numbers.column(2, coded(texts[0]))
    numbers.column(3, coded("2.204"))
    with pytest.raises(WholeFileError, match="the marks in games mean one thing or another"):
        numbers.column(2, coded(texts[1]))


def test_whole_numbers_make_a_column_in_which_nothing_is_odd():
    column = whole_numbers(np.array([4, 0]))

    assert column.values.tolist() == [4, 0]
    assert column.values.dtype == float
    assert not column.digits.any()
    assert not column.percent.any()
    assert (column.bad, column.doubtful) == ({}, {})
