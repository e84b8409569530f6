"""The command rank."""

import csv
import io
import json
import re
import shlex
import sys
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook


def test_the_line_follows_baseline_and_margin(run, table):
    first = run("rank", table, "--baseline", "0.53", "--margin", "2")
    second = run("rank", table, "--baseline", "53", "--margin", "4")

    assert first.exit_code == second.exit_code == 0
    assert "the line of 51.0%: 2 points under the baseline of 53.0% (given by you)" in (
        " ".join(first.stdout.split())
    )
    assert "the line of 49.0%: 4 points under" in " ".join(second.stdout.split())


def test_the_same_input_and_seed_give_the_same_bytes(run, table):
    for style in ("table", "csv", "json", "md"):
        first = run("rank", table, "--format", style)
        second = run("rank", table, "--format", style)

        assert first.stdout_bytes == second.stdout_bytes


def test_standard_input_gives_what_the_file_gives(run, table):
    named = run("rank", table, "--format", "csv")
    piped = run("rank", "-", "--format", "csv", input=Path(table).read_bytes())

    assert piped.exit_code == 0
    assert piped.stdout_bytes == named.stdout_bytes


def test_only_the_result_is_on_standard_output(run, table):
    record = json.loads(run("rank", table, "--json").stdout)
    rows = list(csv.DictReader(io.StringIO(run("rank", table, "--format", "csv").stdout)))

    assert [row["card"].removeprefix("'") for row in rows] == [
        card["card"] for card in record["cards"]
    ]
    for name in ("estimate", "low", "high", "chance_below", "chance_worst"):
        assert [float(row[name]) for row in rows] == [card[name] for card in record["cards"]]


def test_json_tells_settings_with_origins_seed_and_hash(run, table):
    record = json.loads(run("rank", table, "--json", "--margin", "3", "--seed", "5").stdout)

    assert record["settings"]["margin"] == {"value": 0.03, "origin": "command line: --margin"}
    assert record["seed"] == 5
    assert re.fullmatch("[0-9a-f]{64}", record["source"]["sha256"])


@pytest.mark.parametrize("style", ["csv", "json", "md", "table"])
def test_a_result_can_go_to_a_file_as_it_would_to_the_screen(style, run, table):
    shown = run("rank", table, "--format", style)
    kept = run("rank", table, "--format", style, "-o", "out.txt")

    assert kept.stdout == ""
    assert Path("out.txt").read_bytes() == shown.stdout_bytes


def test_a_file_that_exists_is_refused_before_any_work(run, table):
    Path("out.csv").write_text("mine")
    refused = run("rank", "nowhere.csv", "-o", "out.csv")
    forced = run("rank", table, "--format", "csv", "-o", "out.csv", "--force")

    assert (refused.exit_code, refused.stderr) == (
        2,
        "error: out.csv exists; --force writes over it\n",
    )
    assert forced.exit_code == 0
    assert Path("out.csv").read_text().startswith("card,")


@pytest.mark.parametrize(
    ("name", "style"), [("out.csv", "csv"), ("out.json", "json"), ("out.md", "md")]
)
def test_the_format_follows_the_name_of_the_file(name, style, run, table):
    run("rank", table, "-o", name)

    assert Path(name).read_bytes() == run("rank", table, "--format", style).stdout_bytes


def test_an_ending_that_nothing_can_keep_is_refused_before_any_work(run, table):
    refused = run("rank", "nowhere.csv", "-o", "out.xlsx")

    assert refused.exit_code == 2
    assert refused.stderr.startswith(
        "error: -o must end in .csv, .json, .md, .txt or .html, got .xlsx"
    )
    assert not Path("out.xlsx").exists()


def test_a_workbook_is_written_beside_the_ranking(run, table):
    result = run("rank", table, "--top", "2", "--xlsx", "cuts.xlsx", "--json")

    record = json.loads(result.stdout)["cards"]
    book = CalamineWorkbook.from_path("cuts.xlsx").get_sheet_by_name("Cards").to_python()
    assert result.exit_code == 0
    assert result.stderr.startswith("wrote cuts.xlsx\n")
    assert [row[0] for row in book[1:]] == [card["card"] for card in record]
    assert len(book) == 3


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--xlsx", "cuts.csv"], "error: --xlsx must end in .xlsx, got .csv\n"),
        (["--xlsx", "-"], "error: --xlsx must name a file, got -\n"),
        (["-o", "x.xlsx"], "--xlsx x.xlsx writes that\n"),
        (["--xlsx", "deep/x.xlsx"], "error: there is no folder 'deep' to write x.xlsx to\n"),
    ],
)
def test_a_workbook_that_cannot_be_written_is_refused_before_any_work(options, message, run):
    result = run("rank", "nowhere.csv", *options)

    assert result.exit_code == 2
    assert result.stderr.endswith(message)


