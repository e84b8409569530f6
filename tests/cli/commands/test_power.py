"""The command power."""

import csv
import io
import json
from pathlib import Path

import pytest

GAPS, GAMES = (0.01, 0.02, 0.03, 0.05), (100, 300, 1000, 3000)


def test_it_says_what_a_gap_takes_without_any_table(run):
    result = run("power")

    assert result.exit_code == 0
    assert (
        "A card 2 points below the line needs about 3,700 games before you would be 9 in"
        in (" ".join(result.stdout.split()))
    )
    assert result.stderr.endswith("games will not do: winrate-tools rank TABLE\n")


def test_json_has_settings_with_origins_and_a_row_for_each_gap_and_games(run):
    record = json.loads(
        run("power", "--json", "--baseline", "50%", "--gaps", "2,4", "--games", "2,500").stdout
    )

    assert record["settings"]["baseline"] == {
        "value": 0.5,
        "origin": "command line: --baseline",
    }
    assert record["settings"]["design_effect"] == {"value": 1.28, "origin": "default"}
    assert record["line"] == 0.48
    assert [(row["gap"], row["games"]) for row in record["rows"]] == [
        (0.02, 2), (0.02, 500), (0.04, 2), (0.04, 500),
    ]  # fmt: skip
    assert record["rows"][0]["smallest_gap"] is None


def test_csv_reads_back_to_the_numbers_of_json(run):
    rows = list(csv.DictReader(io.StringIO(run("power", "--format", "csv").stdout)))
    record = json.loads(run("power", "--json").stdout)

    assert len(rows) == 16
    assert [{name: float(text) for name, text in row.items()} for row in rows] == record["rows"]


def test_settings_come_from_the_configuration_too(run):
    Path("winrate.toml").write_text("[settings]\nbaseline = 50\nmargin = 0\nsure = 0.95\n")
    said = " ".join(run("power").stdout.split())

    assert "The line is the baseline of 50.0% (given by you)" in said
    assert "95 in 100 sure" in said
    assert "a usual one" in " ".join(run("power", "--no-config").stdout.split())


@pytest.mark.parametrize("style", ["csv", "json", "md", "table"])
def test_a_result_can_go_to_a_file_as_it_would_to_the_screen(style, run):
    shown = run("power", "--format", style)
    kept = run("power", "--format", style, "-o", "out.txt")

    assert kept.stdout == ""
    assert Path("out.txt").read_bytes() == shown.stdout_bytes


def test_a_file_that_exists_is_refused(run):
    Path("out.md").write_text("mine")

    result = run("power", "-o", "out.md")

    assert result.exit_code == 2
    assert Path("out.md").read_text() == "mine"


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--gaps", "0.02"], "--gaps are in points, and 0.02 is tiny; did you mean 2?"),
        (["--gaps", "0"], "--gaps must lie between 0 and 100 points, got 0"),
        (["--gaps", "nan"], "--gaps must lie between 0 and 100 points, got nan"),
        (["--gaps", "60"], "gaps must lie between 0 and the line of 53%, got 60%"),
        (["--gaps", "2;3"], "--gaps must be numbers parted by commas, got '2;3'"),
        (["--games", "1.5"], "--games must be whole numbers from 1 to 10,000,000, got 1.5"),
        (["--games", "0"], "--games must be whole numbers from 1 to 10,000,000, got 0"),
        (["--games", ""], "--games must be numbers parted by commas, got ''"),
        (["--baseline", "2%"], "baseline less margin must leave a line above 0, got 0%"),
        (["--sure", "0.4"], "sure must be above 0.5 and below 1, got 0.4"),
        (["--gasp", "2"], "did you mean '--gaps'?"),
    ],
)
def test_misuse_is_told_in_a_line_and_exits_with_2(arguments, message, run):
    result = run("power", *arguments)

    assert result.exit_code == 2
    assert result.stdout == ""
    assert message in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


def test_a_table_gives_its_baseline_its_spread_and_its_games(run, table):
    result = run("power", table, "--margin", "1")
    said = " ".join(result.stdout.split())

    assert result.exit_code == 0
    assert "1 point under the baseline of 52.50% (the mean of this table)" in said
    assert "The 34 cards of cards.csv truly differ by" in said
    assert "Cards so far below" in said
    assert result.stderr == (
        "next: how many more games each card needs, or that games will not do: "
        "winrate-tools rank cards.csv --margin 1\n"
    )
    assert run(*result.stderr.strip().partition("winrate-tools ")[2].split()).exit_code == 0


def test_what_is_said_beside_a_table_goes_before_what_it_holds(run, table):
    asked = ("power", table, "--baseline", "50%", "--games", "10", "--json")
    record = json.loads(run(*asked).stdout)
    plain = json.loads(run("power", table, "--json").stdout)

    assert record["settings"]["baseline"]["value"] == 0.5
    assert record["settings"]["baseline"]["origin"] == "command line: --baseline"
    assert {row["games"] for row in record["rows"]} == {10}
    assert plain["settings"]["baseline"]["origin"] == "table"
    assert plain["source"]["name"] == "cards.csv"
    assert plain["cards"] == 34
    assert 0 < plain["spread_low"] < plain["spread"] < plain["spread_high"] < 0.1
    assert {"cards_below", "cards_below_low", "cards_below_high"} < set(plain["rows"][0])


def test_a_table_is_read_as_other_commands_read_it(run, folder):
    (folder / "odd.csv").write_text("x;y;z;w\nAsh;900;360;12\nTin;900;540;1\nTin;9;4;2\n")
    told = ("--map", "card=x", "--map", "games=y", "--map", "wins=z")

    result = run("power", "odd.csv", *told, "--sum-duplicates")

    assert result.exit_code == 0
    assert "note: " in result.stderr
    assert "rank odd.csv --map card=x --map games=y --map wins=z" in result.stderr
    assert run("power", "odd.csv").exit_code == 2
    assert "did you mean" in run("power", "od.csv").stderr


def test_players_whom_a_table_does_not_know_are_told_with_their_place(run, table):
    Path("winrate.toml").write_text('[settings]\nfor = "experts"\n')

    result = run("power", table)

    assert result.exit_code == 2
    assert "winrate.toml" in result.stderr


def test_from_standard_input_nothing_is_proposed_since_it_is_read_once(run, table):
    result = run("power", "-", input=Path(table).read_text("utf-8"))

    assert result.exit_code == 0
    assert "next:" not in result.stderr


def test_how_to_read_a_table_goes_with_a_table(run):
    result = run("power", "--map", "card=x")

    assert result.exit_code == 2
    assert "nothing is read without a TABLE" in result.stderr


def test_the_table_is_never_written_over(run, table):
    result = run("power", table, "-o", table, "--force")

    assert result.exit_code == 2
    assert "names the table that is read" in result.stderr
