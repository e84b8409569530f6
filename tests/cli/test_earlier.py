"""An earlier ranking, read from JSON and checked."""

import json
from pathlib import Path
from typing import Any

import pytest

from winrate_tools.cli.earlier import demand_same_question, demand_shared, earlier_ranking
from winrate_tools.errors import SettingError, TableError
from winrate_tools.settings import Settings

ANEW = "write it anew: winrate-tools rank TABLE --json -o FILE.json"


@pytest.fixture
def old(run, table) -> dict[str, Any]:
    """Write a ranking and return its record."""
    assert run("rank", table, "--json", "-o", "old.json", "--sure", "0.85").exit_code == 0
    return json.loads(Path("old.json").read_text("utf-8"))


def kept(record: object) -> str:
    Path("odd.json").write_text(json.dumps(record), "utf-8")
    return "odd.json"


def test_a_ranking_comes_back_as_it_was(old):
    found = earlier_ranking("old.json")

    assert (found.name, found.version, found.size) == ("cards.csv", "0.1.0", 34)
    assert (found.line, found.sure, found.measure) == (old["pool"]["line"], 0.85, "held")
    assert found.settings["sure"] == 0.85
    assert found.counts == {"strata": (), "has_unheld": False, "usage_columns": ("games",)}
    assert [card.card for card in found.cards] == [card["card"] for card in old["cards"]]
    assert [card.estimate for card in found.cards] == [
        card["estimate"] for card in old["cards"]
    ]


def test_a_report_is_as_good(run, table, old):
    run("report", table, "--json", "-o", "report.json", "--sure", "0.85")

    assert earlier_ranking("report.json") == earlier_ranking("old.json")


def test_a_part_of_a_ranking_knows_that_it_is_one(run, table):
    run("rank", table, "--json", "--top", "3", "-o", "part.json")
    found = earlier_ranking("part.json")

    assert (len(found.cards), found.size) == (3, 34)


def test_a_ranking_that_does_not_tell_its_size_is_whole(old):
    del old["pool"]["size"]

    assert earlier_ranking(kept(old)).size == 34


def test_a_misspelt_file_gets_its_neighbour_offered(old):
    with pytest.raises(SettingError, match=r"no file 'odl\.json'; did you mean 'old\.json'\?"):
        earlier_ranking("odl.json")


@pytest.mark.parametrize(
    ("text", "place", "message"),
    [
        ('{"schema_version": 1,\n "cards": [}\n', "odd.json:2:12", "expecting value"),
        ("card,games,wins\nAsh,3,2\n", "odd.json:1:1", "expecting value"),
        ("", "odd.json:1:1", "expecting value"),
        ('{"a": 1} x', "odd.json:1:10", "extra data"),
        ('{"a": 1,\n', "odd.json:2:1", "expecting property name enclosed in double quotes"),
    ],
)
def test_what_is_no_json_is_refused_with_its_place(text, place, message, folder):
    Path("odd.json").write_text(text)

    with pytest.raises(TableError, match=r"^odd\.json: this is no JSON$") as caught:
        earlier_ranking("odd.json")
    [problem] = caught.value.problems
    assert (problem.place, problem.message, problem.fix) == (place, message, ANEW)
    assert problem.line[problem.start : problem.end] in {"}", "c", "", "x"}


@pytest.mark.parametrize("data", [b"[" * 100_000, b'{"a": "\xff\xfe"}'])
def test_json_that_nobody_can_read_is_refused(data, folder):
    Path("odd.json").write_bytes(data)

    with pytest.raises(TableError, match="this is no JSON that can be read"):
        earlier_ranking("odd.json")


@pytest.mark.parametrize("version", [2, None, "1"])
def test_another_schema_is_refused(version, old):
    with pytest.raises(
        SettingError, match=r"schema_version must be 1, got .*; use the winrate"
    ):
        earlier_ranking(kept({**old, "schema_version": version}))


@pytest.mark.parametrize("command", ["power", "check cards.csv"])
def test_json_of_another_command_is_no_ranking(command, run, table):
    run(*command.split(), "--json", "-o", "other.json")

    with pytest.raises(
        TableError, match=r"^other\.json: no ranking of cards in this file; wri"
    ):
        earlier_ranking("other.json")


@pytest.mark.parametrize("record", [[], "x", 3, None])
def test_json_of_no_object_is_refused(record, folder):
    with pytest.raises(TableError, match=r"^odd\.json: the file must be an object, got "):
        earlier_ranking(kept(record))


