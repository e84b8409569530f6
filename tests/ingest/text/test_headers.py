"""Which row is the header."""

import pytest

from winrate_tools.ingest.text.headers import _rows_above_data, find_header


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
    ("first", "header"),
    [
        (["Ash", "-", "-", "n/a"], None),
        (["Ash", "-", "9", "50%"], None),
        (["Ash", "", "", ""], None),
        (["Card", "-", "Wins", "Rate"], 0),
    ],
)
def test_a_card_without_numbers_is_no_header(first: list[str], header: int | None):
    rows = [first, ["Tin", "90", "45", "50%"], ["Elk", "80", "20", "25%"]]

    assert find_header(rows) == header


def test_the_last_of_two_full_rows_of_words_is_the_header():
    rows = [["a", "b"], ["c", "d"], ["A", "1"]]

    assert find_header(rows) == 1
    assert find_header([["Card", "Games"], *rows[1:]]) == 0


@pytest.mark.parametrize(
    ("numbers", "above"), [([0, 2, 4], 1), ([0, 1, 4, 4], 2), ([1, 0, 2, 4, 4], 2), ([3], 0)]
)
def test_data_begin_where_a_row_has_over_half_the_numbers_of_the_usual_one(numbers, above):
    assert _rows_above_data(numbers) == above
