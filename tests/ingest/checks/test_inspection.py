"""The way from bytes to a checked table."""

from dataclasses import replace

import pytest

from winrate_tools.errors import MappingError, Problem, TableError
from winrate_tools.ingest.checks.inspection import TableInspection
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables.archetypes import inspect_archetypes
from winrate_tools.ingest.tables.cards import inspect_cards
from winrate_tools.tables import CardTable

BOTH = b"Deck,Card,Games,Wins\nKites,Ash,12,7\nMoths,Bee,9,4\n"
SEEN = TableInspection[CardTable]("a.csv", "", "UTF-8", ",", None, 1, ("Card",), 1)


def test_one_file_can_be_read_as_either_kind():
    cards, archetypes = inspect_cards(BOTH), inspect_archetypes(BOTH)

    assert cards.roles["card"] == archetypes.unused[0] == "Card"
    assert archetypes.roles == {"archetype": "Deck", "games": "Games", "wins": "Wins"}
    assert cards.sound_table().card == ("Ash", "Bee")
    assert archetypes.sound_table().archetype == ("Kites", "Moths")


def test_what_is_remembered_for_one_kind_does_not_disturb_the_other(tmp_path):
    path = tmp_path / "both.csv"
    path.write_bytes(BOTH)
    headers = ("Deck", "Card", "Games", "Wins")
    remember_mapping(tmp_path, headers, {"card": "Card", "games": "Wins", "wins": "Games"})

    assert inspect_archetypes(path).roles == {
        "archetype": "Deck",
        "games": "Wins",
        "wins": "Games",
    }


def test_what_is_remembered_as_another_kind_is_refused_and_its_command_named(tmp_path):
    path = tmp_path / "decks.csv"
    path.write_text("Style,n,w\nKites,12,7\nMoths,9,4\n")
    headers = ("Style", "n", "w")
    remember_mapping(tmp_path, headers, {"archetype": "Style", "games": "n", "wins": "w"})

    asked = inspect_cards(path).unclear
    assert "remembers its columns as those of a table of archetypes" in str(asked)
    assert "winrate-tools archetypes TABLE" in str(asked)
    told = {"card": "Style", "games": "n", "wins": "w"}
    assert inspect_cards(path, columns=told).sound_table().card == ("Kites", "Moths")
    assert (
        inspect_cards(path, use_memory=False, columns={"games": 2, "wins": 3}).unclear is None
    )


@pytest.mark.parametrize(
    ("rates", "decimal", "is_mixed"),
    [("50.5 50.5", ".", False), ("50.5 50,5", None, True), ("50 50", None, False)],
)
def test_marks_that_disagree_are_told_from_marks_that_are_not_there(rates, decimal, is_mixed):
    first, second = rates.split()
    seen = inspect_cards(f"Card;Games;Wins;x\nA;9;4;{first}\nB;8;3;{second}\n".encode())

    assert (seen.decimal, seen.is_mixed) == (decimal, is_mixed)


def test_an_open_question_comes_before_everything():
    question = MappingError("which?")

    with pytest.raises(MappingError, match=r"which\?"):
        replace(SEEN, unclear=question).sound_table()


@pytest.mark.parametrize(("count", "words"), [(1, "1 problem"), (2, "2 problems")])
def test_problems_are_counted_and_handed_on(count: int, words: str):
    problems = tuple(Problem(f"a.csv:{line}", "no good") for line in range(2, 2 + count))

    with pytest.raises(TableError, match=f"^a.csv: {words}; first: a.csv:2: no good$") as found:
        replace(SEEN, problems=problems).sound_table()

    assert found.value.problems == problems


def test_a_remembered_part_of_a_mapping_stands_for_no_other_kind(tmp_path):
    path = tmp_path / "cards.csv"
    path.write_text("Thing,Kind,Games,Wins\nAsh,x,12,7\nBee,x,9,4\n")
    remember_mapping(tmp_path, ("Thing", "Kind", "Games", "Wins"), {"rarity": "Kind"})

    assert inspect_cards(path).roles["card"] == "Thing"