def test_a_missing_library_is_told_before_any_work(run, monkeypatch):
    monkeypatch.setitem(sys.modules, "xlsxwriter", None)
    result = run("rank", "nowhere.csv", "--xlsx", "cuts.xlsx")

    assert (result.exit_code, result.stderr) == (
        2,
        'error: --xlsx needs xlsxwriter: pip install "winrate_tools[xlsx]"\n',
    )


def test_estimates_are_for_the_players_asked_for(run, table):
    even = json.loads(run("rank", table, "--json", "--for", "even").stdout)["pool"]
    nobody = run("rank", table, "--for", "nobody")

    assert (even["target"], even["baseline"], even["line"]) == ("even", 0.5, 0.48)
    assert nobody.exit_code == 2
    assert "skill bands of the table (none), got 'nobody'" in nobody.stderr


def test_three_only_where_it_is_asked_for(run, table):
    assert run("rank", table).exit_code == 0
    assert run("rank", table, "--fail-on-cut").exit_code == 3
    assert run("rank", table, "--fail-on-cut", "--baseline", "0.3").exit_code == 0


def test_some_cards_can_be_picked_out(run, table):
    cuts = json.loads(run("rank", table, "--json", "--verdict", "cut").stdout)["cards"]
    weakest = json.loads(run("rank", table, "--json", "--top", "2").stdout)["cards"]

    assert {card["verdict"] for card in cuts} == {"cut"}
    assert len(weakest) == 2
    assert "Shown: 2 of 34 cards." in run("rank", table, "--top", "2").stdout


@pytest.mark.parametrize("columns", [40, 60, 80, 200])
def test_no_number_is_cut_at_any_width(columns, run, table):
    record = json.loads(run("rank", table, "--json").stdout)
    said = run("rank", table, env={"COLUMNS": str(columns)}).stdout

    for card in record["cards"]:
        assert card["shown"]["range"] in said
    assert max(map(len, said.splitlines())) <= columns


def test_formats_agree_on_verdicts_and_digits(run, table):
    record = json.loads(run("rank", table, "--json").stdout)
    table_lines = run("rank", table).stdout.splitlines()
    markdown_lines = run("rank", table, "--format", "md").stdout.splitlines()

    for lines in (table_lines, markdown_lines):
        for card in record["cards"]:
            start = card["card"].split("|")[0]
            [line] = [line for line in lines if re.match(rf"\|? ?{re.escape(start)}\b", line)]
            assert card["verdict"] in line
            assert card["shown"]["estimate"] in line
            assert card["shown"]["range"] in line
            assert card["shown"]["chance_below"] in line


def test_the_next_step_is_on_standard_error(run, table):
    Path("my cards.csv").write_bytes(Path(table).read_bytes())
    plain, named = run("rank", table).stderr, run("rank", "my cards.csv").stderr

    assert plain.endswith(": winrate-tools report cards.csv -o cuts.md\n")
    assert named.endswith(": winrate-tools report 'my cards.csv' -o cuts.md\n")


def test_the_next_step_pasted_judges_as_before(run, table):
    options = ["--baseline", "53%", "--margin", "4", "--map", "wins=wins", "--no-config"]
    judged = json.loads(run("rank", table, *options, "--json").stdout)
    [line] = [
        line for line in run("rank", table, *options).stderr.splitlines() if "next: " in line
    ]

    pasted = shlex.split(line.rpartition(": winrate-tools ")[2])
    record = json.loads(run(*pasted[:-2], "--json").stdout)
    assert pasted == ["report", table, *options[:4], *options[4:], "-o", "cuts.md"]
    assert record["settings"] == judged["settings"]
    assert record["cards"] == judged["cards"]


def test_standard_input_cannot_be_read_again(run, table):
    result = run("rank", "-", input=Path(table).read_bytes())

    assert result.exit_code == 0
    assert "next" not in result.stderr


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ["--margin", "0.02"],
            "error: --margin is in points, and 0.02 is tiny; did you mean 2?",
        ),
        (["--baseline", "smaple"], "did you mean 'sample'?"),
        (["--map", "games"], "--map must be ROLE=HEADER, got 'games'"),
        (["--map", "games=a", "--map", "games=b"], "--map names the role games twice"),
        (["--marign", "2"], "error: there is no option --marign; did you mean '--margin'?"),
        (
            ["--format", "tabel"],
            "--format must be table, csv, json, md or html, got 'tabel'; did you mean 'table'?",
        ),
        (["--verdict", "x"], "error: --verdict must be cut, keep or more games, got 'x'"),
        (["--top", "0"], "error: --top must be a whole number from 1, got '0'"),
        (["--config", "winrat.toml"], "no configuration file 'winrat.toml'"),
    ],
)
def test_misuse_is_told_in_a_line_and_exits_with_2(arguments, message, run, table):
    result = run("rank", table, *arguments)

    assert result.exit_code == 2
    assert result.stdout == ""
    assert message in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr
