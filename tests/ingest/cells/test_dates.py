"""Days of the calendar."""

import datetime as dt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.ingest.sheets import view
from winrate_tools.errors import MappingError
from winrate_tools.ingest.cells.dates import order_notes, read_dates, written_date
from winrate_tools.ingest.roles.kinds import MATCHES
from winrate_tools.ingest.roles.view import Part, View


def seen(*cells: str) -> View:
    return view(
        "Player,Date", *(f"Player {n},{cell}" for n, cell in enumerate(cells)), kind=MATCHES
    )


def read(*cells: str, role: str = "date") -> Part:
    made = seen(*cells)
    return read_dates(View(made.sheet, {**made.where, role: 2}, made.card), role)


def days(part: Part) -> list[str | None]:
    values = part.numbers["date"]
    return [None if np.isnan(day) else str(dt.date.fromordinal(int(day))) for day in values]


@pytest.mark.parametrize(
    "cell",
    [
        "2026-01-31",
        "2026/01/31",
        "2026.1.31",
        "20260131",
        "2026-01-31T19:30",
        "2026-01-31 19:30:05",
        "2026-01-31T19:30:05.125Z",
        "2026-01-31T19:30+01:00",
        "31.1.2026",
        "31. 1. 2026",
        "31/01/2026",
        "31-1-2026 19:30",
        "1/31/2026",
    ],
)
def test_a_day_is_read_however_it_is_written(cell: str):
    assert days(read(cell)) == ["2026-01-31"]


@given(st.dates(min_value=dt.date(1000, 1, 1)))
def test_a_day_written_with_the_year_first_is_read_back(day: dt.date):
    assert days(read(day.isoformat())) == [str(day)]


@given(st.lists(st.dates(min_value=dt.date(1000, 1, 1)), min_size=1))
def test_a_column_whose_order_is_told_is_read_back(dates: list[dt.date]):
    wanted = [str(day) for day in dates]

    assert days(
        read(*(f"{d.day}.{d.month}.{d.year}" for d in dates), role="day_first_date")
    ) == (wanted)
    assert (
        days(read(*(f"{d.month}/{d.day}/{d.year}" for d in dates), role="month_first_date"))
        == wanted
    )


@pytest.mark.parametrize(
    ("proof", "wanted", "note"),
    [
        ("13/4/2026", ["2026-04-03", "2026-04-13"], "day first, as 13/4/2026 on line 3"),
        ("4/13/2026", ["2026-03-04", "2026-04-13"], "month first, as 4/13/2026 on line 3"),
    ],
)
def test_one_cell_proves_the_order_of_its_column(proof: str, wanted: list[str], note: str):
    part = read("3/4/2026", proof)

    assert days(part) == wanted
    assert part.notes[0].startswith(f"dates were read {note}")
    assert part.findings == ()


def test_dates_that_need_no_order_are_read_without_a_word():
    part = read("3.3.2026", "2026-04-13", "", "-")

    assert days(part) == ["2026-03-03", "2026-04-13", None, None]
    assert part.notes == part.findings == ()


def test_an_order_that_nothing_proves_is_asked_for_with_lines_that_work():
    with pytest.raises(MappingError) as caught:
        read("2026-01-31", "3/3/2026", "3/4/2026")

    message = str(caught.value)
    assert message.startswith(
        "cards.csv: date 3/4/2026 on line 4 could have its day or its month first"
    )
    assert "\n    1  day first\n    2  month first\n" in message
    assert message.endswith('\n--map day_first_date="Date"')
    assert caught.value.candidates == ({"day_first_date": 2}, {"month_first_date": 2})


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("31.1.26", "a date such as 2026-01-31 was wanted, got '31.1.26'"),
        ("Jan 31", "a date such as 2026-01-31 was wanted, got 'Jan 31'"),
        ("46053", "a date such as 2026-01-31 was wanted, got '46053'"),
        ("2026-1", "a date such as 2026-01-31 was wanted, got '2026-1'"),
        ("202611", "a date such as 2026-01-31 was wanted, got '202611'"),
        ("2026-02-29", "a day of the calendar was wanted, got 2026-02-29"),
        ("2026-13-01", "a day of the calendar was wanted, got 2026-13-01"),
        ("31.4.2026", "a day of the calendar was wanted, got 31.4.2026"),
        ("32.4.2026", "a day of the calendar was wanted, got 32.4.2026"),
        ("4/13/2026", "dates must be written day first as in the rest, got 4/13/2026"),
        ("31.1/2026", "a date such as 2026-01-31 was wanted, got '31.1/2026'"),
    ],
)
def test_what_is_no_day_is_reported_in_its_place(cell: str, message: str):
    part = read("13.1.2026", "14.1.2026", cell)
    [found] = part.findings

    assert found.problem.place == "cards.csv:4:2"
    assert found.problem.message == f"{message} for 'Player 2'"
    assert found.problem.fix == "write dates as year-month-day, such as 2026-01-31"
    assert days(part) == ["2026-01-13", "2026-01-14", None]


def test_two_orders_in_equal_number_are_read_as_the_first_says():
    part = read("4/13/2026", "13/4/2026")

    assert days(part) == ["2026-04-13", None]
    assert "must be written month first" in part.findings[0].problem.message


def test_a_told_order_is_followed_against_a_cell_that_cannot_have_it():
    part = read("3/4/2026", "13/4/2026", role="month_first_date")

    assert days(part) == ["2026-03-04", None]
    assert part.notes == ()


def test_a_cell_that_proves_nothing_says_so():
    assert written_date("3/4/2026").proves is None
    assert written_date("13/13/2026").proves is None
    assert written_date("2026-13-31").proves is None
    assert written_date("13/4/2026").proves == "day first"
    assert written_date("12/13/2026").proves == "month first"
    assert written_date("13/12/2026").proves == "day first"


@pytest.mark.parametrize(
    ("steps", "note"),
    [
        ([1, 1, 2, np.nan, 3], None),
        ([3, np.nan, 2, 2, 1], None),
        ([1, 3, np.nan, 2], "0001-01-02 on line 5 stands below 0001-01-03"),
        ([np.nan], None),
        ([1, 1, 3, 2, 4, 3], "0001-01-02 on line 5 stands below 0001-01-03"),
        ([2, 1, 2], "0001-01-01 on line 3 stands below 0001-01-02"),
    ],
)
def test_dates_out_of_order_are_said(steps: list[float], note: str | None):
    made = seen(*("2026-01-31" for _ in steps))

    assert list(order_notes(made, np.array(steps, dtype=float))) == (
        [f"dates are out of order: {note}"] if note else []
    )
