"""The command config show."""

import csv
import io
import json
from pathlib import Path


def shown(result) -> dict[str, dict[str, str]]:
    return {row["setting"]: row for row in json.loads(result.stdout)["settings"]}


def test_every_setting_has_a_value_an_origin_and_a_meaning(run, folder):
    Path("winrate.toml").write_text("[settings]\nsure = 0.95\n")
    result = run("config", "show", "--margin", "3", "--json", env={"WINRATE_SEED": "9"})

    rows = shown(result)
    assert result.exit_code == 0
    assert (rows["margin"]["value"], rows["margin"]["origin"]) == (
        "3",
        "command line: --margin",
    )
    assert (rows["seed"]["value"], rows["seed"]["origin"]) == ("9", "environment: WINRATE_SEED")
    assert (rows["sure"]["value"], rows["sure"]["origin"]) == ("0.95", "winrate.toml:2:1")
    assert (rows["baseline"]["value"], rows["baseline"]["origin"]) == ("sample", "default")
    assert all(row["meaning"] for row in rows.values())


def test_a_table_brings_the_file_beside_it(run, folder):
    Path("data").mkdir()
    Path("data/winrate.toml").write_text("[settings]\nshortlist = 7\n")
    Path("data/cards.csv").touch()

    row = shown(run("config", "show", "data/cards.csv", "--json"))["shortlist"]
    assert (row["value"], row["origin"]) == ("7", str(Path("data/winrate.toml:2:1")))


def test_a_table_that_is_not_there_is_refused(run, folder):
    Path("cards.csv").touch()
    result = run("config", "show", "cardz.csv")

    assert result.exit_code == 2
    assert result.stderr == "error: no file 'cardz.csv'; did you mean 'cards.csv'?\n"


def test_the_settings_come_in_every_format(run):
    rows = list(csv.DictReader(io.StringIO(run("config", "show", "--format", "csv").stdout)))

    assert [row["setting"] for row in rows][:2] == ["baseline", "margin"]
    assert "- **margin**: 2 (default)." in run("config", "show", "--format", "md").stdout
    assert "- margin: 2 (default)." in run("config", "show").stdout


def test_an_unknown_key_stops_with_its_place(run, folder):
    Path("winrate.toml").write_text("[settings]\nmarign = 2\n")
    result = run("config", "show")

    assert result.exit_code == 2
    assert result.stderr == (
        "error: winrate.toml:2:1: no setting is called 'marign'; did you mean 'margin'?\n"
    )
    assert run("config", "show", "--no-config").exit_code == 0
