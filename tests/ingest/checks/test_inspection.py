"""The way from bytes to a checked table."""

from dataclasses import replace

import pytest

from winrate_tools.errors import MappingError, Problem, TableError
from winrate_tools.ingest.checks.inspection import TableInspection
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables.archetypes import inspect_archetypes
from winrate_tools.ingest.tables.read import inspect_cards
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
