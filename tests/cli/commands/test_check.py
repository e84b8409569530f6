"""The command check."""

import json
import shutil
from pathlib import Path

import pytest

from winrate_tools.cli.commands.check import KINDS, next_step
from winrate_tools.cli.options import Configured, Reading
from winrate_tools.ingest.roles import kinds

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"


def test_a_sound_table_is_explained(run, table):
    result = run("check", table)

    assert result.exit_code == 0
    assert "- games: column 2, 'games' (913, 926, 939)" not in result.stdout
    assert "- games: column 2, 'games' (900, 913, 926)" in result.stdout
    assert "UTF-8, cells parted by commas." in result.stdout
    assert "Headers: on line 1; 34 rows." in result.stdout
    assert result.stderr == "next: winrate-tools rank cards.csv\n"


def test_the_next_step_keeps_the_columns_that_were_named(run, table):
    named = run("check", table, "--map", "card=card", "--map", "wins=3", "--decimal", ".")
    piped = run("check", "-", input=Path(table).read_bytes())

    assert named.stderr == (
        "next: winrate-tools rank cards.csv --map card=card --map wins=3 --decimal .\n"
    )
    assert (piped.exit_code, piped.stderr) == (0, "")


def test_every_problem_is_shown_with_place_and_mend(run, folder):
    Path("bad.csv").write_text("card,games,wins\nAsh Vine,50,55\nTin Moth,-2,0\nFox,9,4\n")
    result = run("check", "bad.csv")

    assert result.exit_code == 1
    assert "bad.csv:2:3" in result.stdout
    assert "bad.csv:3:2" in result.stdout
    assert "    Ash Vine,50,55\n" in result.stdout
    assert "^^" in result.stdout
    assert result.stdout.count("fix: ") == 2
    assert "cannot be used before" in " ".join(result.stdout.split())
    assert result.stderr.startswith("next: mend the 2 above")


def test_a_table_that_nobody_understands_exits_with_2_and_a_line_to_paste(run, folder):
    rows = [f"Card {n},{50 + n},{40 - n},{n % 7}" for n in range(20)]
    Path("odd.csv").write_text("\n".join(["h0,h1,h2,h3", *rows, ""]))
    asked = run("check", "odd.csv")

    assert asked.exit_code == 2
    pasted = asked.stderr.splitlines()[-1]
    assert pasted.startswith("--map card=")
    options = [word.replace('"', "") for word in pasted.split()]
    assert run("check", "odd.csv", *options).exit_code == 0


@pytest.mark.parametrize("style", ["json", "csv", "md"])
def test_the_check_comes_in_every_format(style, run, table):
    result = run("check", table, "--format", style)

    assert result.exit_code == 0
    if style == "json":
        record = json.loads(result.stdout)
        assert [one["role"] for one in record["assignments"]] == ["card", "games", "wins"]
        assert record["problems"] == []
    else:
        assert "games" in result.stdout


def test_problems_stand_in_markdown_as_they_are(run, folder):
    Path("bad.csv").write_text("card,games,wins\nAsh Vine,50,55\nFox,9,4\n")

    assert "```\nbad.csv:2:3" in run("check", "bad.csv", "--format", "md").stdout


@pytest.mark.parametrize(
    ("file", "called", "step"),
    [
        ("cards.csv", "a table of cards", "rank cards.csv"),
        ("archetypes.csv", "a table of archetypes", "archetypes archetypes.csv"),
        ("pool.csv", "a pool", "packs --pool=pool.csv --seats 8"),
        (
            "candidates.csv",
            "a list of candidates",
            "plan TABLE --pool FILE --candidates candidates.csv",
        ),
        ("home.csv", "a table of matches", "update TABLE --matches home.csv"),
    ],
)
def test_each_sample_is_told_apart_and_what_it_is_for(file, called, step, run, folder):
    shutil.copy(SAMPLE / file, file)
    result = run("check", file)

    assert result.exit_code == 0
    assert f"- Kind: read as {called}; --kind overrules this." in result.stdout
    assert result.stderr == f"next: winrate-tools {step}\n"


