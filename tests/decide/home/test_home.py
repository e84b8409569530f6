"""A table's own games folded into strangers' word, all at once."""

import datetime as dt
from dataclasses import replace

import pytest

from tests.decide.home_tables import FIRST, POOL, WEEK, WITHOUT_ARCHETYPES, match, nights
from winrate_tools.decide.home.home import home_update
from winrate_tools.decide.home.home_counts import Change
from winrate_tools.matches import Match, MatchTable


def update(matches, changes=(), pool=POOL):
    return home_update(pool, MatchTable(matches), changes)


def test_it_counts_what_was_played():
    found = update([*nights(2, 1, 3), Match("Ada", "Bo", 0, 0)])

    assert (found.matches, found.games, found.nights) == (6, 18, 3)
    assert (found.first, found.last) == (FIRST, FIRST + 2 * WEEK)
    assert found.longest == 200 * 6
    assert (found.low_line, found.high_line) == pytest.approx((0.48, 0.52))
    assert (found.line, found.sure, found.balanced) == (POOL.line, 0.9, 0.8)
    assert found.design_effect == POOL.design_effect


def test_the_first_seat_is_told_where_it_is_known():
    matches = [
        match("Ada", "Bo", 80, 40, "Kites", "Moths", had_first_seat=True),
        match("Ada", "Bo", 40, 80, "Kites", "Moths", night=1, had_first_seat=False),
    ]

    found = update(matches)

    assert 0.5 < found.seat_low < found.seat < found.seat_high
    assert update(nights(2, 1, 3)).seat is None


def test_dates_are_unknown_as_soon_as_one_is_missing():
    matches = nights(2, 1, 2)
    found = update([*matches[:-1], replace(matches[-1], date=None)])

    assert found.nights is None
    assert found.first == dt.date(2026, 1, 9)


@pytest.mark.parametrize(
    ("matches", "warning"),
    [
        (nights(2, 1, 3), "few games"),
        ([match("Ada", "Bo", 20, 20)], "no archetypes"),
        ([Match("Ada", "Bo", 20, 20, archetype="Kites")], "no dates"),
        (nights(9, 9, 3), "no seats"),
        ([match("Ada", "Bo", 20, 20, "Kites", cards=("Gong",))], "unknown cards"),
        ([match("Ada", "Bo", 20, 20, "Kites"), match("Cy", "Di", 1, 1, "Kites")], "never met"),
    ],
)
def test_what_limits_it_is_said(matches, warning):
    assert warning in update(matches).warnings


def test_nothing_is_said_that_does_not_hold():
    matches = [
        match("Ada", "Bo", 9, 9, "Kites", had_first_seat=True),
        match("Bo", "Cy", 9, 9, "Kites", cards=(POOL.cards[0].card,)),
    ]

    assert update(matches).warnings == ()


def test_without_strangers_and_without_names_there_are_no_archetypes():
    found = update([match("Ada", "Bo", 30, 10)], pool=WITHOUT_ARCHETYPES)

    assert found.archetypes == found.changes == ()
    assert found.players[0].player == "Ada"


def test_changes_come_with_their_archetypes():
    found = update(nights(2, 1, 3), [Change("Moths"), Change("Kites")])

    assert [change.archetype.archetype for change in found.changes] == ["Moths", "Kites"]
    assert [one.archetype for one in found.archetypes if one.is_changed]
