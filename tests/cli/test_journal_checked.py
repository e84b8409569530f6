"""What a journal holds, in words and for programs."""

import datetime as dt
import json

from winrate_tools.cli.journal_checked import (
    journal_csv,
    journal_document,
    journal_json,
    journal_rows,
)
from winrate_tools.journal import JOURNAL_COLUMNS, JournalRow

DAY = dt.date(2026, 1, 9)
ROWS = (
    JournalRow(DAY, "3 out, 3 in", "Kites", 0.48, 0.46, 0.5),
    JournalRow(DAY, "rebuilt", "Moths", seen_on=dt.date(2026, 2, 1), seen=0.5, games=34),
    JournalRow(dt.date(2026, 3, 1), "rebuilt", "Kites"),
)


def said(rows) -> dict[str, str]:
    [section] = journal_document("j.csv", rows).sections
    return {entry.lead: entry.text for entry in section.blocks[0].items}


def test_a_document_says_what_it_is_what_it_holds_and_what_it_is_for():
    entries = said(ROWS)

    assert entries["Kind"].startswith("a journal of changes and forecasts")
    assert entries["Rows"] == "3, 2026-01-09 to 2026-03-01."
    assert entries["Archetypes"] == "Kites, Moths."
    assert entries["Forecasts"] == "1; 1 with what was seen."
    assert "update holds them against the games" in entries["Use"]


def test_a_journal_without_rows_is_one():
    assert said(())["Rows"] == "0."
    assert said(())["Archetypes"] == "none."
    assert journal_csv(()) == f"{','.join(JOURNAL_COLUMNS)}\n"


def test_programs_get_every_row_with_its_days():
    told = json.loads(journal_json("j.csv", ROWS))

    assert (told["kind"], told["source"]) == ("journal", {"name": "j.csv"})
    assert told["rows"] == journal_rows(ROWS)
    assert [(row["date"], row["seen_on"]) for row in told["rows"]] == [
        ("2026-01-09", None), ("2026-01-09", "2026-02-01"), ("2026-03-01", None),
    ]  # fmt: skip
    assert journal_csv(ROWS).splitlines()[0] == ",".join(JOURNAL_COLUMNS)
    assert journal_csv(ROWS).splitlines()[2].startswith("2026-01-09,rebuilt,Moths,,,,0.9,")


def test_the_command_names_the_one_that_reads_it(run, folder):
    (folder / "j.csv").write_text(journal_csv(ROWS), "utf-8")
    result = run("check", "j.csv")

    assert result.exit_code == 0
    assert "- Kind: a journal of changes and forecasts" in result.stdout
    assert result.stderr == (
        "next: winrate-tools update TABLE --matches FILE --journal j.csv\n"
    )
    assert json.loads(run("check", "j.csv", "--json").stdout)["kind"] == "journal"
    assert run("check", "j.csv", "--format", "csv").stdout == journal_csv(ROWS)


def test_what_is_wrong_in_it_is_told_with_its_place(run, folder):
    (folder / "j.csv").write_text(journal_csv(ROWS) + "soon,x,Kites,,,,,,,,,\n", "utf-8")
    result = run("check", "j.csv")

    assert result.exit_code == 1
    assert "j.csv:5:1: date must be a day such as 2026-01-31, got 'soon'" in result.stderr


def test_the_user_may_say_that_it_is_something_else(run, folder):
    (folder / "j.csv").write_text(journal_csv(ROWS), "utf-8")

    assert (
        "read as a table of archetypes" in run("check", "j.csv", "--kind", "archetypes").stdout
    )
    assert "read as a table" in run("check", "j.csv", "--map", "wins=seen").stdout
