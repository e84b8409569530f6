"""A plan as records for other programs."""

import csv
import io
import json
from dataclasses import fields, replace

from tests.report.plans import EMPTY, FULL
from winrate_tools.decide.plan.moves import Plan, Staying
from winrate_tools.goals import Goals, Quota
from winrate_tools.report.plan.plan_records import COLUMNS, plan_csv, plan_json
from winrate_tools.tables import Source

SOURCE = Source("pool.csv", "ab")


def test_the_csv_has_a_row_a_move_with_every_digit():
    rows = list(csv.DictReader(io.StringIO(plan_csv(FULL))))

    assert list(rows[0]) == list(COLUMNS)
    assert [row["card"] for row in rows] == ["Ash Vine", "Elm Bell", "Fog Horn", "'=X|y"]
    assert rows[0]["estimate"] == "0.4712"
    assert rows[0]["reasons"] == "trap; unplayed"
    assert (rows[0]["copies_before"], rows[0]["copies_after"]) == ("3", "0")
    assert (rows[2]["cost"], rows[3]["cost"], rows[1]["faction"]) == ("3.75", "", "")


def test_a_plan_without_moves_is_a_header():
    assert plan_csv(EMPTY) == ",".join(COLUMNS) + "\n"


def test_the_json_holds_all_of_it():
    goals = Goals(quotas=(Quota("role", "guest", 3),), copies=(("rare", 1),))
    told = replace(
        FULL, staying=(Staying("Tin Moth", True),), unlabelled=("role",), is_whole=False
    )

    found = json.loads(
        plan_json(told, [SOURCE], goals, origins={"quotas": "here"}, seed=4, version="9")
    )

    assert (found["schema_version"], found["version"], found["seed"]) == (1, "9", 4)
    assert found["sources"][0]["name"] == "pool.csv"
    assert found["goals"]["quotas"] == {
        "value": [{"label": "role", "name": "guest", "low": 3, "high": None}],
        "origin": "here",
    }
    assert found["goals"]["copies"] == {"value": [["rare", 1]], "origin": "default"}
    assert found["goals"]["keep"]["value"] == ["faction", "rarity"]
    assert found["moves"][2]["why"] == "sound; helps Kites"
    assert found["moves"][0]["reasons"] == ["trap", "unplayed"]
    assert found["swaps"][0]["into"] == "Fog Horn"
    assert found["outcomes"][0]["chance_up"] == 0.8
    assert found["floor"]["dealt"] == 30
    assert found["bounds"][0] == {"name": "budget", "amount": 3.75, "bound": 4.0}
    assert found["pool"][1]["is_protected"] is True
    assert found["staying"] == [
        {"card": "Tin Moth", "is_protected": True, "why": None, "archetype": None}
    ]
    assert (found["unlabelled"], found["is_whole"]) == (["role"], False)
    assert {field.name for field in fields(Plan)} <= set(found)
