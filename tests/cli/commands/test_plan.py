"""The command plan."""

import csv
import io
import json
from itertools import count
from pathlib import Path

import pytest

from winrate_tools.cli.progress import progress_shown

EFFECTS = {"weak": 0.42, "fair": 0.5, "good": 0.53}
FACTIONS = ("Cog", "Quill")
GAMES = "games.csv", "pool.csv", "new.csv"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def tables(folder: Path) -> list[str]:
    """Write games, a pool and candidates of two factions, and few re-solves."""
    (folder.parent / "own" / "winrate_tools").mkdir(parents=True)
    own = folder.parent / "own" / "winrate_tools" / "winrate.toml"
    own.write_text("[goals]\nresolves = 5\n", "utf-8")
    names = [
        f"{kind} {faction} {i}" for faction in FACTIONS for kind in EFFECTS for i in range(6)
    ]
    games = ["card,faction,games,wins"]
    pool = ["card,copies,faction,rarity,price"]
    for name in names:
        kind, faction, _ = name.split()
        games.append(f"{name},{faction},9000,{round(9000 * EFFECTS[kind])}")
        pool.append(f"{name},2,{faction},common,1")
    new = ["card,copies,faction,rarity,price,games,wins,baseline"]
    new += [f"new {faction} {i},2,{faction},common,0.75,9000,4900,0.5" for faction in FACTIONS
            for i in range(3)]  # fmt: skip
    for name, lines in zip(GAMES, (games, pool, new), strict=True):
        (folder / name).write_text("\n".join([*lines, ""]), "utf-8")
    return ["plan", "games.csv", "--pool", "pool.csv", "--candidates", "new.csv"]


def names(result, side: int) -> list[str]:
    moves = json.loads(result.stdout)["moves"]
    return [m["card"] for m in moves if side * (m["copies_after"] - m["copies_before"]) > 0]


def test_weak_cards_go_and_new_ones_come(run, tables):
    result = run(*tables, "--json", "--changes", 8)

    assert result.exit_code == 0
    assert 4 <= len(names(result, -1)) <= 8
    assert all(name.startswith("weak") for name in names(result, -1))
    assert all(name.startswith("new") for name in names(result, 1))
    assert json.loads(result.stdout)["goals"]["changes"] == {
        "value": 8,
        "origin": "command line: --changes",
    }
    assert "next: keep the new pool: the same command with --new-pool new_pool.csv" in (
        result.stderr
    )


def test_the_plan_can_be_read_and_the_new_pool_planned_again(run, tables, folder):
    first = run(*tables, "-o", "plan.md", "--new-pool", "my pool.csv")
    again = run("plan", "games.csv", "--pool", "my pool.csv", *tables[4:], "--json")

    assert first.exit_code == 0
    assert "## What goes out" in (folder / "plan.md").read_text("utf-8")
    rows = csv.DictReader((folder / "my pool.csv").read_text("utf-8").splitlines())
    assert sum(int(row["copies"]) for row in rows) == 72
    assert "winrate-tools changes pool.csv 'my pool.csv' -o changes.md" in first.stderr
    assert again.exit_code == 0
    assert json.loads(again.stdout)["in_pool"] != []


def test_the_new_pool_keeps_the_words_of_the_old_one_for_protection(run, tables, folder):
    head, first, *others = (folder / "pool.csv").read_text("utf-8").splitlines()
    lines = [f"{head},protected", f"{first},ja", *(f"{line},nein" for line in others), ""]
    (folder / "pool.csv").write_text("\n".join(lines), "utf-8")

    assert run(*tables, "--new-pool", "new_pool.csv", "--changes", 8).exit_code == 0
    rows = list(csv.DictReader((folder / "new_pool.csv").read_text("utf-8").splitlines()))
    said = [row["protected"] for row in rows]
    assert (said[0], set(said[1:])) == ("ja", {"nein"})
    assert any(row["card"].startswith("new") for row in rows)


def test_a_terminal_is_shown_how_far_it_has_come(run, tables, monkeypatch):
    stream, asked = Terminal(), []

    def shown(*words: object, **options: object):
        asked.append(options)
        return progress_shown(*words, **options, stream=stream, clock=count().__next__)

    monkeypatch.setattr("winrate_tools.cli.commands.plan.progress_shown", shown)
    run(*tables)

    first, *_, last, wiped = stream.getvalue().split("\r")[1:]
    assert first == "planning: made again 0 of 5 times, to see what survives "
    assert last == "planning: made again 5 of 5 times, to see what survives "
    assert wiped == "\x1b[K"
    assert asked == [{"patience": 0}]


def test_nothing_is_shown_of_the_way_where_nobody_watches(run, tables):
    assert "\r" not in run(*tables).stderr


@pytest.mark.parametrize(("style", "start"), [("csv", "card,fac"), ("table", "Plan for")])
def test_every_format_is_written(run, tables, style: str, start: str):
    assert run(*tables, "--format", style).stdout.startswith(start)


def test_without_candidates_there_is_advice_or_fewer_copies(run, tables):
    result = run(*tables[:4])

    assert result.exit_code == 0
    assert "Nothing is worth changing" in result.stdout


