"""A table's own games as records for other programs."""

import csv
import datetime as dt
import json
from io import StringIO

from tests.report.home_updates import UPDATE
from winrate_tools.decide.home.journal import Review
from winrate_tools.journal import JournalRow
from winrate_tools.report.home.home_records import COLUMNS, home_csv, home_json
from winrate_tools.settings import Settings
from winrate_tools.tables import Source

ROW = JournalRow(dt.date(2026, 1, 9), "3 in", "Kites")


def test_the_csv_has_a_row_for_each_player_archetype_and_card():
    rows = list(csv.DictReader(StringIO(home_csv(UPDATE))))

    assert list(rows[0]) == list(COLUMNS)
    assert [(row["kind"], row["name"]) for row in rows] == [
        ("player", "Ada"),
        ("player", "Bo"),
        ("archetype", "Kites"),
        ("archetype", "Bells"),
        ("archetype", "Moths"),
        ("card", "Ash Vine"),
    ]
    assert rows[0]["estimate"] == "0.55"
    assert rows[0]["before"] == rows[2]["games_needed"] == rows[5]["wins"] == ""
    assert (rows[2]["before"], rows[2]["before_verdict"]) == ("0.453", "underpowered")
    assert (rows[3]["games_needed"], rows[3]["nights_needed"]) == ("1234", "73")
    assert (rows[5]["before"], rows[5]["before_verdict"]) == ("0.544", "keep")


def test_the_json_tells_all_with_days_as_text():
    told = json.loads(
        home_json(
            UPDATE,
            [Review(ROW, "no forecast")],
            [Source("home.csv", "abc")],
            Settings(),
            origins={"margin": "command line: --margin"},
            version="1.2",
        )
    )

    assert (told["version"], told["seed"], told["schema_version"]) == ("1.2", 1, 1)
    assert told["settings"]["margin"]["origin"] == "command line: --margin"
    assert told["table"]["first"] == "2026-01-09"
    assert told["table"]["usual"] == {"usual": 0.1, "stray_share": 0.05, "is_learnt": False}
    assert "players" not in told["table"]
    assert [player["player"] for player in told["players"]] == ["Ada", "Bo"]
    assert told["archetypes"][0]["never"] == "too slow"
    assert told["changes"][0]["date"] == "2026-01-09"
    assert told["changes"][0]["archetype"]["archetype"] == "Kites"
    assert told["cards"][0]["card"] == "Ash Vine"
    assert told["journal"][0]["row"]["date"] == "2026-01-09"
    assert told["sources"][0]["name"] == "home.csv"
    assert told["warnings"] == []
