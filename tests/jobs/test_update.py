"""A table's own games, joined in a notebook."""

import datetime as dt
from dataclasses import replace

import pytest

from winrate_tools.decide.home.home import home_update
from winrate_tools.decide.home.home_counts import Change
from winrate_tools.decide.home.journal import filled, reviews
from winrate_tools.errors import CountError
from winrate_tools.jobs.update import update
from winrate_tools.journal import JournalRow
from winrate_tools.matches import Match, MatchTable
from winrate_tools.report.home.home_sections import home_report
from winrate_tools.tables import Source

DAY = dt.date(2026, 1, 9)
PLAYED = MatchTable(
    [
        Match("Ada", "Bo", 20, 10, archetype="Kites", opponent_archetype="Moths", date=DAY),
        Match("Bo", "Ada", 12, 8, archetype="Kites", opponent_archetype="Moths", date=DAY),
    ],
    Source("home.csv"),
)


@pytest.fixture(scope="module")
def joined(ranking):
    return update(ranking, PLAYED, {"Moths": DAY})


def test_it_finds_what_both_say(ranking, joined):
    assert joined.found == home_update(ranking.verdict, PLAYED, [Change("Moths", DAY)])
    assert [source.name for source in joined.sources] == ["cards.csv", "home.csv"]
    assert joined.document == home_report(joined.found, "home.csv")


def test_a_change_may_hold_what_was_forecast(ranking):
    change = Change("Moths", DAY, forecast=0.5, low=0.45, high=0.55)

    [outlook] = update(ranking, PLAYED, [change]).found.changes
    assert outlook.forecast is not None


def test_a_moment_stands_for_its_day(ranking, joined):
    moment = dt.datetime(2026, 1, 9, 20, 30)

    assert update(ranking, PLAYED, {"Moths": moment}).found == joined.found


def test_without_a_change_nothing_is_asked_of_one(ranking):
    assert update(ranking, PLAYED).found.changes == ()


def test_rows_are_players_archetypes_and_cards(joined):
    rows = [(row["kind"], row["name"]) for row in joined.rows]

    assert rows[:4] == [
        ("player", "Ada"),
        ("player", "Bo"),
        ("archetype", "Moths"),
        ("archetype", "Kites"),
    ]
    assert {tuple(row) for row in joined.rows} == {joined.columns}
    assert joined.rows[3]["before_verdict"] == "overpowered"
    assert str(joined.to_frame()["nights_needed"].dtype) == "Int64"


def test_a_journal_has_its_section(joined):
    rows = filled((JournalRow(DAY, "rebuilt", "Moths", 0.5, 0.45, 0.55, 0.9),), joined.found)
    told = replace(joined, reviews=reviews(rows))

    assert len(told.document.sections) == len(joined.document.sections) + 1


def test_an_archetype_that_nobody_knows_is_refused(ranking):
    played = MatchTable([Match("Ada", "Bo", 2, 1, archetype="Kits")])

    with pytest.raises(CountError, match="Kits"):
        update(ranking, played)
