"""The command report."""

import json
from pathlib import Path


def test_the_report_is_markdown_on_standard_output(run, table):
    result = run("report", table)

    assert result.exit_code == 0
    assert result.stdout.startswith("# Cut report for cards.csv\n\n## In one minute\n")
    assert (
        result.stderr == "next: keep it in a file: winrate-tools report cards.csv -o cuts.md\n"
    )


def test_the_report_goes_into_a_file_and_says_so(run, table):
    result = run("report", table, "-o", "cuts.md")

    assert result.stdout == ""
    assert result.stderr.startswith("wrote cuts.md\nnext: ")
    assert Path("cuts.md").read_bytes() == run("report", table, "-o", "-").stdout_bytes


def test_names_cannot_pass_for_markup(run, table):
    rows = Path(table).read_text("utf-8").replace("Ash Vine", "c|d <b>")
    Path(table).write_text(rows, "utf-8")

    assert "c\\|d \\<b\\>" in run("report", table).stdout


def test_the_report_comes_in_every_format(run, table):
    assert json.loads(run("report", table, "--json").stdout)["schema_version"] == 1
    assert run("report", table, "--format", "csv").stdout.startswith("card,")
    assert run("report", table, "--format", "table").stdout.startswith(
        "Cut report for cards.csv\n="
    )


def test_what_was_chosen_is_stated(run, table):
    said = run("report", table, "--margin", "3", "--baseline", "0.52").stdout

    assert "baseline: command line: --baseline; margin: command line: --margin" in said
    assert "3 points under the baseline of 52.0% (given by you)" in said


def test_the_next_step_keeps_options_and_format(run, table):
    said = run("report", table, "--margin", "3", "--json", "--no-config").stderr

    assert said.endswith("report cards.csv --margin 3 --no-config -o cuts.json\n")
    assert "next" not in run("report", "-", input=Path(table).read_bytes()).stderr
