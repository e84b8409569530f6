"""The command packs."""

import csv
import io
import json
from pathlib import Path

import pytest

from winrate_tools.cli.commands.packs import places_asked
from winrate_tools.errors import SettingError
from winrate_tools.ingest.roles.memory import remember_mapping

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data" / "pool.csv"
HEAD = "card,copies,slot,faction"


@pytest.fixture
def pool(folder: Path) -> str:
    """Write a pool of 100 cards and 10 lanterns."""
    moths = [f"Moth {n},{1 + n % 3},main,Wick" for n in range(50)]
    lights = [f"Light {n},1,lantern,Cog" for n in range(10)]
    (folder / "pool.csv").write_text("\n".join([HEAD, *moths, *lights, ""]), "utf-8")
    return "pool.csv"


def test_the_sample_pool_is_said_in_words(run):
    result = run("packs", "--pool", SAMPLE, "--seats", 5, "--packs", 3, "--size", 15)
    said = " ".join(result.stdout.split())

    assert result.exit_code == 0
    assert "225 of the pool's 530 cards are dealt (42%)" in said
    assert "8 in 10 drafts deal 42 to 54 cards" in said
    assert "One seat looks at 65 cards a round" in said
    assert "Not shown: 230 more." in said


def test_the_next_step_repeats_what_was_asked_and_runs(run, pool):
    result = run("packs", "--pool", pool, "--seats", 3, "--packs", 2, "--size", 9,
                 "--slot", "lantern=0", "--top", 3)  # fmt: skip

    assert result.stderr.splitlines()[-1] == (
        "next: every card, for a spreadsheet: winrate-tools packs --pool=pool.csv --seats 3 "
        "--packs 2 --size 9 --slot lantern=0 -o packs.csv"
    )
    again = run(*result.stderr.splitlines()[-1].partition("winrate-tools ")[2].split())
    assert again.exit_code == 0
    assert len(Path("packs.csv").read_text().splitlines()) == 61


@pytest.mark.parametrize(
    "options", [["--format", "csv"], ["--json"], ["-o", "packs.csv"], ["--top", "60"]]
)
def test_who_has_every_card_already_is_not_told_how_to_get_it(options, run, pool):
    assert "next:" not in run("packs", "--pool", pool, "--seats", 2, *options).stderr


def test_who_has_a_part_of_the_cards_is_told_how_to_get_every_one(run, pool):
    asked = ("packs", "--pool", pool, "--seats", 2)

    assert "next: every card" in run(*asked).stderr
    assert "next: every card" in run(*asked, "--json", "--top", 59).stderr


def test_a_pack_is_three_times_fifteen_cards_unless_said_otherwise(run, pool):
    record = json.loads(run("packs", "--pool", pool, "--seats", 2, "--json").stdout)

    assert record["draft"] == {"seats": 2, "packs": 3, "size": 15}
    assert [slot["places"] for slot in record["slots"]] == [14, 1]


def test_a_pool_too_small_is_an_answer_with_a_table_to_try(run, pool):
    result = run("packs", "--pool", pool, "--seats", 4)

    assert result.exit_code == 0
    assert "The pool is too small for 4 seats" in result.stdout
    assert "2 too few" in result.stdout
    assert result.stderr.splitlines()[-1] == (
        "next: a table that the pool serves: winrate-tools packs --pool=pool.csv --seats 2 "
        "--packs 3 --size 15"
    )


def test_where_fewer_seats_do_not_help_fewer_packs_are_offered(run, pool):
    few_packs = run("packs", "--pool", pool, "--seats", 5, "--packs", 6)
    hopeless = run("packs", "--pool", pool, "--seats", 20, "--packs", 6)

    assert "--seats 5 --packs 1 --size 15" in few_packs.stderr.splitlines()[-1]
    assert hopeless.exit_code == 0
    assert "It serves no table of such packs." in hopeless.stdout
    assert hopeless.stderr == ""


def test_top_limits_the_cards_in_every_format(run, pool):
    asked = ("packs", "--pool", pool, "--seats", 2)
    shown = run(*asked, "--top", 2).stdout
    rows = list(csv.DictReader(io.StringIO(run(*asked, "--format", "csv").stdout)))
    two = list(csv.DictReader(io.StringIO(run(*asked, "--format", "csv", "--top", 2).stdout)))

    assert "Not shown: 58 more." in shown
    assert len(rows) == 60
    assert two == rows[:2]
    assert len(json.loads(run(*asked, "--json", "--top", 2).stdout)["cards"]) == 2
    assert "Not shown: 50 more." in run(*asked, "--format", "md").stdout


def test_columns_can_be_told_and_notes_are_said(run, folder):
    rows = "\n".join(f"Moth {n};2" for n in range(50))
    (folder / "other.csv").write_text(f"wer;x\n{rows}\nMoth 0;1\n", "utf-8")

    result = run("packs", "--pool", "other.csv", "--seats", 2, "--packs", 1,
                 "--map", "card=wer", "--map", "copies=x", "--sum-duplicates")  # fmt: skip

    assert result.exit_code == 0
    assert "30 of the pool's 101 cards" in result.stdout
    assert "note: " in result.stderr
    assert "--map card=wer --map copies=x --sum-duplicates" in result.stderr


