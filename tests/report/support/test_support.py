"""What a table can and cannot support."""

import pytest

from winrate_tools.matches import Match, MatchTable
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable
from winrate_tools.report.support.support import AnyTable, support
from winrate_tools.tables import ArchetypeTable, CardTable


def said(table: AnyTable) -> dict[str, str]:
    return {entry.lead: entry.text for entry in support(table)}


def test_a_bare_table_is_told_what_finer_ones_would_buy():
    entries = said(CardTable(["Ash Vine", "Tin Moth"], games=[1200, 0], wins=[600, 0]))

    assert entries["Games"] == "2 cards, 1 of them with games; the middle one has 1,200."
    assert "With mean picks" in entries["Use"]
    assert "Without a split by archetype or skill band" in entries["Archetypes and skill"]
    assert entries["Unheld games"].startswith("none.")


def test_a_rich_table_is_told_what_it_can_do():
    table = CardTable(
        ["Ash Vine", "Ash Vine"],
        games=[100, 50],
        wins=[50, 20],
        archetype=["Smoke", "Lamps"],
        skill_band=["low", "high"],
        unheld_games=[200, 90],
        unheld_wins=[100, 40],
        mean_pick=[3, 4],
    )
    entries = said(table)

    assert entries["Games"].startswith("1 card, 1 of them with games; the middle one has 150.")
    assert "1 has fewer than 400" in entries["Games"]
    assert entries["Use"].startswith("mean pick:")
    assert entries["Archetypes and skill"].startswith("rows are split by archetype and skill")
    assert "can be compared" in entries["Unheld games"]


def test_a_table_without_games_supports_nothing():
    entries = said(CardTable(["Ash Vine"], games=[0], wins=[0]))

    assert entries["Games"] == "1 card, none with games: nothing can be estimated."


def test_unknown_counts_are_no_games():
    entries = said(CardTable(["Ash Vine"], games=[float("nan")], wins=[float("nan")]))

    assert entries["Games"].endswith("nothing can be estimated.")


def test_archetypes_are_told_what_skill_bands_and_cards_would_buy():
    entries = said(ArchetypeTable(["Kites", "Moths"], games=[1200, 300], wins=[600, 150]))

    assert entries["Games"] == (
        "2 archetypes, 2 of them with games; the middle one has 750. 1 has fewer than 400, "
        "where luck alone moves a win rate by 2.5 points."
    )
    assert entries["Skill"].startswith("one row an archetype. Without a split by skill band")
    assert entries["Cards"].startswith("none. Beside a table of cards by archetype")


def test_archetypes_by_skill_band_are_told_so():
    table = ArchetypeTable(["Kites", "Kites"], [9, 8], [4, 4], skill_band=["new", "old"])

    assert said(table)["Games"].startswith("1 archetype, 1 of them with games")
    assert said(table)["Skill"].startswith("rows are split by skill band")


@pytest.mark.parametrize(
    ("table", "leads"),
    [
        (PoolTable([PoolCard("Ash Vine", 1)]), ["Size", "Labels", "Prices"]),
        (
            CandidateTable([Candidate(PoolCard("Ash Vine", 1), guess="like")]),
            ["Evidence", "Baselines", "Labels"],
        ),
        (MatchTable([Match("Ada", "Bo", 1, 0)]), ["Games", "Days", "Archetypes"]),
    ],
)
def test_each_kind_of_table_is_told_of_what_matters_there(table: AnyTable, leads: list[str]):
    assert list(said(table))[:3] == leads
