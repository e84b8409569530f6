"""From options to a judged pool, and what is refused before anything is read."""

from pathlib import Path

import pytest


def test_notes_are_told_on_standard_error(run, folder):
    rows = ["card,games,wins", "Ash Vine,50,20", "Tin Moth,60,33", "Total,110,53"]
    Path("cards.csv").write_text("\n".join(rows), "utf-8")

    assert "note: The table names no factions" in run("rank", "cards.csv").stderr


@pytest.mark.parametrize(
    "spelling", ["cards.csv", "./cards.csv", "link.csv", "../here/cards.csv"]
)
@pytest.mark.parametrize(
    "command", [["rank"], ["report"], ["check"], ["archetypes"], ["config", "show"]]
)
def test_the_table_that_is_read_is_never_written_over(command, spelling, run, table):
    Path("link.csv").symlink_to("cards.csv")
    before = Path(table).read_bytes()
    result = run(*command, table, "-o", spelling, "--force")

    assert (result.exit_code, result.stderr) == (
        2,
        "error: -o names the table that is read; name another file to write to\n",
    )
    assert Path(table).read_bytes() == before
    assert Path("link.csv").is_symlink()


@pytest.mark.parametrize("command", ["rank", "report", "archetypes"])
def test_the_table_of_whole_decks_is_never_written_over(command, run, table):
    Path("decks.csv").write_text("archetype,games,wins\na,9000,4700\n")
    result = run(command, table, "--archetypes", "decks.csv", "-o", "decks.csv", "--force")

    assert "-o names the table that is read" in result.stderr
    assert Path("decks.csv").read_text().startswith("archetype,")


@pytest.mark.parametrize(
    ("command", "options"),
    [
        (["power"], []),
        (["power"], ["--config", "winrate.toml", "--no-config"]),
        (["rank", "cards.csv"], []),
        (["config", "show"], ["--config", "winrate.toml"]),
    ],
)
def test_the_configuration_is_never_written_over(command, options, run, table):
    Path("winrate.toml").write_text("[settings]\nsure = 0.8\n")
    result = run(*command, *options, "-o", "winrate.toml", "--force")

    assert result.exit_code == 2
    assert "-o names the configuration that is read" in result.stderr
    assert Path("winrate.toml").read_text().startswith("[settings]")


def test_decks_join_the_cut_report(run, tmp_path: Path):
    cards, decks = tmp_path / "cards.csv", tmp_path / "decks.csv"
    cards.write_text(
        "card,archetype,games,wins\n"
        + "".join(
            f"c{i},{home},400,{200 + 10 * (i % 3) - 40 * (home == 'b')}\n"
            for i in range(12)
            for home in "ab"
        )
    )
    decks.write_text("archetype,games,wins\na,9000,4700\nb,9000,3700\n")

    alone = run("report", cards)
    joined = run("report", cards, "--archetypes", decks)
    assert alone.exit_code == joined.exit_code == 0
    assert "worked out from the cards' games" in alone.stdout
    assert "worked out from the cards' games" not in joined.stdout
    assert "| b | 9,000 |" in joined.stdout
