"""The command archetypes."""

import csv
import io
import json
from pathlib import Path

import pytest

RATES = {"Kites": 0.5, "Moths": 0.56, "Bells": 0.45}


@pytest.fixture
def cards(folder: Path) -> str:
    """Write three archetypes of six cards each, of which two are shared by all."""
    lines = ["card,archetype,games,wins"]
    for archetype, rate in RATES.items():
        names = ["Lamp", "Tin Moth", *(f"{archetype} {number}" for number in range(4))]
        lines += [f"{name},{archetype},9000,{round(9000 * rate)}" for name in names]
    (folder / "by archetype.csv").write_text("\n".join([*lines, ""]), "utf-8")
    return "by archetype.csv"


@pytest.fixture
def decks(folder: Path) -> str:
    lines = [f"{name};6.000;{round(6 * rate, 3):.3f}" for name, rate in RATES.items()]
    (folder / "decks.csv").write_text("\n".join(["Deck;Spiele;Siege", *lines, ""]), "utf-8")
    return "decks.csv"


def verdicts(result) -> dict[str, str]:
    return {one["archetype"]: one["verdict"] for one in json.loads(result.stdout)["archetypes"]}


PASTED = (("archetype", "a"), ("wins", "c"), ("games", "b"))
FOUND = {"Bells": "underpowered", "Kites": "balanced", "Moths": "overpowered"}


def test_cards_by_archetype_are_enough(run, cards):
    result = run("archetypes", cards, "--json")

    assert result.exit_code == 0
    assert verdicts(result) == FOUND
    assert json.loads(result.stdout)["warnings"] == ["estimated games", "no skill bands"]
    assert ": winrate-tools rank 'by archetype.csv'\n" in result.stderr


def test_games_of_whole_decks_can_be_added(run, cards, decks):
    result = run("archetypes", cards, "--archetypes", decks, "--json")
    record = json.loads(result.stdout)

    assert verdicts(result) == FOUND
    assert [source["name"] for source in record["sources"]] == [cards, decks]
    assert {one["games"] for one in record["archetypes"]} == {6000}
    assert all(one["cards_part"] is not None for one in record["archetypes"])


def test_a_table_of_archetypes_alone_gives_strengths_only(run, decks):
    result = run("archetypes", decks, "--json")

    assert verdicts(result) == FOUND
    assert {one["cards_part"] for one in json.loads(result.stdout)["archetypes"]} == {None}
    assert "next:" not in result.stderr


def test_a_table_of_archetypes_with_other_text_is_not_taken_for_cards(run, folder: Path):
    lines = [f"{name},remark {name},6000,{round(6000 * r)}" for name, r in RATES.items()]
    (folder / "a.csv").write_text("\n".join(["archetype,note,games,wins", *lines, ""]))

    assert verdicts(run("archetypes", "a.csv", "--json")) == FOUND


def test_standard_input_gives_what_the_file_gives(run, cards, decks):
    for name in (cards, decks):
        named = run("archetypes", name, "--format", "csv")
        piped = run("archetypes", "-", "--format", "csv", input=Path(name).read_bytes())

        assert piped.exit_code == 0, piped.stderr
        assert piped.stdout_bytes == named.stdout_bytes


def test_csv_reads_back_and_cautions_go_to_the_side(run, cards):
    result = run("archetypes", cards, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(result.stdout)))

    assert {row["archetype"]: row["verdict"] for row in rows} == FOUND
    assert "note: Games of decks are not known." in result.stderr


@pytest.mark.parametrize("style", ["table", "md"])
def test_people_read_verdicts_parts_and_cards(style, run, cards):
    said = " ".join(run("archetypes", cards, "--format", style).stdout.split())

    for words in ("▼ underpowered", "▲ overpowered", "Cards' part", "Cards that drag it most"):
        assert words in said


def test_a_result_can_go_to_a_file(run, decks):
    shown = run("archetypes", decks, "--format", "csv")
    kept = run("archetypes", decks, "--format", "csv", "-o", "out.csv")
    refused = run("archetypes", decks, "-o", "out.csv")

    assert kept.stdout == ""
    assert Path("out.csv").read_bytes() == shown.stdout_bytes
    assert (refused.exit_code, refused.stderr) == (
        2,
        "error: out.csv exists; --force writes over it\n",
    )