def test_a_pool_can_come_from_standard_input(run, pool):
    result = run("packs", "--pool", "-", "--seats", 2, input=Path(pool).read_text())

    assert result.exit_code == 0
    assert "What 2 seats see of <stdin>" in result.stdout
    assert "next:" not in result.stderr


def test_where_nobody_can_tell_which_column_is_which_somebody_is_asked(
    run, folder, monkeypatch
):
    (folder / "odd.csv").write_text("wer,x\nMoth,40\nOar,50\n", "utf-8")
    monkeypatch.setattr("winrate_tools.cli.loading.can_ask", lambda _: True)
    monkeypatch.setattr("winrate_tools.cli.loading.ask", lambda _: {"card": 1, "copies": 2})

    result = run("packs", "--pool", "odd.csv", "--seats", 2)

    assert result.exit_code == 0
    assert "90 of the pool's 90 cards" in result.stdout


def test_columns_that_nobody_can_tell_apart_exit_with_2(run, folder):
    (folder / "odd.csv").write_text("wer,x\nMoth,40\nOar,50\n", "utf-8")

    result = run("packs", "--pool", "odd.csv", "--seats", 2)

    assert result.exit_code == 2
    assert "--map" in result.stderr


def test_a_bad_pool_exits_with_1_and_its_place(run, folder):
    (folder / "bad.csv").write_text("card,copies\nMoth,1.5\nOar,50\n", "utf-8")

    result = run("packs", "--pool", "bad.csv", "--seats", 2)

    assert result.exit_code == 1
    assert "bad.csv:2:2" in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["--seats", "1"], "seats must be a whole number from 2 to 100, got 1"),
        (["--seats", "-3"], "seats must be a whole number from 2 to 100, got -3"),
        (["--seats", "five"], "--seats must be a whole number, got 'five'"),
        ([], "--seats is missing"),
        (["--seats", "5", "--packs", "0"], "packs must be a whole number from 1 to 20, got 0"),
        (["--seats", "5", "--size", "0"], "size must be a whole number from 1 to 100, got 0"),
        (["--seats", "5", "--top", "0"], "--top must be a whole number from 1, got '0'"),
        (["--seats", "5", "--slot", "latern=1"], "one of the pool's, got 'latern'; it has lan"),
        (["--seats", "5", "--slot", "lantern=16"], "must fit into a pack of 15, got 16 places"),
        (["--seats", "5", "--slot", "main=3"], "the main slot fills what the others leave"),
        (["--seats", "5", "--slot", "lantern"], "--slot must be NAME=PLACES with a whole"),
    ],
)
def test_misuse_is_told_in_a_line_and_exits_with_2(arguments, message, run, pool):
    result = run("packs", "--pool", pool, *arguments)

    assert result.exit_code == 2
    assert result.stdout == ""
    assert message in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


def test_bad_rows_are_left_out_where_asked_for(run, folder):
    (folder / "bad.csv").write_text("card,copies\nMoth,1.5\nOar,60\nElm,30\n", "utf-8")

    result = run("packs", "--pool", "bad.csv", "--seats", 2, "--skip-bad", "--top", 1)

    assert result.exit_code == 0
    assert "90 of the pool's 90 cards" in result.stdout
    assert "--skip-bad" in result.stderr.splitlines()[-1]


def test_the_decimal_mark_can_be_told(run, folder):
    (folder / "big.csv").write_text("card;copies\nMoth;1.234\nOar;90\n", "utf-8")

    point = run("packs", "--pool", "big.csv", "--seats", 2, "--decimal", ".")
    comma = run("packs", "--pool", "big.csv", "--seats", 2, "--decimal", ",")

    assert point.exit_code == 1
    assert "90 of the pool's 1,324 cards" in comma.stdout


def test_kept_columns_count_unless_told_otherwise(run, folder):
    head = ("copies", "card", "number")
    (folder / "kept.csv").write_text(f"{','.join(head)}\n30,Moth,50\n40,Oar,60\n", "utf-8")
    remember_mapping(folder, head, {"card": "card", "copies": "number"})

    kept = run("packs", "--pool", "kept.csv", "--seats", 2, "--packs", 1)
    plain = run("packs", "--pool", "kept.csv", "--seats", 2, "--packs", 1, "--no-config")

    assert "of the pool's 110 cards" in kept.stdout
    assert "of the pool's 70 cards" in plain.stdout


def test_a_pool_that_is_not_there_is_told_with_the_nearest_file(run, pool):
    result = run("packs", "--pool", "pol.csv", "--seats", 2)

    assert result.exit_code == 2
    assert "no file 'pol.csv'; did you mean 'pool.csv'?" in result.stderr


def test_the_pool_is_never_written_over(run, pool):
    before = Path(pool).read_bytes()

    result = run("packs", "--pool", pool, "--seats", 2, "-o", pool, "--force")

    assert result.exit_code == 2
    assert Path(pool).read_bytes() == before


@pytest.mark.parametrize("text", ["=1", "lantern=", "lantern=-1", "lantern=1.5", "lantern"])
def test_places_that_are_none_are_refused(text):
    with pytest.raises(SettingError, match="--slot must be NAME=PLACES"):
        places_asked([text])


def test_a_slot_may_be_named_once_and_hold_an_equals_sign():
    assert places_asked(["a=b=2", " sky = 3"]) == {"a=b": 2, "sky": 3}
    with pytest.raises(SettingError, match="--slot names the slot sky twice"):
        places_asked(["sky=1", "sky=2"])