def test_goals_stand_in_the_configuration(run, tables, folder):
    (folder / "winrate.toml").write_text("[goals]\nbudget = 1.5\n", "utf-8")

    result = run(*tables, "--json")

    assert json.loads(result.stdout)["cost"] == 1.5
    assert json.loads(result.stdout)["goals"]["budget"]["origin"] == "winrate.toml:2:1"
    assert run("rank", "games.csv").exit_code == 0


def test_an_unknown_goal_is_refused_with_its_place(run, tables, folder):
    (folder / "winrate.toml").write_text("[goals]\nbugdet = 1.5\n", "utf-8")

    result = run(*tables)

    assert result.exit_code == 2
    assert result.stderr.startswith(
        "error: winrate.toml:2:1: no goal is called 'bugdet'; did you mean 'budget'?"
    )


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (
            ["--quota", "faction Cog 39-"],
            "to all limits: faction Cog against quota",
        ),
        (["--quota", "faction Cogs 39-"], "no card has faction 'Cogs'; did you mean 'Cog'?"),
        (["--budget", "some"], "--budget must be a number, got 'some'"),
        (["--allowance", "1"], "a forecast needs what cards do themselves"),
        (
            ["--keep", "colour"],
            "--keep must be of faction, rarity, role, or none, got 'colour'",
        ),
    ],
)
def test_goals_that_cannot_be_met_are_refused(run, tables, options: list[str], said: str):
    result = run(*tables, *options)

    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stdout == ""


@pytest.mark.parametrize(
    ("file", "line", "said"),
    [
        ("new.csv", "odd Cog,2,Cog,common,1,,,", "games and wins"),
        ("new.csv", "new cog 0,2,Cog,common,1,90,40,0.5", "new cog 0"),
        ("new.csv", "odd Cog,2,Cog,common,-1,90,40,0.5", "price"),
        ("pool.csv", "good Cog 0,2,Cog,common,1", "good Cog 0"),
        ("pool.csv", "weak Cog 0s,2,Cog,common,1", "weak Cog 0s"),
    ],
)
def test_bad_tables_are_refused_with_the_name(run, tables, folder, file, line, said):
    with (folder / file).open("a", encoding="utf-8") as end:
        end.write(f"{line}\n")

    result = run(*tables, "--new-pool", "out.csv")

    assert result.exit_code == 1 if said != "weak Cog 0s" else result.exit_code in {0, 1}
    assert said in result.stderr + result.stdout
    assert result.exit_code == 0 or not (folder / "out.csv").exists()


def test_a_pool_card_that_is_misspelt_is_asked_about(run, tables, folder):
    text = (folder / "pool.csv").read_text("utf-8").replace("good Quill 5", "god Quill 5")
    (folder / "pool.csv").write_text(text, "utf-8")

    result = run(*tables)

    assert result.exit_code == 1
    assert "not in the table of games: 'god Quill 5' (did you mean 'good Quill 5'?)" in (
        result.stderr
    )


def test_a_pool_card_without_games_is_kept_and_told_of(run, tables, folder):
    with (folder / "pool.csv").open("a", encoding="utf-8") as end:
        end.write("Silk Kite,1,Cog,common,1\n")

    result = run(*tables)

    assert result.exit_code == 0
    assert "Without games, and so left as they are: Silk Kite." in result.stdout


def test_a_table_may_come_from_standard_input_but_only_one(run, tables, folder):
    games = (folder / "games.csv").read_bytes()
    pool = (folder / "pool.csv").read_bytes()

    piped = run("plan", "-", *tables[2:], "--json", input=games)
    other = run("plan", "games.csv", "--pool", "-", *tables[4:], "--json", input=pool)
    both = run("plan", "-", "--pool", "-", input=games)

    assert (
        json.loads(piped.stdout)["moves"] == json.loads(run(*tables, "--json").stdout)["moves"]
    )
    assert json.loads(other.stdout)["sources"][1]["name"] == "<stdin>"
    assert both.exit_code == 2
    assert "standard input holds one table" in both.stderr


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["-o", "pool.csv"], "-o names the table that is read"),
        (["--new-pool", "new.csv"], "--new-pool names the table that is read"),
        (["--new-pool", "pool.md"], "--new-pool must end in .csv, got .md"),
        (["-o", "a.csv", "--new-pool", "a.csv"], "name one file, a.csv"),
        (["--new-pool", "nowhere/a.csv"], "there is no folder 'nowhere'"),
        (["--new-pool", "-"], "--new-pool must name a file, got -"),
    ],
)
def test_outputs_are_checked_before_anything_is_done(run, tables, options, said):
    result = run(*tables, *options, "--force")

    assert result.exit_code == 2
    assert said in result.stderr


def test_what_was_assumed_on_reading_is_told(run, tables, folder):
    text = (folder / "new.csv").read_text("utf-8").replace("new Cog 0,2,Cog", "new Cog 0,2,cog")
    (folder / "new.csv").write_text(text, "utf-8")

    assert "note: faction 'Cog' was read as 'cog'" in run(*tables).stderr


