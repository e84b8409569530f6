"""From options to a checked table."""

from pathlib import Path

import pytest

from winrate_tools.cli import loading
from winrate_tools.cli.options import Configured, Reading
from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.tables.pools import inspect_pool

HOW = (Reading(), Configured(no_config=True))


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


def test_a_link_to_itself_is_told_and_not_offered_for_itself(run, folder: Path):
    Path("loop").symlink_to("loop")

    assert run("rank", "loop").stderr == (
        "error: loop cannot be read: it is a link that leads to itself\n"
    )


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


def test_a_further_table_is_read_with_its_own_columns(folder: Path):
    Path("mine.csv").write_text("a,b\nAsh,3\nTin,1\n")

    pool = loading.further_table(
        inspect_pool, "mine.csv", ["card=a", "copies=b"], "--pool-map", *HOW
    )
    assert (pool.size, pool.source.name) == (4, "mine.csv")


def test_a_question_about_a_further_table_names_its_own_option(folder: Path):
    Path("mine.csv").write_text("a,b\nAsh,3\nTin,1\n")

    with pytest.raises(MappingError) as found:
        loading.further_table(inspect_pool, "mine.csv", None, "--pool-map", *HOW)
    assert '--pool-map card="a" --pool-map copies="b"' in str(found.value)
    assert "--map " not in str(found.value)


def test_bad_rows_of_a_further_table_stop_it_even_where_those_of_the_first_are_left_out(
    folder: Path,
):
    Path("mine.csv").write_text("card,copies\nAsh,trois\nTin,1\n")
    reading = Reading(skip_bad=True)

    with pytest.raises(TableError, match="got 'trois' for 'Ash'") as found:
        loading.further_table(inspect_pool, "mine.csv", None, "--pool-map", reading, HOW[1])
    assert [one.fix for one in found.value.problems] == ["mend the cell"]


def test_a_further_table_that_is_not_there_is_refused(folder: Path):
    with pytest.raises(SettingError, match=r"^no file 'mine\.csv'$"):
        loading.further_table(inspect_pool, "mine.csv", None, "--pool-map", *HOW)


def test_standard_input_holds_one_table():
    loading.demand_one_stdin(("-", None, "cards.csv"))

    with pytest.raises(SettingError, match="standard input holds one table"):
        loading.demand_one_stdin(("-", None, "-"))


def test_archetypes_that_whole_decks_may_spell_otherwise_are_told(run, folder):
    rows = [f"Card {n},{style},90,{30 + n}" for n in range(9) for style in ("Kites", "Moths")]
    Path("cards.csv").write_text("\n".join(["card,archetype,games,wins", *rows, ""]))
    Path("decks.csv").write_text("archetype,games,wins\nKite,900,450\nMoths,900,460\n")
    told = run("rank", "cards.csv", "--archetypes", "decks.csv")
    alone = run("rank", "cards.csv")

    assert (
        "note: archetype 'Kites' is not in the table of archetypes: did you mean 'Kite'?"
        in told.stderr
    )
    assert "did you mean" not in alone.stderr


def test_advice_on_a_further_table_names_its_own_option(run, table):
    Path("decks.csv").write_text("archetype,games,wins\nKites,10,20\nLooms,20,9\n")

    result = run("rank", "cards.csv", "--archetypes", "decks.csv")

    assert result.exit_code == 1
    assert "check that --archetypes-map wins and --archetypes-map games" in result.stderr
    assert " --map" not in result.stderr
