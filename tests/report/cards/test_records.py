"""Records for other programs."""

import csv
import io
import json
from dataclasses import fields

import pytest

from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.cards.spread import spread_range
from winrate_tools.report.cards import records
from winrate_tools.report.cards.ranking import ranking_document
from winrate_tools.report.forms import text
from winrate_tools.settings import Settings


@pytest.fixture
def record(pool, source) -> dict:
    written = records.json_text(
        pool,
        pool.cards,
        source,
        Settings(margin=0.02),
        origins={"margin": "command line: --margin"},
        version="0.1.0",
    )
    assert written.isascii()
    return json.loads(written)


def test_csv_reads_back_to_the_same_numbers(pool):
    rows = list(csv.DictReader(io.StringIO(records.csv_text(pool.cards))))

    assert list(rows[0]) == list(RANKING_COLUMNS)
    numbers = ("estimate", "low", "high", "chance_below", "chance_worst")
    for name in numbers:
        assert [float(row[name]) for row in rows] == [
            getattr(card, name) for card in pool.cards
        ]


def test_unknown_is_blank_in_csv(make_card):
    card = make_card("Ash Vine", 0.49, games=None, games_needed=None)
    [row] = csv.DictReader(io.StringIO(records.csv_text([card])))

    assert [row[name] for name in ("games", "wins", "win_rate", "games_needed")] == [""] * 4


@pytest.mark.parametrize("name", ["=1+1", "+x", "-x", "@x", "\tx"])
def test_no_name_starts_a_formula(name: str, make_card):
    [row] = csv.DictReader(io.StringIO(records.csv_text([make_card(name, 0.5, role=name)])))

    assert (row["card"], row["role"]) == (f"'{name}", f"'{name}")


@pytest.mark.parametrize("name", ["None", "NaN", "007", "1E5", 'a "b", c', "two\nlines"])
def test_odd_names_survive_csv(name: str, make_card):
    [row] = csv.DictReader(io.StringIO(records.csv_text([make_card(name, 0.5)])))

    assert row["card"] == name


def test_json_follows_its_schema(record):
    assert record["schema_version"] == 1
    assert list(record) == [
        "schema_version",
        "version",
        "seed",
        "source",
        "settings",
        "pool",
        "cards",
        "warnings",
    ]
    assert list(record["source"]) == ["name", "sha256", "notes", "roles"]
    assert list(record["settings"]) == [field.name for field in fields(Settings)]
    assert record["settings"]["margin"] == {"value": 0.02, "origin": "command line: --margin"}
    assert record["settings"]["seed"] == {"value": 1, "origin": "default"}
    assert set(RANKING_COLUMNS) <= set(record["cards"][0])


def test_json_holds_every_digit(record, pool):
    assert [card["low"] for card in record["cards"]] == [card.low for card in pool.cards]
    assert record["pool"]["spread"] == pool.spread
    ends = spread_range(pool)._asdict()
    assert ends == {name: record["pool"][name] for name in ends}
    assert list(ends) == ["spread_low", "spread_high", "real_share_low", "real_share_high"]
    assert record["pool"]["outlook"][1] == {"times": 10, "settled": 5.5, "newly": 1.75}


def test_json_shows_the_digits_that_the_terminal_shows(record, pool, source):
    said = text.render(ranking_document(pool, source, pool.cards))

    lines = {line[:20].strip(): line for line in said.splitlines()}
    for card in record["cards"]:
        line = lines[card["card"][:20].strip()]
        assert card["verdict"] in line
        assert [fact for fact in _plain(card["shown"]) if fact not in line] == []


def _plain(shown: dict[str, str]) -> list[str]:
    return [text for name, text in shown.items() if name != "chance_worst"]


def test_rows_become_csv_with_a_header():
    assert records.rows_csv([{"a": 1, "b": "=x"}, {"a": None, "b": 0.5}]) == (
        "a,b\n1,'=x\n,0.5\n"
    )


def test_an_object_starts_with_the_version_of_its_schema():
    assert json.loads(records.object_json(a=[1])) == {"schema_version": 1, "a": [1]}
