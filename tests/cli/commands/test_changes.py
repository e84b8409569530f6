"""The command changes."""

import json
from pathlib import Path

import pytest

from winrate_tools.cli.commands.changes import reasons_in

OLD = "card,copies,faction\nAsh Vine,3,Cog\nTin Moth,1,Cog\nElm Bell,2,Quill\n"
NEW = (
    'card,copies,faction,why\nash vine,2,Cog,"marginal, so fewer"\nElm Bell,2,Quill,\n'
    "Fog Horn,2,Cog,sound\nTin Moth,0,Cog,weak\n"
)


@pytest.fixture
def pools(folder: Path) -> list[str]:
    (folder / "old.csv").write_text(OLD, "utf-8")
    (folder / "new.csv").write_text(NEW, "utf-8-sig")
    return ["changes", "old.csv", "new.csv"]


def test_the_sheet_says_what_changed_and_why(run, pools, folder):
    result = run(*pools, "-o", "changes.md")

    sheet = (folder / "changes.md").read_text("utf-8")
    assert result.exit_code == 0
    assert "| Tin Moth | 1 to 0 | Cog | weak |" in sheet
    assert "| Fog Horn | 0 to 2 | Cog | sound |" in sheet
    assert "marginal, so fewer" in sheet
    assert "next: what 8 seats get to see: winrate-tools packs --pool new.csv" in (
        result.stderr
    )


@pytest.mark.parametrize(("style", "start"), [("csv", "card,"), ("table", "Changes from old")])
def test_every_format_is_written(run, pools, style: str, start: str):
    assert run(*pools, "--format", style).stdout.startswith(start)


def test_reasons_are_only_read_where_they_are_written(run, pools, folder):
    (folder / "new.csv").write_text("Karte;Anzahl\nAsh Vine;3\nTin Moth;1\n", "utf-8")

    result = run(*pools, "--json")

    assert result.exit_code == 0
    assert [one["why"] for one in json.loads(result.stdout)["out"]] == [""]


def test_the_new_pool_may_come_from_standard_input(run, pools):
    result = run("changes", "old.csv", "-", "--json", input=NEW.encode())

    assert [one["card"] for one in json.loads(result.stdout)["into"]] == ["Fog Horn"]
    assert "next:" not in result.stderr
    assert run("changes", "-", "-").exit_code == 2


def test_what_was_assumed_on_reading_is_told(run, pools, folder):
    (folder / "new.csv").write_text(NEW.replace("Fog Horn,2,Cog", "Fog Horn,2,cog"), "utf-8")

    assert "note: faction 'cog' was read as 'Cog'" in run(*pools).stderr


def test_pools_of_different_games_are_refused(run, pools, folder):
    (folder / "new.csv").write_text("card,copies\nSilk Kite,3\n", "utf-8")

    result = run(*pools)

    assert result.exit_code == 1
    assert "no card in common" in result.stderr


@pytest.mark.parametrize("place", ["old.csv", "new.csv"])
def test_a_table_of_counts_in_place_of_a_pool_is_named(run, pools, folder, place: str):
    (folder / place).write_text("card,games,wins\nAsh Vine,90,40\nTin Moth,80,41\n", "utf-8")

    result = run(*pools)

    assert result.exit_code == 2
    assert f"error: {place}: cannot tell which column holds copies" in result.stderr
    assert "a pool was wanted, and its headers are those of a table of cards" in result.stderr
    assert result.stderr.endswith("--map card=HEADER --map copies=HEADER\n")


def test_neither_pool_is_written_over(run, pools):
    for pool in ("old.csv", "new.csv"):
        result = run(*pools, "-o", pool, "--force")

        assert result.exit_code == 2
        assert "names the table that is read" in result.stderr


def test_a_reason_finds_its_card_behind_the_apostrophe_that_guards_a_name(tmp_path):
    path = tmp_path / "new.csv"
    path.write_text("card,copies,why\n'=X,2,'=why\n'quoted',1,so\n", "utf-8")

    assert reasons_in(path) == {"=X": "=why", "'quoted'": "so"}


@pytest.mark.parametrize("mark", [";", "\t"])
def test_reasons_are_found_whatever_parts_the_columns(tmp_path, mark: str):
    path = tmp_path / "new.csv"
    path.write_text(f"card{mark}copies{mark}why\nMoth{mark}1{mark}so, yes\n", "utf-8")

    assert reasons_in(path) == {"Moth": "so, yes"}


def test_both_pools_may_be_read_without_their_bad_rows_and_that_is_said(run, pools, folder):
    (folder / "new.csv").write_text("card,copies\nAsh Vine,3\nTin Moth,trois\n", "utf-8")

    refused, spared = run(*pools), run(*pools, "--skip-bad")

    assert refused.exit_code == 1
    assert "got 'trois'" in refused.stderr
    assert spared.exit_code == 0
    assert "note: left out: new.csv:3:2: " in spared.stderr