@pytest.mark.parametrize(
    ("field", "value", "wanted"),
    [
        ("card", "  ", "a text"),
        ("card", 7, "a text"),
        ("games", -1, "a count or null"),
        ("games", 2.5, "a count or null"),
        ("games", True, "a count or null"),
        ("wins", "3", "a count or null"),
        ("wins", 10**6, "at most its games of"),
        ("estimate", 1.01, "a number from 0 to 1"),
        ("estimate", None, "a number from 0 to 1"),
        ("chance_below", -0.1, "a number from 0 to 1"),
        ("chance_below", False, "a number from 0 to 1"),
        ("verdict", "perhaps", "cut, keep or more games"),
        ("verdict", [], "cut, keep or more games"),
    ],
)
def test_a_card_that_makes_no_sense_is_refused_by_its_place(field, value, wanted, old):
    old["cards"][2][field] = value

    with pytest.raises(
        TableError, match=rf"cards\[2\]\.{field} must be {wanted}.*, got .*anew"
    ):
        earlier_ranking(kept(old))


@pytest.mark.parametrize(
    ("field", "value", "wanted"),
    [
        ("line", 0, "a rate between 0 and 1"),
        ("line", 1, "a rate between 0 and 1"),
        ("baseline", "x", "a number from 0 to 1"),
        ("margin", 2, "a number from 0 to 1"),
        ("sure", 0.5, "above 0.5 and below 1"),
        ("sure", 1, "above 0.5 and below 1"),
        ("measure", 3, "a text"),
        ("target", "", "a text"),
        ("size", 33, "a count from 34"),
        ("size", "all", "a count from 34"),
    ],
)
def test_a_pool_that_makes_no_sense_is_refused(field, value, wanted, old):
    old["pool"][field] = value

    with pytest.raises(TableError, match=rf"pool\.{field} must be {wanted}, got "):
        earlier_ranking(kept(old))


@pytest.mark.parametrize("bound", [0, 1])
def test_the_bounds_themselves_are_fine(bound, old):
    old["cards"][0].update(estimate=bound, chance_below=bound, wins=0, games=0)

    first = earlier_ranking(kept(old)).cards[0]
    assert (first.estimate, first.chance_below, first.games) == (bound, bound, 0)


def test_infinity_is_no_number(old):
    text = json.dumps(old).replace(json.dumps(old["cards"][0]["estimate"]), "Infinity", 1)
    Path("odd.json").write_text(text)

    with pytest.raises(TableError, match=r"cards\[0\]\.estimate must be a number from 0 to 1"):
        earlier_ranking("odd.json")


def test_a_field_that_is_missing_is_named(old):
    del old["cards"][1]["estimate"]

    with pytest.raises(TableError, match=r"cards\[1\]\.estimate must be .*, got 'nothing'"):
        earlier_ranking(kept(old))


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"pool": []}, "pool"),
        ({"source": 3}, "source"),
        ({"settings": []}, "settings"),
        ({"settings": {"sure": 3}}, r"settings\.sure"),
        ({"cards": [3]}, r"cards\[0\]"),
    ],
)
def test_a_part_that_is_no_object_is_named(change, where, old):
    with pytest.raises(TableError, match=rf"^odd\.json: {where} must be an object, got "):
        earlier_ranking(kept({**old, **change}))


def test_one_name_twice_is_refused_whatever_the_spelling(old):
    old["cards"][3]["card"] = f" {old['cards'][2]['card'].upper()}"

    with pytest.raises(TableError, match=r"cards\[3\]\.card must be a name that no other card"):
        earlier_ranking(kept(old))


def test_a_long_value_is_cut_in_the_message(old):
    old["cards"][0]["verdict"] = "x" * 500

    with pytest.raises(TableError) as caught:
        earlier_ranking(kept(old))
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize(
    ("settings", "told"),
    [
        (Settings(measure="deck"), "--since old.json judged with --measure 'held', this run"),
        (Settings(target="even"), "--since old.json judged with --for 'sample', this run with"),
    ],
)
def test_another_question_is_refused(settings, told, old):
    with pytest.raises(SettingError) as caught:
        demand_same_question(earlier_ranking("old.json"), settings, "old.json")

    assert str(caught.value).startswith(told)
    assert "say --" in str(caught.value)


def test_the_same_question_is_asked_whatever_the_spaces(old):
    old["pool"]["target"] = "new:3,  expert:1"
    found = earlier_ranking(kept(old))

    assert demand_same_question(found, Settings(target="new:3,expert:1"), "odd.json") is None


def test_no_shared_card_is_refused():
    with pytest.raises(SettingError, match="tells of none of this table's cards"):
        demand_shared(0, "old.json")
    assert demand_shared(1, "old.json") is None
