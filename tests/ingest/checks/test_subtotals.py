"""Rows that add up the rows of one label."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.subtotals import find_subtotals
from winrate_tools.ingest.tables.archetypes import inspect_archetypes
from winrate_tools.ingest.tables.cards import read_cards
from winrate_tools.ingest.tables.pools import read_pool

HEADER = "Card,Archetype,Faction,Rarity,Games,Wins\n"
ROWS = (
    "Ash,Fair,Wick,rare,50,30\nAsh,Moon,Wick,rare,40,20\nBee,Fair,Wick,usual,30,11\n"
    "Elk,Moon,Reed,rare,25,13\nFox,Moon,Reed,usual,5,2\n"
)


def left(*rows: str) -> tuple[set[str], tuple[str, ...]]:
    """Read rows below the others and return the names that became cards, and the notes."""
    table = read_cards((HEADER + ROWS + "\n".join([*rows, ""])).encode())
    return set(table.card) - {"Ash", "Bee", "Elk", "Fox"}, table.source.notes


@pytest.mark.parametrize(
    ("row", "of"),
    [
        ("Wick gesamt,,Wick,,120,61", "faction"),
        ("Zwischensumme,,Wick,,120,61", "faction"),
        ("Sous-total Wick,,,,120,61", "faction"),
        ("Total for Wick,,,,120,61", "faction"),
        ("Wick,,Wick,,120,61", "faction"),
        ("Sum,Moon,Reed,,30,15", "archetype and faction"),
        ("Moon: total,,,,70,35", "archetype"),
        ("Subtotal,,,usual,35,13", "rarity"),
        ("Ash total,,Wick,rare,90,50", "card"),
    ],
)
def test_a_subtotal_is_no_card_and_is_said(row: str, of: str):
    names, notes = left(row)

    assert names == set()
    assert notes[-1].startswith(
        "left out as a subtotal, its games and wins add up the other rows"
    )
    assert f" of the same {of}: line 7 (" in notes[-1]


def test_a_card_that_all_its_archetypes_add_up_to_counts_once():
    table = read_cards(f"{HEADER}{ROWS}Ash,,Wick,rare,90,50\n".encode())

    assert table.totals().games[0] == 90


@pytest.mark.parametrize(
    "row",
    [
        "Wick gesamt,,Wick,,121,61",
        "Wick gesamt,,Wick,,120,60",
        "Total Eclipse,Fair,Wick,rare,9,4",
        "Gnat,Fair,Wick,rare,120,61",
        "Wick gesamt,,Reed,rare,25,13",
        "Wick gesamt,,Wick,,0,0",
        "Gnat,,,,120,61",
    ],
)
def test_what_is_no_sum_of_two_rows_or_more_stays_a_card(row: str):
    names, notes = left(row)

    assert names == {row.partition(",")[0]}
    assert not any("subtotal" in note for note in notes)


def test_totals_of_totals_are_all_found():
    names, notes = left(
        "Ash,,Wick,rare,90,50",
        "Wick gesamt,,Wick,,120,61",
        "Reed gesamt,,Reed,,30,15",
        "Summe,,,,150,76",
    )

    assert names == set()
    assert any("line 8 ('Wick gesamt'), line 9 ('Reed gesamt')" in note for note in notes)
    assert notes[-1] == "card total left out, its games add up the other rows: line 10"


def test_a_card_without_games_adds_up_nothing():
    rows = "Ash,Fair,Wick,rare,0,0\nBee,Fair,Wick,rare,0,0\nElk,,Wick,rare,0,0\n"

    assert len(read_cards(f"{HEADER}{rows}".encode())) == 3


def test_totals_of_a_card_over_its_archetypes_are_in_no_sum():
    names, notes = left("Ash,All,Wick,rare,90,50", "Wick gesamt,,Wick,,120,61")

    assert names == set()
    assert "same faction: line 8 ('Wick gesamt')" in notes[0]


def test_a_faction_named_like_a_total_makes_none_of_its_cards_one():
    rows = ("Gnat,Fair,All,rare,20,9", "Hare,Moon,All,rare,15,6", "Subtotal,,All,,35,15")

    names, notes = left(*rows)

    assert names == {"Gnat", "Hare"}
    assert "of the same faction: line 9 ('Subtotal')" in notes[-1]


def test_a_row_without_a_name_is_in_no_sum():
    rows = "Ash,Fair,Wick,rare,50,30\nBee,Fair,Wick,rare,30,11\n,Fair,Wick,rare,9,9\n"
    table = read_cards(f"{HEADER}{rows}Wick gesamt,,Wick,,80,41\n".encode(), skip_bad=True)

    assert table.card == ("Ash", "Bee")


def test_a_row_named_total_without_attributes_is_left_to_the_totals():
    names, notes = left("Total,Moon,,,70,35")

    assert names == set()
    assert notes == ("card total left out, its games add up the other rows: line 7",)


def test_many_of_one_kind_are_told_in_one_note():
    rows = [f"Card {n},{label},{n + 90},40" for n in range(8) for label in ("Kites", "Moths")]
    sums = [f"Card {n},,{2 * n + 180},80" for n in range(8)]
    table = read_cards("\n".join(["Card,Archetype,Games,Wins", *rows, *sums, ""]).encode())

    (note,) = table.source.notes
    assert note.endswith("line 22 ('Card 4') and 3 more")
    assert len(table) == 16


def test_copies_alone_make_a_subtotal_only_with_the_word():
    pool = "Card,Copies,Faction,Rarity\nAsh,3,Wick,rare\nBee,2,Wick,usual\n"

    assert read_pool(f"{pool}Wick total,5,Wick,\n".encode()).size == 5
    assert read_pool(f"{pool}Wickling,5,Wick,\n".encode()).size == 10


def test_an_archetype_is_added_up_over_its_bands():
    rows = b"Archetype,Skill band,Games,Wins\nKites,new,50,20\nKites,old,60,40\nKites,,110,60\n"

    assert inspect_archetypes(rows).sound_table().games.tolist() == [50, 60]


def test_unknown_counts_add_nothing():
    seen = view(
        "Card,Faction,Rarity", "Ash,Wick,a", "Bee,Wick,b", "Cat,Wick,c", "All Wick,Wick,"
    )
    counts = {"games": np.array([5, 4, np.nan, 9]), "wins": np.array([np.nan, 2, np.nan, 2])}
    labels = {"faction": ("Wick",) * 4, "rarity": ("a", "b", "c", None)}

    assert find_subtotals(seen, counts, labels).rows == {3}


@pytest.mark.parametrize(("games", "left"), [(49, 3), (50, 2)])
def test_small_numbers_add_up_by_chance_and_stay(games: int, left: int):
    rows = f"Ash,Kites,9,4\nAsh,Moths,{games - 9},4\nAsh,,{games},8\n"

    assert len(read_cards(f"Card,Archetype,Games,Wins\n{rows}".encode())) == left
