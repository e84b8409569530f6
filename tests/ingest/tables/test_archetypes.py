"""Reading a table of archetypes."""

from pathlib import Path

import numpy as np
import pytest

from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.tables.archetypes import inspect_archetypes, read_archetypes

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"


def test_the_sample_data_are_read():
    table = read_archetypes(SAMPLE / "archetypes.csv")

    assert len(table) == 27
    assert len(table.totals()) == 9
    assert table.skill_band[:3] == ("new", "steady", "expert")
    assert table.factions[0] == "Hearth-Wick"
    assert table.source.name == "archetypes.csv"
    assert len(table.source.sha256) == 64


def test_the_roles_are_found_by_arithmetic_where_headers_say_nothing():
    rows = [f"deck {n},{100 + n},{50 + n},{(50 + n) / (100 + n):.3f}" for n in range(1, 9)]
    table = read_archetypes("\n".join(["H0,H1,H2,H3", *rows, ""]).encode())

    assert table.archetype[0] == "deck 1"
    assert table.games[0] == 101
    assert table.wins[0] == 51


def test_numbers_of_another_country_are_read():
    table = read_archetypes(b"Decktyp;Spiele;Siegquote\nKites;1.200;50,5 %\n")

    assert (table.games[0], table.wins[0]) == (1200, 606)
    assert "wins were rebuilt" in " ".join(table.source.notes)


def test_losses_stand_in_for_games():
    table = read_archetypes(b"Archetype,Won,Lost\nKites,4,5\nMoths,22,8\n")

    assert table.games.tolist() == [9, 30]


@pytest.mark.parametrize("header", ["Archetype", "Deck", "Theme", "Name", "Archetyp"])
def test_plain_and_loose_words_name_the_archetype(header: str):
    table = read_archetypes(f"{header},Faction,Games,Wins\nKites,Wick,9,4\n".encode())

    assert table.archetype == ("Kites",)
    assert table.factions == ("Wick",)


def test_a_list_of_cards_is_not_taken_for_one_of_archetypes():
    with pytest.raises(MappingError, match="cannot tell which column holds archetype") as found:
        read_archetypes(b"Card,Games,Wins\nAsh,9,4\nBee,30,22\n")

    paste = 'columns={"archetype": "Card", "wins": "Wins", "games": "Games"}'
    assert str(found.value).splitlines()[-1] == paste


def test_a_file_without_any_clue_is_answered_with_what_to_say():
    with pytest.raises(
        MappingError, match=r'columns={"archetype": "HEADER", "games": "HEADER"'
    ):
        read_archetypes(b"Archetype,Note\nKites,fine\nMoths,good\n", columns={"archetype": 0})


def test_columns_can_be_named():
    table = read_archetypes(
        b"a,b,c\nKites,9,4\nMoths,30,22\n", columns={"archetype": 1, "games": "b", "wins": "c"}
    )

    assert table.wins.tolist() == [4, 22]


def test_a_role_of_cards_is_unknown_here():
    with pytest.raises(SettingError, match=r"no role 'rarity'.*roles: archetype, games"):
        read_archetypes(b"a,b\nKites,9\n", columns={"rarity": 1})


def test_totals_are_left_out():
    table = read_archetypes(b"Archetype,Games,Wins\nKites,9,4\nMoths,30,22\nTotal,39,26\n")

    assert table.archetype == ("Kites", "Moths")
    assert table.source.notes == (
        "archetype total left out, its games add up the other rows: line 4",
    )


def test_a_row_whose_band_is_unknown_is_no_total():
    table = read_archetypes(b"Archetype,Skill,Games,Wins\nKites,new,9,4\nKites,,9,5\n")

    assert table.skill_band == ("new", None)
    assert table.source.notes == ()


@pytest.mark.parametrize(
    ("rows", "place", "message"),
    [
        (["Kites,9,10"], "3", "wins 10 is more than games 9 for 'Kites'"),
        ([",9,4"], "1", "an archetype name was wanted, got a blank cell"),
        (["Kites,9,4", "KITES,3,1"], "1", "'Kites' is listed twice, first on line 2"),
        (["Kites,9,4", "All,7,4"], "1", "'All' reads like a total, but its games are not"),
    ],
)
def test_problems_stand_under_their_cell(rows: list[str], place: str, message: str):
    text = "\n".join(["Archetype,Games,Wins", *rows, ""])

    seen = inspect_archetypes(text.encode())

    assert seen.table is None
    assert seen.problems[-1].place == f"<memory>:{len(rows) + 1}:{place}"
    assert seen.problems[-1].message.startswith(message)


def test_a_band_may_tell_repeated_archetypes_apart_and_the_fix_says_so():
    twice = b"Archetype,Games,Wins\nKites,9,4\nKites,3,1\n"
    [problem] = inspect_archetypes(twice).problems
    with_bands = b"Archetype,Skill,Games,Wins\nKites,new,9,4\nKites,old,3,1\n"

    assert problem.fix.endswith("apart with --map skill_band=...")
    assert read_archetypes(with_bands).totals().games.tolist() == [12]


def test_bad_rows_can_be_left_out_and_repeats_added_up():
    text = b"Archetype,Factions,Games,Wins\nKites,,9,4\nKites,Wick,3,1\nMoths,,5,6\nBells,,,\n"

    table = read_archetypes(text, skip_bad=True, sum_duplicates=True)

    assert table.archetype == ("Kites", "Bells")
    assert table.games[0] == 12
    assert np.isnan(table.games[1])
    assert [note.split(":")[0] for note in table.source.notes] == [
        "left out",
        "'Kites' on line 3 was added to line 2",
    ]


def test_every_bad_row_is_told_in_one_error():
    with pytest.raises(TableError, match="2 problems") as found:
        read_archetypes(b"Archetype,Games,Wins\nKites,9,-4\nMoths,5.5,3\nBells,9,3\n")

    assert [problem.place for problem in found.value.problems] == [
        "<memory>:2:3",
        "<memory>:3:2",
    ]
