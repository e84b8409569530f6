"""The command decks."""

import csv
import json
from io import StringIO
from pathlib import Path

import pytest

from winrate_tools.cli.commands import decks as command
from winrate_tools.simulate.logs import log_text, simulate_log
from winrate_tools.simulate.world import World

WORLD = World(drafts=14)


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    log = simulate_log(WORLD, 1)
    layouts = {layout: log_text(log, layout) for layout in ("list", "long", "wide")}
    return {**layouts, "decks": log_text(log, hands=False)}


@pytest.fixture
def log(folder, texts) -> str:
    Path("games.csv").write_text(texts["list"])
    return "games.csv"


def test_every_card_stands_beside_its_ranking(run, log):
    result = run("decks", log, "-o", "seen.csv")
    rows = list(csv.DictReader(StringIO(Path("seen.csv").read_text())))
    run("tally", log, "-o", "cards.csv")
    ranked = json.loads(run("rank", "cards.csv", "--json").stdout)

    assert result.exit_code == 0, result.stderr
    assert {row["card"] for row in rows} == {card["card"] for card in ranked["cards"]}
    assert [float(row["whole"]) for row in rows] == sorted(float(row["whole"]) for row in rows)
    assert "note: Both views agree" in result.stderr


def test_the_ranking_is_that_of_the_tallied_table(run, log):
    seen = json.loads(run("decks", log, "--json").stdout)
    following = run("tally", log, "-o", "cards.csv").stderr.splitlines()[-1].split()
    effect = following[following.index("--design-effect") + 1]
    ranked = json.loads(
        run("rank", "cards.csv", "--sure", "0.95", "--design-effect", effect, "--json").stdout
    )

    estimates = {card["card"]: card["estimate"] for card in ranked["cards"]}
    assert {card["card"]: card["estimate"] for card in seen["cards"]} == pytest.approx(
        estimates, abs=2e-3
    )
    assert seen["sources"] == ["games.csv"]


def test_ranges_of_whole_decks_allow_for_games_that_go_together(run, log, monkeypatch):
    widths = []
    for effect in (1.0, 10.0):
        monkeypatch.setattr(command, "measured_effect", lambda _, e=effect: (e, 0.1))
        cards = json.loads(run("decks", log, "--json").stdout)["cards"]
        widths.append(sum(card["whole_high"] - card["whole_low"] for card in cards))

    assert widths[1] > 1.02 * widths[0]


def test_every_layout_says_the_same(run, folder, texts):
    found = {}
    for layout in ("list", "long", "wide"):
        Path("log.csv").write_text(texts[layout])
        cards = json.loads(run("decks", "log.csv", "--json").stdout)["cards"]
        found[layout] = {card["card"]: card["whole"] for card in cards}

    assert found["long"] == pytest.approx(found["list"], abs=1e-6)
    assert found["wide"] == pytest.approx(found["list"], abs=1e-6)


def test_the_report_is_for_people(run, log):
    said = run("decks", log)

    assert said.stdout.startswith("Seen with whole decks: games.csv\n")
    assert "What this can tell, and what not" in said.stdout
    piped = run("decks", "-", input=Path(log).read_bytes())
    assert piped.stdout.startswith("Seen with whole decks: <stdin>\n")


def test_notes_of_reading_are_told(run, folder):
    lines = [
        "game,won,cards,held",
        "1,yes,Fox|Moth,Fox",
        "2,no,Fox|Moth,Moth",
        "3,draw,Fox,Fox",
    ]
    Path("games.csv").write_text("\n".join([*lines, ""]))

    assert "1 games that nobody won were left out" in run("decks", "games.csv").stderr


def test_a_log_without_hands_is_refused(run, folder, texts):
    Path("games.csv").write_text(texts["decks"])
    result = run("decks", "games.csv", "-o", "seen.csv")

    assert result.exit_code == 2
    assert "which of their cards were held" in result.stderr
    assert not Path("seen.csv").exists()


def test_a_log_that_nobody_won_is_refused(run, folder):
    Path("games.csv").write_text("game,won,cards,held\n1,draw,Fox|Moth,Fox\n")
    result = run("decks", "games.csv")

    assert result.exit_code == 1
    assert "at least one game that somebody won is needed" in result.stderr


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["games.csv", "-o", "games.csv", "--force"], "-o names the log that is read"),
        (["games.csv", "-o", "nowhere/seen.csv"], "nowhere"),
        (["missing.csv"], "no file 'missing.csv'"),
        (["games.csv", "-o", "seen.xlsx"], ".xlsx"),
    ],
)
def test_what_cannot_be_read_or_written_is_told_first(arguments, words, run, log):
    result = run("decks", *arguments)

    assert result.exit_code == 2
    assert words in result.stderr


def test_logs_add_up(run, folder, texts):
    head, *lines = texts["list"].splitlines()
    half = len(lines) // 2
    for name, part in (("a.csv", lines[:half]), ("b.csv", lines[half:])):
        Path(name).write_text("\n".join([head, *part, ""]))
    Path("all.csv").write_text(texts["list"])
    both = json.loads(run("decks", "a.csv", "b.csv", "--json").stdout)
    whole = json.loads(run("decks", "all.csv", "--json").stdout)

    assert both["sources"] == ["a.csv", "b.csv"]
    assert both["cards"] == whole["cards"]
