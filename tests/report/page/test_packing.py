"""Whole numbers as short text."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.page.packed_numbers import DIGITS, unpacked
from winrate_tools.report.page.packing import packed, packed_rows

NUMBERS = st.lists(st.integers(-(10**12), 10**12) | st.integers(-2100, 2100))


@given(NUMBERS)
def test_numbers_come_back_as_they_were(numbers):
    assert unpacked(packed(numbers)) == numbers


@given(NUMBERS)
def test_text_stands_in_json_and_html_as_it_is(numbers):
    text = packed(numbers)

    assert json.dumps(text) == f'"{text}"'
    assert set(text) <= set(DIGITS)
    assert len(DIGITS) == 90
    assert not {"<", "\\", '"', " "} & set(DIGITS)


@pytest.mark.parametrize(
    ("number", "digits"),
    [
        (0, 1),
        (22, 1),
        (-22, 1),
        (23, 2),
        (-23, 2),
        (1012, 2),
        (1013, 3),
        (45_562, 3),
        (45_563, 4),
    ],
)
def test_small_numbers_are_short(number: int, digits: int):
    assert len(packed([number])) == digits


@given(st.lists(NUMBERS, min_size=1))
def test_rows_come_back_each_by_itself(rows):
    assert [unpacked(row) for row in packed_rows(rows).split(" ")] == rows
