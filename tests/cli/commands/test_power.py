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
    assert "next: winrate-tools rank TABLE" in result.stderr


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


def test_a_table_is_sent_to_rank_and_back(run):
    result = run("power", "kitchen.csv")

    assert result.exit_code == 2
    assert "power reads no table: rank names the baseline of kitchen.csv" in result.stderr
    assert "winrate-tools power --baseline 48.7% --games 5,18,40" in result.stderr