def test_the_kinds_are_those_that_can_be_read():
    assert tuple(kinds.KINDS) == KINDS


def test_the_user_may_say_the_kind(run, folder):
    Path("mine.csv").write_text("Card,Games,Wins\nAsh,90,45\nTin,80,41\n")
    as_cards, as_pool = run("check", "mine.csv"), run("check", "mine.csv", "--kind", "pool")

    assert "a table of cards" in as_cards.stdout
    assert as_pool.exit_code == 2
    assert "which column holds copies" in as_pool.stderr
    assert "its headers are those of a table of cards" in as_pool.stderr


def test_a_kind_that_is_none_is_refused(run, table):
    result = run("check", table, "--kind", "matchs")

    assert result.exit_code == 2
    assert (
        "must be cards, archetypes, pool, candidates or matches, got 'matchs'" in result.stderr
    )
    assert "did you mean 'matches'?" in result.stderr


def test_a_file_that_is_not_there_is_refused(run, table):
    result = run("check", "crads.csv")

    assert result.exit_code == 2
    assert "no file 'crads.csv'; did you mean 'cards.csv'?" in result.stderr


def test_problems_of_other_kinds_stand_in_their_place(run, folder):
    Path("home.csv").write_text("player,opponent,won,lost\nAda,Ada,2,1\nAda,Bo,2,\n")
    result = run("check", "home.csv")

    assert result.exit_code == 1
    assert "home.csv:2:2: another player than 'Ada' was wanted" in result.stdout
    assert "home.csv:3:4: games lost were wanted, got a blank cell" in result.stdout


def test_json_tells_the_kind(run, folder):
    shutil.copy(SAMPLE / "pool.csv", "pool.csv")

    assert json.loads(run("check", "pool.csv", "--json").stdout)["kind"] == "pool"


def test_columns_can_be_kept_for_every_kind(run, folder):
    Path("mine.csv").write_text("a,b,b\nAsh,9,3\nTin,9,1\n")
    kept = run("check", "mine.csv", "--map", "card=a", "--map", "copies=3", "--remember")
    again = run("check", "mine.csv")

    assert kept.exit_code == 0
    assert "note: the columns' roles are kept in winrate.toml" in kept.stderr
    assert (
        "copies: column 3, 'column 3' (3, 1): remembered from an earlier time" in again.stdout
    )
    assert again.exit_code == 0
    assert again.stderr.endswith("next: winrate-tools packs --pool=mine.csv --seats 8\n")


def test_columns_of_standard_input_cannot_be_kept(run, table):
    result = run("check", "-", "--remember", input=Path(table).read_bytes())

    assert result.exit_code == 2
    assert "--remember keeps columns beside a file, and standard input is none" in result.stderr


@pytest.mark.parametrize("kind", kinds.KINDS.values(), ids=kinds.KINDS)
def test_the_next_step_names_the_table_so_that_a_shell_reads_it(kind):
    step = next_step(kind, "my table.csv", Reading(), Configured())

    assert "my table.csv'" in step
    assert step.startswith(f"winrate-tools {kind.use.split()[0]} ")


@pytest.mark.parametrize(
    ("file", "use"),
    [
        ("archetypes.csv", "archetypes TABLE"),
        ("pool.csv", "packs --pool FILE --seats N"),
        ("candidates.csv", "plan TABLE --pool FILE --candidates FILE"),
        ("home.csv", "update TABLE --matches FILE"),
    ],
)
def test_rank_names_the_command_that_fits_another_kind_of_table(file, use, run, folder):
    result = run("rank", SAMPLE / file)

    assert result.exit_code == 2
    assert f"winrate-tools {use}" in result.stderr
    assert result.stdout == ""
