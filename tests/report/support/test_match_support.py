"""What matches can and cannot support."""

import datetime as dt

from winrate_tools.matches import Match, MatchTable
from winrate_tools.report.support.match_support import match_support

FULL = Match(
    "Ada",
    "Bo",
    2,
    1,
    1,
    archetype="Kites",
    opponent_archetype="Moths",
    date=dt.date(2026, 1, 31),
    cards=("Ash Vine",),
    had_first_seat=True,
)
BARE = Match("Bo", "Cy", 60, 40)


def said(*matches: Match) -> dict[str, str]:
    return {entry.lead: entry.text for entry in match_support(MatchTable(matches))}


def test_full_rows_are_told_what_they_can_do():
    assert said(FULL) == {
        "Games": "4 games in 1 match of 2 players; the middle player has 4, where luck alone "
        "moves a win rate by 25 points.",
        "Days": "1 day, from 2026-01-31 to 2026-01-31.",
        "Archetypes": "of both decks in all matches: archetypes can be told from players.",
        "Cards": "noted in all matches: these say a little of single cards.",
        "First seat": "noted in all matches.",
    }


def test_bare_rows_are_told_what_they_cannot():
    entries = said(BARE)

    assert entries["Games"] == (
        "100 games in 1 match of 2 players; the middle player has 100, where luck alone moves "
        "a win rate by 5 points."
    )
    assert entries["Days"].startswith("unknown: before and after")
    assert entries["Archetypes"].startswith("unknown: players can be compared")
    assert entries["Cards"].startswith("not noted")
    assert entries["First seat"].startswith("not noted")


def test_a_part_is_said_to_be_a_part():
    entries = said(FULL, BARE, Match("Ada", "Cy", 1, 0, archetype="Kites"))

    assert entries["Days"].endswith("; 2 without a date.")
    assert entries["Archetypes"].startswith("of both decks in 1 of 3 matches:")
    assert entries["Cards"].startswith("noted in 1 of 3 matches:")
    assert entries["First seat"] == "noted in 1 of 3 matches."
    assert "in 3 matches of 3 players; the middle player has 101" in entries["Games"]


def test_matches_without_games_support_nothing():
    assert said(Match("Ada", "Bo", 0, 0))["Games"].endswith("nothing can be estimated.")
