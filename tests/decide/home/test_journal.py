"""Forecasts to start from, and forecasts held to account."""

import datetime as dt
from dataclasses import replace

import pytest

from tests.decide.home_tables import FIRST, POOL, nights
from winrate_tools.decide.home.home import home_update
from winrate_tools.decide.home.home_counts import Change
from winrate_tools.decide.home.journal import filled, forecast_row, journal_changes, reviews
from winrate_tools.journal import JournalRow
from winrate_tools.matches import MatchTable

ROW = JournalRow(FIRST, "3 out, 3 in", "kites", 0.5, 0.48, 0.52)


def update(rows, matches=None):
    return home_update(POOL, MatchTable(matches or nights(13, 7, 6)), journal_changes(rows))


def test_a_forecast_is_moved_to_an_even_table():
    row = forecast_row(
        FIRST, "3 in", "Kites", forecast=(0.53, 0.51, 0.55), mean=0.55, sure=0.95
    )

    assert (row.date, row.change, row.archetype, row.sure) == (FIRST, "3 in", "Kites", 0.95)
    odds = 0.53 / 0.47 * 0.45 / 0.55
    assert row.forecast == pytest.approx(odds / (1 + odds))
    assert row.low < row.forecast < row.high == pytest.approx(0.5)


def test_a_table_plays_with_the_last_change_of_each_archetype():
    later = replace(ROW, date=FIRST + dt.timedelta(90), archetype="Kites", sure=0.95)
    other = replace(ROW, archetype="Moths", forecast=None, low=None, high=None)

    found = journal_changes([ROW, other, later])

    assert found == (
        Change("Kites", later.date, 0.5, 0.48, 0.52, pytest.approx(0.9)),
        Change("Moths", FIRST, None, None, None, pytest.approx(0.8)),
    )


def test_what_was_seen_is_what_the_games_since_say_alone():
    found = update([ROW])
    (row,) = filled([ROW], found)

    one = found.changes[0].archetype
    assert (row.seen, row.games) == (one.alone, one.games)
    assert row.seen_on == found.last
    assert (row.seen_low, row.seen_high) == pytest.approx(
        (one.alone_low, one.alone_high), abs=5e-3
    )


def test_its_range_is_as_wide_as_the_forecasts():
    (narrow,), (wide,) = (
        filled([replace(ROW, sure=sure)], update([ROW])) for sure in (0.9, 0.99)
    )

    assert wide.seen_low < narrow.seen_low < narrow.seen_high < wide.seen_high


def test_rows_of_before_stay_as_they_were():
    earlier = replace(ROW, date=FIRST - dt.timedelta(90), seen=0.4, seen_low=0.3, seen_high=0.5)
    rows = [earlier, ROW]

    assert filled(rows, update(rows))[0] == earlier


def test_only_the_last_of_two_changes_on_one_day_is_filled_in():
    rows = [replace(ROW, change="2 out"), ROW]

    first, last = filled(rows, update(rows))
    assert first.seen is None
    assert last.seen is not None


def test_a_row_of_another_day_than_the_update_was_told_of_stays():
    row = replace(ROW, date=FIRST + dt.timedelta(7))

    assert filled([row], update([ROW])) == (row,)


def test_an_archetype_not_played_since_stays_unseen():
    row = replace(ROW, archetype="Drums")

    assert filled([row], update([row])) == (row,)


def test_a_row_that_the_update_was_not_told_of_stays():
    told = update([])

    assert filled([ROW], told) == (ROW,)


@pytest.mark.parametrize(
    ("seen", "outcome"),
    [(0.44, "as forecast"), (0.56, "as forecast"), (0.35, "worse"), (0.66, "better")],
)
def test_a_forecast_is_held_against_what_was_seen(seen, outcome):
    row = replace(ROW, seen=seen, seen_low=seen - 0.05, seen_high=seen + 0.05)

    (found,) = reviews([row])

    assert found.outcome == outcome
    assert found.low < row.low < row.high < found.high


def test_more_games_narrow_where_results_were_to_be_expected():
    few, many = (
        reviews([replace(ROW, seen=0.5, seen_low=0.5 - half, seen_high=0.5 + half)])[0]
        for half in (0.1, 0.01)
    )

    assert few.low < many.low < many.high < few.high


def test_where_nothing_was_forecast_or_seen_nothing_is_judged():
    unforecast = replace(ROW, forecast=None, low=None, high=None)
    bare = replace(ROW, low=None, high=None, seen=0.5)

    assert [review.outcome for review in reviews([ROW, unforecast, bare])] == [
        "nothing seen",
        "no forecast",
        "as forecast",
    ]


@pytest.mark.parametrize(
    ("low", "high", "outcome"),
    [
        (0.40, 0.64, "cannot tell apart"),
        (0.51, 0.64, "as forecast"),
        (0.40, 0.53, "as forecast"),
    ],
    ids=["both", "no change only", "forecast only"],
)
def test_what_holds_the_forecast_and_no_change_tells_neither(low, high, outcome):
    told = update([ROW])
    [kites] = [one for one in told.archetypes if one.archetype == "Kites"]
    unchanged = replace(kites, strangers=0.55)
    row = replace(ROW, seen=0.524, seen_low=low, seen_high=high)

    [found] = reviews([row], replace(told, archetypes=(unchanged,)))

    assert found.outcome == outcome


def test_a_clear_miss_stays_one_and_an_archetype_of_its_own_has_no_before():
    told = update([ROW])
    [kites] = [one for one in told.archetypes if one.archetype == "Kites"]
    missed = replace(ROW, seen=0.66, seen_low=0.6, seen_high=0.72)
    wide = replace(ROW, seen=0.524, seen_low=0.4, seen_high=0.64)
    unknown = replace(told, archetypes=(replace(kites, strangers=None),))

    assert reviews([missed], told)[0].outcome == "better"
    assert reviews([wide], unknown)[0].outcome == "as forecast"


def test_a_miss_by_the_usual_luck_is_one_whatever_wider_ranges_hold():
    told = update([ROW])
    row = replace(ROW, sure=0.99, seen=0.66, seen_low=0.44, seen_high=0.8)

    assert reviews([row], told)[0].outcome == "better"
