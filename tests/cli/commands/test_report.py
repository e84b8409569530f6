"""The command report."""

import json
import re
import sys
from pathlib import Path

import pytest
from python_calamine import CalamineWorkbook

from winrate_tools.errors import OutputError


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
    assert result.stderr.startswith("wrote cuts.md\nwrote its pictures: cuts.")
    assert "\nnext: read it with the people" in result.stderr
    assert Path("cuts.md").read_text("utf-8").startswith("# Cut report for cards.csv\n")


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


def test_ten_lines_go_to_a_chat(run, table):
    said = run("report", table, "--format", "brief")

    assert said.stdout.startswith("34 cards: ")
    assert "a|b <i>" not in said.stdout
    assert 4 <= len(said.stdout.splitlines()) <= 10
    assert said.stderr.endswith("report cards.csv --format brief -o cuts.txt\n")


def test_the_ending_makes_it_a_page(run, table):
    named = run("report", table, "-o", "cuts.html")
    beside = run("report", table, "--html", "beside.htm")
    piped = run("report", table, "--format", "html")

    assert named.stderr.startswith("wrote cuts.html\nnext: ")
    assert beside.stdout == ""
    assert Path("cuts.html").read_text("utf-8").lower().startswith("<!doctype html>")
    assert (
        Path("cuts.html").read_bytes() == Path("beside.htm").read_bytes() == piped.stdout_bytes
    )


def test_one_run_writes_every_form(run, table):
    result = run(
        *("report", table, "-o", "cuts.md", "--html", "cuts.html", "--xlsx", "cuts.xlsx"),
        *("--plot", "cuts.PDF"),
    )

    assert result.exit_code == 0
    assert result.stdout == ""
    assert [line for line in result.stderr.splitlines() if line.startswith("wrote cuts.")] == [
        "wrote cuts.md",
        "wrote cuts.html",
        "wrote cuts.xlsx",
        "wrote cuts.PDF",
    ]
    for name, start in {
        "cuts.xlsx": b"PK",
        "cuts.PDF": b"%PDF",
        "cuts.luck.svg": b"<",
    }.items():
        assert Path(name).read_bytes().startswith(start)


def test_with_a_file_beside_it_the_screen_stays_free_unless_it_is_asked_for(run, table):
    silent = run("report", table, "--xlsx", "a.xlsx")
    told = run("report", table, "--xlsx", "b.xlsx", "--json")
    shown = run("report", table, "--xlsx", "c.xlsx", "--format", "md")

    assert silent.stdout == ""
    assert json.loads(told.stdout)["schema_version"] == 1
    assert shown.stdout.startswith("# Cut report")
    assert Path("a.xlsx").read_bytes() == Path("b.xlsx").read_bytes()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["-o", "x.md", "--html", "x.md"], "error: --html must end in .html or .htm, got .md"),
        (["-o", "x.html", "--html", "x.html"], "error: -o and --html name one file, x.html;"),
        (["--html", "a.html", "--plot", "-"], "error: --plot must name a file, got -"),
        (["--plot", "x.gif"], "error: --plot must end in .png, .svg or .pdf, got .gif"),
        (
            ["-o", "x.md", "--plot", "x.use.svg"],
            "error: --plot and -o name one file, x.use.svg",
        ),
        (
            ["-o", "x.md", "--xlsx", "no/x.xlsx"],
            "error: there is no folder 'no' to write x.xlsx",
        ),
        (["--html", "old.html"], "error: old.html exists; --force writes over it"),
        (["-o", "old.md"], "error: old.luck.svg exists; --force writes over it"),
        (["--html", "cards.html"], "error: --html names the table that is read; name another"),
        (["-o", "x.pdf"], "got .pdf; --plot x.pdf writes that"),
        (["-o", "x.docx"], "name the file so, or say with --format what to write to it"),
    ],
)
def test_an_output_that_cannot_be_is_refused_before_any_work(options, message, run, folder):
    for name in ("old.html", "old.luck.svg", "cards.html"):
        Path(name).write_text("mine")
    before = sorted(path.name for path in folder.iterdir())
    result = run("report", "cards.html", *options)

    assert result.exit_code == 2
    assert result.stdout == ""
    assert message in result.stderr
    assert sorted(path.name for path in folder.iterdir()) == before


def test_a_missing_library_is_told_before_any_work(run, monkeypatch):
    monkeypatch.setitem(sys.modules, "matplotlib", None)
    result = run("report", "nowhere.csv", "--plot", "cuts.png")

    assert (result.exit_code, result.stderr) == (
        2,
        'error: --plot needs matplotlib: pip install "winrate_tools[plot]"\n',
    )


