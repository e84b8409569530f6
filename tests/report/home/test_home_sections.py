"""A table's own games in words."""

import datetime as dt
from dataclasses import replace

import pytest

from tests.report.home_updates import UNDATED, UPDATE
from winrate_tools.decide.home.journal import Review
from winrate_tools.journal import JournalRow
from winrate_tools.report.forms import markdown, text
from winrate_tools.report.home.home_sections import (
    cautions,
    home_report,
    how_to_read,
    players_section,
    summary,
)

BANNED = ("significant", "p-value", "confidence interval", "null", "nan")


def test_the_summary_counts_and_names_the_scale():
    assert summary(UPDATE) == (
        "70 matches, 170 games on 10 nights (2026-01-09 to 2026-03-13) between 2 players. "
        "Rates of players and archetypes are for an even table: both players as good, and 50% "
        "the mean of all games."
    )
    assert summary(replace(UNDATED, matches=1)).startswith("1 match, 170 games between 2")


def test_players_stand_with_their_record_and_the_first_seat():
    table, seat = players_section(UPDATE).blocks

    assert table.rows[0] == ("Ada", "60.5 of 100", "55.0%", "50.0 to 60.0%")
    assert "the first seat wins 54.8% (8 in 10 range: 49.9 to 59.6%)" in seat.text
    assert len(players_section(replace(UPDATE, seat=None)).blocks) == 1


@pytest.mark.parametrize(
    ("warning", "said"),
    [
        ("few games", "170 games can hardly move anything yet."),
        ("no archetypes", "name no archetypes"),
        ("no dates", "have no dates"),
        ("no seats", "Nobody noted who had the first seat"),
        ("unknown cards", "12 cards of the matches"),
        ("never met", "never met the others"),
    ],
)
def test_every_caution_has_its_sentence(warning, said):
    unknown = tuple(f"gong {n}" for n in range(12))

    (sentence,) = cautions(replace(UPDATE, warnings=(warning,), unknown_cards=unknown))

    assert said in sentence
    if warning == "unknown cards":
        assert sentence.endswith("gong 8, gong 9, ....")


def test_a_report_has_only_the_parts_that_say_something():
    whole = home_report(UPDATE, "home.csv", [Review(row(), "no forecast")])
    bare = home_report(replace(UPDATE, changes=(), cards=(), archetypes=()), "home.csv")

    assert [section.title for section in whole.sections] == [
        "",
        "Has the change worked?",
        "Forecast and seen",
        "Players",
        "Archetypes",
        "Cards",
        "How to read this",
    ]
    assert [section.title for section in bare.sections] == ["", "Players", "How to read this"]
    assert whole.title == "What home.csv says"


def test_the_scale_of_strangers_numbers_is_explained():
    said = {entry.lead: entry.text for entry in how_to_read(UPDATE).blocks[0].items}

    assert "from the mean of their games to an even table's 50%" in said["Strangers"]


def explained(update) -> dict[str, str]:
    return {entry.lead: entry.text for entry in how_to_read(update).blocks[0].items}


def test_only_what_is_shown_is_explained():
    bare = replace(UPDATE, archetypes=(), changes=(), cards=())

    assert list(explained(UPDATE)) == [
        "Strangers", "Expected", "Home's say", "Needs", "Players", "Draws and runs",
    ]  # fmt: skip
    assert list(explained(bare)) == ["Players", "Draws and runs"]
    assert "archetypes" in explained(UPDATE)["Players"]
    assert "archetypes" not in explained(bare)["Players"]


def test_strangers_who_never_met_the_archetypes_are_only_asked_about_cards():
    new = tuple(replace(one, strangers=None) for one in UPDATE.archetypes)
    update = replace(UPDATE, archetypes=new)

    assert "won if strangers' numbers held here" in explained(UPDATE)["Expected"]
    assert "won if all archetypes were as strong" in explained(update)["Expected"]
    assert "say of the card" in explained(update)["Strangers"]
    assert "Strangers" not in explained(replace(update, cards=()))


def row():
    return JournalRow(dt.date(2026, 1, 9), "3 in", "Kites")


@pytest.mark.parametrize("render", [text.render, markdown.render])
def test_no_banned_word_is_said(render):
    said = render(home_report(UPDATE, "home.csv", [Review(row(), "no forecast")])).lower()

    assert [word for word in BANNED if word in said] == []
