"""From options to a checked table."""

from pathlib import Path

import pytest

from winrate_tools.cli import loading
from winrate_tools.errors import SettingError


@pytest.fixture
def unclear(folder: Path) -> str:
    rows = [f"Card {n},{50 + n},{40 - n},{n % 7}" for n in range(20)]
    Path("odd.csv").write_text("\n".join(["h0,h1,h2,h3", *rows, ""]))
    return "odd.csv"


def test_a_misspelt_file_gets_its_neighbour_offered(run, table):
    result = run("rank", "crads.csv")

    assert (result.exit_code, result.stderr) == (
        2,
        "error: no file 'crads.csv'; did you mean 'cards.csv'?\n",
    )


def test_a_file_that_only_ends_alike_is_not_offered(run, table):
    assert run("rank", "broken.csv").stderr == "error: no file 'broken.csv'\n"


def test_a_folder_is_no_table(folder: Path):
    Path("deep").mkdir()

    with pytest.raises(SettingError, match="deep is a folder, not a table"):
        loading.demand_file("deep")


def test_a_path_into_nowhere_is_refused():
    with pytest.raises(SettingError, match=r"^no file 'nowhere/cards.csv'$"):
        loading.demand_file("nowhere/cards.csv")


def test_bad_rows_are_all_told_and_exit_with_1(run, folder):
    Path("bad.csv").write_text("card,games,wins\nAsh Vine,50,55\nTin Moth,-2,0\nFox,9,4\n")
    result = run("rank", "bad.csv")

    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr.startswith("error: bad.csv: 2 to mend before this table can be used\n")
    assert result.stderr.count("fix: ") == 2
    assert run("rank", "bad.csv", "--baseline", "0.5", "--skip-bad").exit_code == 0


def test_without_a_terminal_nobody_is_asked(run, unclear):
    result = run("rank", unclear)

    assert result.exit_code == 2
    assert result.stderr.splitlines()[-1].startswith("--map ")


@pytest.mark.parametrize(("answer", "code"), [("1\n", 0), ("0\n", 2), ("99\n", 2), ("x\n", 2)])
def test_on_a_terminal_a_number_answers(answer, code, run, unclear, monkeypatch):
    monkeypatch.setattr(loading, "can_ask", lambda _: True)
    result = run("rank", unclear, input=answer)

    assert result.exit_code == code
    assert "Which one, 1 to" in result.stderr


def test_columns_are_kept_only_with_consent_and_then_used(run, unclear):
    options = ["--map", "card=h0", "--map", "games=h1", "--map", "wins=h2"]
    assert run("rank", unclear, *options).exit_code == 0
    assert not Path("winrate.toml").exists()

    kept = run("rank", unclear, *options, "--remember")

    assert "note: the columns' roles are kept in winrate.toml" in kept.stderr
    assert run("rank", unclear).exit_code == 0
    assert run("rank", unclear, "--no-config").exit_code == 2


def test_standard_input_has_no_place_to_keep_columns(run, table):
    result = run("rank", "-", "--remember", input=Path(table).read_bytes())

    assert result.exit_code == 2
    assert "standard input is none" in result.stderr


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
