"""The command to type next."""

from pathlib import Path

import pytest

from winrate_tools.cli.again import tell_again
from winrate_tools.cli.options import Configured, Decks, Judging, Reading


def test_options_are_spelled_as_they_are_typed_and_quoted():
    said = tell_again(
        "rank",
        "cards.csv",
        Judging(target="new:3, old:1", design_effect="1.5"),
        Decks(archetypes="my decks.csv", archetypes_map=["wins=W"]),
        Reading(columns=["games=Played games", "wins=3"], sum_duplicates=True),
        Configured(config=Path("other.toml")),
    )

    assert said == (
        "winrate-tools rank cards.csv --for 'new:3, old:1' --design-effect 1.5 "
        "--archetypes 'my decks.csv' --archetypes-map wins=W "
        "--map 'games=Played games' --map wins=3 --sum-duplicates --config other.toml"
    )


def test_what_nobody_said_is_not_repeated():
    assert tell_again("rank", "a.csv", Judging(), Reading()) == "winrate-tools rank a.csv"


def test_standard_input_is_read_only_once():
    assert tell_again("rank", "-", Judging(margin="2")) is None


@pytest.mark.parametrize("command", ["rank", "report", "check", "archetypes"])
def test_a_file_that_is_written_is_named(command, run, folder):
    rows = [f"Lamp {n},{home},900,{440 + 9 * n}" for n in range(9) for home in "ab"]
    Path("cards.csv").write_text("\n".join(["card,archetype,games,wins", *rows, ""]))
    result = run(command, "cards.csv", "-o", "out.md")

    assert result.exit_code == 0
    assert result.stdout == ""
    assert result.stderr.startswith("wrote out.md\n")
    assert Path("out.md").exists()


@pytest.mark.parametrize("command", [["power"], ["config", "show"]])
def test_a_file_that_is_written_without_a_table_is_named(command, run):
    assert run(*command, "-o", "out.md").stderr.startswith("wrote out.md\n")
