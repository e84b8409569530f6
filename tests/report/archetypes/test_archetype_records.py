"""Judged archetypes for other programs."""

import csv
import io
import json

from tests.report.archetype_pools import POOL
from winrate_tools.columns import ARCHETYPE_COLUMNS
from winrate_tools.report.archetypes.archetype_records import (
    USED,
    archetypes_csv,
    archetypes_json,
)
from winrate_tools.settings import Settings
from winrate_tools.tables import Source

SOURCES = [Source("cards.csv", "ab", {"card": "Karte"}, ("note",)), Source("decks.csv")]


def record() -> dict:
    origins = {"sure": "command line: --sure"}
    written = archetypes_json(
        POOL, SOURCES, Settings(sure=0.95), origins=origins, version="9.9"
    )
    return json.loads(written)


def test_csv_has_the_glossarys_columns_and_every_digit():
    rows = list(csv.DictReader(io.StringIO(archetypes_csv(POOL))))

    assert list(rows[0]) == list(ARCHETYPE_COLUMNS)
    assert [float(row["estimate"]) for row in rows] == [one.estimate for one in POOL.archetypes]
    assert [row["verdict"] for row in rows] == [one.verdict for one in POOL.archetypes]


def test_csv_leaves_the_unknown_blank_and_starts_no_formula():
    rows = {row["archetype"]: row for row in csv.DictReader(io.StringIO(archetypes_csv(POOL)))}

    assert rows["Looms"]["win_rate"] == ""
    assert "'=Moths" in rows


def test_json_tells_sources_settings_and_warnings():
    found = record()

    assert (found["schema_version"], found["version"], found["seed"]) == (1, "9.9", 1)
    assert [source["name"] for source in found["sources"]] == ["cards.csv", "decks.csv"]
    assert found["sources"][0]["roles"] == {"card": "Karte"}
    assert found["settings"]["sure"] == {"value": 0.95, "origin": "command line: --sure"}
    assert found["settings"]["margin"]["origin"] == "default"
    assert tuple(found["settings"]) == USED
    assert found["warnings"] == []
    assert found["pool"]["low_line"] == POOL.low_line
    assert {"archetypes", "warnings", "seed"} & found["pool"].keys() == set()


def test_json_has_every_archetype_with_numbers_and_printed_digits():
    bells = record()["archetypes"][0]

    assert bells["estimate"] == POOL.archetypes[0].estimate
    assert bells["drags"][0] == {
        "card": "Tin Moth",
        "pull": -0.0031,
        "low": -0.0052,
        "high": -0.001,
        "chance": 0.97,
    }
    assert bells["shown"] == {
        "estimate": "50.4%",
        "range": "49.1 to 51.7%",
        "chance": "over 19 in 20 below",
        "cards_part": "+0.4",
        "own_part": "-5.0",
        "games_needed": "settled",
    }