def test_a_file_that_is_missing_is_named(run, tables):
    result = run("plan", "games.csv", "--pool", "pol.csv")

    assert result.exit_code == 2
    assert "no file 'pol.csv'; did you mean 'pool.csv'?" in result.stderr


def test_columns_of_the_pool_have_an_option_of_their_own(run, tables, folder):
    text = (folder / "pool.csv").read_text("utf-8").replace("card,copies", "H0,H1")
    (folder / "pool.csv").write_text(text, "utf-8")

    unclear = run(*tables)
    told = run(*tables, "--pool-map", "card=H0", "--pool-map", "copies=H1", "--json")

    assert told.exit_code == 0
    assert unclear.exit_code in {0, 2}
    assert " --map " not in unclear.stderr


@pytest.mark.parametrize(("price", "mark"), [("0,75", ","), ("2", ",")])
def test_the_new_pool_is_written_as_the_old_one_is(run, tables, folder, price: str, mark: str):
    pool = (folder / "pool.csv").read_text("utf-8").replace(",", ";")
    (folder / "pool.csv").write_text(pool.replace(";1\n", f";{price}\n"), "utf-8")

    result = run(*tables, "--new-pool", "new pool.csv")

    text = (folder / "new pool.csv").read_text("utf-8")
    assert result.exit_code == 0
    assert text.startswith("card;copies;faction")
    assert f";0{mark}75;" in text


def test_a_pool_from_standard_input_is_written_with_commas(run, tables, folder):
    pool = (folder / "pool.csv").read_bytes().replace(b",", b";")

    tables[3] = "-"
    result = run(*tables, "--new-pool", "mine.csv", input=pool)

    assert result.exit_code == 0
    assert (folder / "mine.csv").read_text("utf-8").startswith("card,copies,")


def test_a_limit_for_an_unknown_rarity_is_refused(run, tables):
    result = run(*tables, "--copies", "comon 3")

    assert result.exit_code == 2
    assert "no card has rarity 'comon'; did you mean 'common'?" in result.stderr


def test_a_candidate_that_is_in_the_pool_already_is_told_and_is_no_new_card(
    run, tables, folder
):
    with (folder / "new.csv").open("a", encoding="utf-8") as file:
        file.write("GOOD cog 0,4,Cog,common,0.75,9000,8000,0.5\n")

    result = run(*tables, "--json", "--changes", 4)

    assert result.exit_code == 0
    assert (
        "note: in the pool already, so no new cards: GOOD cog 0; what the candidates' file "
        "tells of them counts only where TABLE has no games of theirs"
    ) in result.stderr
    assert "GOOD cog 0" not in names(result, 1)
    assert "in the pool already" not in run(*tables[:4], "--json", "--changes", 4).stderr


def test_guesses_in_other_words_are_taken_or_refused_with_those_that_there_are(
    run, tables, folder
):
    head = "card,copies,faction,rarity,price,guess\n"
    (folder / "new.csv").write_text(f"{head}A,2,Cog,common,1,better\n", "utf-8")
    taken = run(*tables, "--json", "--changes", 4)
    (folder / "new.csv").write_text(f"{head}A,2,Cog,common,1,much better\n", "utf-8")
    refused = run(*tables)

    assert taken.exit_code == 0
    assert refused.exit_code == 1
    assert "new.csv:2:6: guess must be weaker, like or stronger, got 'much better' for 'A'" in (
        refused.stderr
    )


@pytest.mark.parametrize(
    ("file", "row", "said"),
    [
        ("pool.csv", "Ash Vine,trois,Cog,common,1", "copies: a number was wanted, got 'trois'"),
        ("new.csv", "Ash Vine,1,Cog,common,1,,,", "games and wins, or a guess, were wanted"),
    ],
)
def test_leaving_bad_rows_out_leaves_none_of_the_pool_or_the_candidates(
    file, row, said, run, tables, folder
):
    with (folder / file).open("a", encoding="utf-8") as lines:
        lines.write(f"{row}\n")
    result = run(*tables, "--skip-bad")

    assert result.exit_code == 1
    assert said in result.stderr
    assert "fix: " in result.stderr
    assert "--skip-bad" not in result.stderr


def test_the_new_pool_keeps_the_headers_that_tell_their_columns(run, tables, folder):
    text = (folder / "pool.csv").read_text("utf-8")
    words = "Carte,Exemplaires,Maison,Rareté,Prix"
    (folder / "pool.csv").write_text(text.replace("card,copies,faction,rarity,price", words))

    named = ["--pool-map", "faction=Maison"]
    made = run(*tables, *named, "--new-pool", "new_pool.csv")
    sheet = run("changes", "pool.csv", "new_pool.csv", "--map", "faction=3", "--json")

    assert made.exit_code == 0, made.stderr
    assert (folder / "new_pool.csv").read_text("utf-8").partition("\n")[0] == (
        "Carte,Exemplaires,faction,Rareté,role,Prix,protected,slot,archetypes,why"
    )
    assert run("packs", "--pool", "new_pool.csv", "--seats", 2).exit_code == 0
    fewer = [one["why"] for one in json.loads(sheet.stdout)["fewer"]]
    assert len(fewer) == 12
    assert "" not in fewer
