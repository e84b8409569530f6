"""The command check."""

import json
from pathlib import Path

import pytest


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