def test_markdown_in_a_file_has_its_picture_beside_it(run, decks):
    run("archetypes", decks, "-o", "out.md")

    assert "](out.archetypes.svg)" in Path("out.md").read_text(encoding="utf-8")
    assert Path("out.archetypes.svg").read_text(encoding="utf-8").startswith("<svg")


def test_margin_and_sureness_move_the_verdicts(run, decks):
    wide = run("archetypes", decks, "--json", "--margin", "8")
    doubting = run("archetypes", decks, "--json", "--margin", "5", "--sure", "0.999")

    assert set(verdicts(wide).values()) == {"balanced"}
    assert "unsettled" in verdicts(doubting).values()
    assert json.loads(wide.stdout)["settings"]["margin"] == {
        "value": 0.08,
        "origin": "command line: --margin",
    }


def test_the_same_input_and_seed_give_the_same_bytes(run, cards):
    for style in ("table", "csv", "json", "md"):
        first = run("archetypes", cards, "--format", style)
        second = run("archetypes", cards, "--format", style)

        assert first.stdout_bytes == second.stdout_bytes


def test_columns_of_both_files_can_be_named(run, folder: Path):
    rows = [f"{name},c{k},900,{round(900 * r)}" for name, r in RATES.items() for k in range(5)]
    (folder / "c.csv").write_text("\n".join(["a,b,c,d", *rows, ""]))
    decks = [f"{name},6000,{round(6000 * r)}" for name, r in RATES.items()]
    (folder / "d.csv").write_text("\n".join(["a,b,c", *decks, ""]))
    own = ["--map", "archetype=a", "--map", "card=b", "--map", "games=c", "--map", "wins=d"]
    asked = run("archetypes", "c.csv", *own, "--archetypes", "d.csv")

    assert asked.exit_code == 2
    paste = (
        '--archetypes-map archetype="a" --archetypes-map wins="c" --archetypes-map games="b"'
    )
    assert paste in asked.stderr
    pasted = paste.replace('"', "").split()
    answered = run("archetypes", "c.csv", *own, "--archetypes", "d.csv", *pasted, "--json")
    assert verdicts(answered) == FOUND


def test_the_columns_of_the_cards_can_be_remembered(run, cards):
    result = run("archetypes", cards, "--remember", "--json")

    assert "note: the columns' roles are kept in winrate.toml" in result.stderr
    assert verdicts(run("archetypes", cards, "--json")) == FOUND


@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (["cards.csv"], 2, "cards.csv names no archetypes; say which column does with --map"),
        (["decks.csv", "--archetypes", "decks.csv"], 2, "decks.csv lists archetypes itself"),
        (["none.csv"], 2, "no file 'none.csv'"),
        (["by archetype.csv", "--archetypes", "none.csv"], 2, "no file 'none.csv'"),
        (["decks.csv", "--margin", "0.02"], 2, "margin is in points, and 0.02 is tiny"),
        (["decks.csv", "--margin", "49.9"], 2, "margin must be below 0.4967"),
        (["decks.csv", "--map", "rarity=1"], 2, "cannot tell which column holds card"),
        (["decks.csv", "--map", "card=Deck", "--no-config"], 2, "names no archetypes"),
        (["one.csv"], 1, "at least two archetypes with games were wanted, got 1"),
        (["bad.csv"], 1, "wins 9 is more than games 8"),
    ],
)
def test_trouble_is_told_in_a_line(arguments, code, message, run, table, cards, decks):
    Path("one.csv").write_text("archetype,games,wins\nKites,90,40\n")
    Path("bad.csv").write_text("archetype,games,wins\nKites,8,9\nMoths,9,3\n")
    result = run("archetypes", *arguments)

    assert result.exit_code == code, result.stderr
    assert result.stdout == ""
    assert message in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


def test_cards_without_archetypes_do_beside_a_table_of_whole_decks(run, table, decks):
    result = run("archetypes", table, "--archetypes", decks, "--json")

    assert verdicts(result) == FOUND
    assert "no cards" in json.loads(result.stdout)["warnings"]


def test_the_next_step_keeps_the_options_that_were_given(run, cards):
    said = run("archetypes", cards, "--sure", "95%", "--map", "card=1", "--no-config").stderr

    assert said.endswith(
        ": winrate-tools rank 'by archetype.csv' --sure 95% --map card=1 --no-config\n"
    )
