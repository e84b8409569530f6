"""A table in another's place is refused, never quietly read as what it is not."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from winrate_tools.cli.app import app
from winrate_tools.errors import MappingError
from winrate_tools.ingest.tables.archetypes import read_archetypes

BY_ARCHETYPE = "cards_by_archetype.csv"


def run(*arguments: str):
    return CliRunner().invoke(app, list(arguments))


@pytest.mark.parametrize("command", ["rank", "report", "archetypes"])
def test_cards_by_archetype_are_not_added_up_as_if_each_were_a_deck(folder: Path, command: str):
    # Every game would count once for each card in hand, and ranges would be thrice too narrow.
    result = run(command, "cards.csv", "--archetypes", BY_ARCHETYPE, "--sum-duplicates")

    assert (result.exit_code, result.stdout) == (2, "")
    assert (
        "a table of archetypes was wanted, and its headers are those of a table of cards"
        in (result.stderr)
    )


def test_few_rows_of_cards_make_no_decks_either():
    cards = b"card,archetype,games,wins\nAsh,Kites,900,500\nTin,Kites,800,400\n"

    with pytest.raises(MappingError, match="those of a table of cards"):
        read_archetypes(cards, sum_duplicates=True)


def test_decks_may_say_which_cards_they_hold():
    decks = b"archetype,cards,games,wins\nKites,Ash; Tin,900,500\nMoths,Tin; Oar,800,400\n"

    assert read_archetypes(decks).archetype == ("Kites", "Moths")


def test_who_says_that_they_are_decks_is_believed():
    decks = b"card,archetype,games,wins\nAsh,Kites,900,500\nTin,Kites,800,400\n"

    table = read_archetypes(decks, columns={"archetype": "archetype"}, sum_duplicates=True)

    assert (table.archetype, table.games.tolist()) == (("Kites",), [1700])