def test_what_fails_while_it_is_made_leaves_nothing_behind(run, table, folder, monkeypatch):
    def fail(*_: object, **__: object) -> None:
        raise OutputError("no room")

    monkeypatch.setattr("winrate_tools.report.cards.sheet.workbook", fail)
    result = run("report", table, "-o", "a.md", "--html", "a.html", "--xlsx", "a.xlsx")

    assert (result.exit_code, result.stderr) == (2, "error: no room\n")
    assert [path.name for path in folder.iterdir()] == ["cards.csv"]


@pytest.fixture
def grown(run, table) -> str:
    """Keep a ranking, then let a card that could not be called win little and often."""
    run("rank", table, "--json", "-o", "old.json", "--baseline", "0.53")
    text = Path(table).read_text("utf-8").replace("Tin Moth,60,29", "Tin Moth,9060,3929")
    Path("new.csv").write_text(text.replace("=X,0,0", "Elm Bell,80,41"), "utf-8")
    return "new.csv"


def test_what_changed_stands_after_the_summary(run, grown):
    said = run("report", grown, "--since", "old.json", "--baseline", "0.53").stdout

    titles = re.findall("^## (.*)$", said, flags=re.MULTILINE)
    assert titles[:3] == ["In one minute", "Since last time", "Cut"]
    assert "33 cards in both. Those cards have 9,000 card-games more than before." in said
    assert re.search(
        r"^\| Tin Moth \| more games \| ▼ cut \| \+9,000 .*\| its games \|$", said, re.MULTILINE
    )
    assert "New here: Elm Bell." in said
    assert "No longer here: =X, of 1 card 0 had been called cut." in said


def test_every_form_that_can_says_what_changed(run, grown):
    options = ("--since", "old.json", "--baseline", "0.53")
    brief = run("report", grown, *options, "--format", "brief").stdout
    record = json.loads(run("report", grown, *options, "--json").stdout)["since"]
    run("report", grown, *options, "--xlsx", "cuts.xlsx")

    assert "Since last time (9,000 card-games more than before): newly cut: Tin Moth (" in brief
    assert [move["card"] for move in record["moves"] if move["verdict"] == "cut"] == [
        "Tin Moth"
    ]
    assert "Since last time" in CalamineWorkbook.from_path("cuts.xlsx").sheet_names
    assert "since" not in json.loads(run("report", grown, "--json").stdout)


def test_a_form_without_room_for_what_changed_says_so(run, grown):
    result = run(
        "report", grown, "--since", "old.json", "--baseline", "0.53", "--format", "csv"
    )

    assert result.exit_code == 0
    assert re.search("^note: .* not hold what changed; ", result.stderr, flags=re.MULTILINE)


@pytest.mark.parametrize(
    "options", [["--format", "html", "-o", "a.html"], ["--html", "a.html"]]
)
def test_the_page_says_what_changed(options, run, grown):
    result = run("report", grown, "--since", "old.json", "--baseline", "0.53", *options)

    page = Path("a.html").read_text(encoding="utf-8")
    assert result.exit_code == 0
    assert "not hold what changed" not in result.stderr
    assert "<h2>Since last time</h2>" in page
    assert "9,000 card-games more than before" in page


def test_the_next_step_keeps_what_it_was_compared_with(run, grown):
    assert "--since old.json -o cuts.md" in run("report", grown, "--since", "old.json").stderr


@pytest.mark.parametrize(
    ("options", "code", "message"),
    [
        (["--since", "nowhere.json"], 2, "error: no file 'nowhere.json'"),
        (["--since", "new.csv"], 1, "error: new.csv: this is no JSON\nnew.csv:1:1: "),
        (["--since", "old.json", "--measure", "deck"], 2, "say --measure 'held', or name"),
        (["--since", "old.json", "--for", "even"], 2, "say --for 'sample', or name a ranking"),
        (["--since", "old.json", "-o", "old.json", "--force"], 2, "names the earlier ranking"),
    ],
)
def test_an_earlier_ranking_that_does_not_fit_is_refused(options, code, message, run, grown):
    result = run("report", grown, *options)

    assert result.exit_code == code
    assert result.stdout == ""
    assert message in result.stderr


def test_a_ranking_of_other_cards_is_refused(run, grown):
    Path("other.csv").write_text("card,games,wins\nFox,900,450\nOwl,900,430\n")
    result = run("report", "other.csv", "--since", "old.json")

    assert result.exit_code == 2
    assert "--since old.json tells of none of this table's cards" in result.stderr
