"""A table's journal: rows that make sense, in the order of their days."""

import datetime as dt

import pytest

from winrate_tools.errors import CountError
from winrate_tools.journal import JOURNAL_COLUMNS, JournalRow, demand_in_order

DAY = dt.date(2026, 1, 9)


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"change": " "}, "change must be some text, got a blank"),
        ({"archetype": ""}, "archetype must be some text, got a blank"),
        ({"forecast": 48.0}, "forecast must be between 0 and 1, got 48.0"),
        ({"seen": 0.0}, "seen must be between 0 and 1, got 0.0"),
        ({"sure": 0.5}, "sure must be above 0.5 and below 1, got 0.5"),
        ({"sure": 1.0}, "sure must be above 0.5 and below 1, got 1.0"),
        ({"games": 2.5}, "games must be a whole number or None, got 2.5"),
        ({"change": 3}, "change must be text, got 3"),
        ({"forecast": "0.5"}, "forecast must be a number or None, without quotes, got '0.5'"),
        ({"seen_on": "today"}, "seen_on must be a day such as .* or None, got 'today'"),
        ({"games": -1}, "games must be a count from 0, got -1"),
        ({"low": 0.4, "high": 0.5}, "forecast must be given with low and high, .* 2 of the"),
        ({"low": 0.4}, "forecast must be given with low and high, .* got 1 of the three"),
        ({"seen": 0.5, "seen_low": 0.4}, "seen must be given with seen_low and seen_high"),
        ({"forecast": 0.6, "low": 0.4, "high": 0.5}, "forecast must be from low to high"),
    ],
)
def test_a_row_that_makes_no_sense_is_refused(wrong, message):
    given = {"change": "3 in", "archetype": "Kites", **wrong}

    with pytest.raises(CountError, match=message):
        JournalRow(DAY, **given)


@pytest.mark.parametrize(
    "right", [{}, {"forecast": 0.5}, {"forecast": 0.5, "low": 0.5, "high": 0.5}, {"games": 0}]
)
def test_a_row_may_leave_open_what_is_not_known(right):
    assert JournalRow(DAY, "3 in", "Kites", **right).date == DAY


def test_rows_may_share_a_day_but_not_go_back():
    rows = [JournalRow(DAY + dt.timedelta(days), "3 in", "Kites") for days in (0, 0, 7)]

    demand_in_order(rows)
    with pytest.raises(
        CountError, match=r"date must be 2026-01-16 or later, .* got 2026-01-09"
    ):
        demand_in_order([*rows, rows[0]])


def test_the_columns_are_those_of_a_row_in_their_order():
    assert JOURNAL_COLUMNS[:6] == ("date", "change", "archetype", "forecast", "low", "high")
    assert JOURNAL_COLUMNS[-1] == "games"
