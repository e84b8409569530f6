"""The command tally."""

import json
from pathlib import Path

import pytest

from winrate_tools.cli.commands.tally import Counting
from winrate_tools.ingest.logs.logs import count_logs
from winrate_tools.ingest.tables.cards import read_cards
from winrate_tools.simulate.history import card_table, simulate
from winrate_tools.simulate.logs import log_text, simulate_log
from winrate_tools.simulate.world import World

WORLD = World(drafts=14)


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    log = simulate_log(WORLD, 1)
    return {"hands": log_text(log), "decks": log_text(log, hands=False)}


@pytest.fixture
def log(folder, texts) -> str:
    Path("games.csv").write_text(texts["hands"])
    return "games.csv"


def test_a_log_becomes_tables_that_rank_reads(run, log):
    result = run("tally", log, "-o", "cards.csv", "--archetypes", "decks.csv")
    games = simulate(WORLD, 1).play

    assert result.exit_code == 0, result.stderr
    assert read_cards("cards.csv").games.sum() == games.held.games.sum()
    assert f"counted {games.games.sum():,} games of" in result.stderr
    assert " cards in 1 log\n" in result.stderr
    following = result.stderr.splitlines()[-1]
    assert following.startswith(
        "next: winrate-tools rank cards.csv --archetypes decks.csv --design-effect 1."
    )
    assert run(*following.split()[2:], "--top", "3").exit_code == 0


def test_verdicts_from_a_log_are_those_from_the_counts_of_its_world(run, log, folder):
    table = card_table(
        simulate(WORLD, 1), "held", ["archetype", "skill_band"], usage=False, unheld=True
    )
    keys = ("card", "archetype", "skill_band", "games", "wins", "unheld_games", "unheld_wins")
    rows = sorted(zip(*(getattr(table, key) for key in keys), strict=True))
    lines = [
        ",".join(map(str, [*row[:3], *map(int, row[3:])])) for row in rows if row[3] + row[5]
    ]
    Path("counts.csv").write_text("\n".join([",".join(keys), *lines, ""]))
    run("tally", log, "-o", "cards.csv")
    head, *counted = Path("cards.csv").read_text().splitlines()
    Path("sorted.csv").write_text("\n".join([head, *sorted(counted), ""]))
    ranked = [run("rank", name, "--json").stdout for name in ("sorted.csv", "counts.csv")]

    one, other = (json.loads(text)["cards"] for text in ranked)
    assert {card["card"]: card["verdict"] for card in one} == {
        card["card"]: card["verdict"] for card in other
    }
    chances = [{card["card"]: card["chance_below"] for card in cards} for cards in (one, other)]
    assert chances[0] == pytest.approx(chances[1], abs=1e-9)


def test_a_log_without_hands_is_ranked_by_decks(run, folder, texts):
    Path("games.csv").write_text(texts["decks"])
    result = run("tally", "games.csv", "-o", "cards.csv")

    assert "rank cards.csv --measure deck" in result.stderr
    assert "unheld" not in Path("cards.csv").read_text()


def test_the_table_goes_to_the_screen_and_nothing_is_next(run, log):
    result = run("tally", log)

    assert result.stdout.startswith(
        "card,archetype,skill_band,games,wins,unheld_games,unheld_wins\n"
    )
    assert "next:" not in result.stderr
    piped = run("tally", "-", input=Path(log).read_bytes())
    assert piped.stdout == result.stdout


def test_other_formats_say_the_same(run, log):
    as_json = json.loads(run("tally", log, "--json").stdout)
    table = run("tally", log, "--format", "table").stdout

    assert as_json["games"] == simulate(WORLD, 1).play.games.sum()
    assert as_json["design_effect"] >= 1
    assert as_json["rows"][0].keys() >= {"card", "games", "unheld_wins"}
    assert "Unheld wins" in table


def test_partial_tables_add_up(run, folder, texts):
    head, *rows = texts["hands"].splitlines(keepends=True)
    for name, part in (("a", rows[:200]), ("b", rows[200:]), ("all", rows)):
        Path(f"{name}.csv").write_text(head + "".join(part))
        run(
            "tally",
            f"{name}.csv",
            "-o",
            f"{name}_cards.csv",
            "--archetypes",
            f"{name}_decks.csv",
        )
    for kind in ("cards", "decks"):
        merged = run("tally", "--merge", f"a_{kind}.csv", f"b_{kind}.csv")
        whole = Path(f"all_{kind}.csv").read_text()

        assert merged.exit_code == 0, merged.stderr
        assert sorted(merged.stdout.splitlines()) == sorted(whole.splitlines())


def test_the_same_count_can_be_had_as_sql(run, log):
    result = run("tally", "--sql", log)

    assert result.stdout.startswith("WITH log AS (")
    assert result.stderr == ""


def test_a_copy_is_kept_where_it_is_asked_for(run, log, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", "caches")
    first, second = run("tally", log, "--cache"), run("tally", log, "--cache")
    run("tally", log, "--cache-folder", "beside")

    assert first.stdout == second.stdout
    assert len(list(Path("caches/winrate_tools").iterdir())) == 1
    assert len(list(Path("beside").iterdir())) == 1


def test_bad_rows_are_placed_and_can_be_left_out(run, folder):
    Path("games.csv").write_text("game,won,cards\n1,yes,Fox|Moth\n2,maybe,Fox\n")
    bad, skipped = (
        run("tally", "games.csv", "-o", "c.csv"),
        run("tally", "games.csv", "--skip-bad"),
    )

    assert bad.exit_code == 1
    assert "games.csv:3:2: yes or no was wanted" in bad.stderr
    assert not Path("c.csv").exists()
    assert skipped.stdout == "card,games,wins\nFox,1,1\nMoth,1,1\n"
    assert "1 rows were left out" in skipped.stderr


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["games.csv", "-o", "games.csv", "--force"], "-o names the log that is read"),
        (["games.csv", "-o", "x.csv", "--archetypes", "x.csv"], "each table needs its own"),
        (["game.csv"], "no file 'game.csv'"),
        (["games.csv", "--skill-cuts", "low"], "--skill-cuts must be numbers"),
        (["games.csv", "-o", "x.parquet"], "-o must end in"),
    ],
)
def test_misuse_is_told_before_any_work(run, log, options, words):
    result = run("tally", *options)

    assert result.exit_code == 2
    assert words in result.stderr


def test_few_decks_show_no_design_effect(run, folder):
    Path("games.csv").write_text("game,deck,won,cards\n1,a,yes,Fox|Moth\n2,a,no,Fox|Moth\n")

    assert "design effect" not in run("tally", "games.csv").stderr
    assert count_logs(["games.csv"]).tally.games == 2


def test_cuts_are_numbers_parted_by_commas():
    assert Counting().cuts == []
    assert Counting(skill_cuts="1,2.5").cuts == [1, 2.5]
