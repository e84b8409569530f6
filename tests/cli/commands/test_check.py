"""The command check."""

import json
import shlex
import shutil
from pathlib import Path

import pytest

from winrate_tools.cli.commands.check import KINDS, next_step
from winrate_tools.cli.options import Configured, Reading
from winrate_tools.ingest.roles import kinds

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"


def test_a_sound_table_is_explained(run, table):
    result = run("check", table)

    assert result.exit_code == 0
    assert "- games: column 2, 'games' (913, 926, 939)" not in result.stdout
    assert "- games: column 2, 'games' (900, 913, 926)" in result.stdout
    assert "UTF-8, cells parted by commas." in result.stdout
    assert "Headers: on line 1; 34 rows." in result.stdout
    assert result.stderr == "next: winrate-tools rank cards.csv\n"


def test_the_next_step_keeps_the_columns_that_were_named(run, table):
    named = run("check", table, "--map", "card=card", "--map", "wins=3", "--decimal", ".")
    piped = run("check", "-", input=Path(table).read_bytes())

    assert named.stderr == (
        "next: winrate-tools rank cards.csv --map card=card --map wins=3 --decimal .\n"
    )
    assert (piped.exit_code, piped.stderr) == (0, "")


def test_every_problem_is_shown_with_place_and_mend(run, folder):
    Path("bad.csv").write_text("card,games,wins\nAsh Vine,50,55\nTin Moth,-2,0\nFox,9,4\n")
    result = run("check", "bad.csv")

    assert result.exit_code == 1
    assert "bad.csv:2:3" in result.stdout
    assert "bad.csv:3:2" in result.stdout
    assert "    Ash Vine,50,55\n" in result.stdout
    assert "^^" in result.stdout
    assert result.stdout.count("fix: ") == 2
    assert "cannot be used before" in " ".join(result.stdout.split())
    assert result.stderr.startswith("next: mend the 2 above")


def test_a_table_that_nobody_understands_exits_with_2_and_a_line_to_paste(run, folder):
    rows = [f"Card {n},{50 + n},{40 - n},{n % 7}" for n in range(20)]
    Path("odd.csv").write_text("\n".join(["h0,h1,h2,h3", *rows, ""]))
    asked = run("check", "odd.csv")

    assert asked.exit_code == 2
    pasted = asked.stderr.splitlines()[-1]
    assert pasted.startswith("--map card=")
    options = [word.replace('"', "") for word in pasted.split()]
    assert run("check", "odd.csv", *options).exit_code == 0


@pytest.mark.parametrize("style", ["json", "csv", "md"])
def test_the_check_comes_in_every_format(style, run, table):
    result = run("check", table, "--format", style)

    assert result.exit_code == 0
    if style == "json":
        record = json.loads(result.stdout)
        assert [one["role"] for one in record["assignments"]] == ["card", "games", "wins"]
        assert record["problems"] == []
    else:
        assert "games" in result.stdout


def test_problems_stand_in_markdown_as_they_are(run, folder):
    Path("bad.csv").write_text("card,games,wins\nAsh Vine,50,55\nFox,9,4\n")

    assert "```\nbad.csv:2:3" in run("check", "bad.csv", "--format", "md").stdout


@pytest.mark.parametrize(
    ("file", "called", "step"),
    [
        ("cards.csv", "a table of cards", "rank cards.csv"),
        ("archetypes.csv", "a table of archetypes", "archetypes archetypes.csv"),
        ("pool.csv", "a pool", "packs --pool=pool.csv --seats 8"),
        (
            "candidates.csv",
            "a list of candidates",
            "plan TABLE --pool FILE --candidates candidates.csv",
        ),
        ("home.csv", "a table of matches", "update TABLE --matches home.csv"),
    ],
)
def test_each_sample_is_told_apart_and_what_it_is_for(file, called, step, run, folder):
    shutil.copy(SAMPLE / file, file)
    result = run("check", file)

    assert result.exit_code == 0
    assert f"- Kind: read as {called}; --kind overrules this." in result.stdout
    assert result.stderr == f"next: winrate-tools {step}\n"


def test_the_kinds_are_those_that_can_be_read():
    assert tuple(kinds.KINDS) == KINDS


def test_the_user_may_say_the_kind(run, folder):
    Path("mine.csv").write_text("Card,Games,Wins\nAsh,90,45\nTin,80,41\n")
    as_cards, as_pool = run("check", "mine.csv"), run("check", "mine.csv", "--kind", "pool")

    assert "a table of cards" in as_cards.stdout
    assert as_pool.exit_code == 2
    assert "which column holds copies" in as_pool.stderr
    assert "its headers are those of a table of cards" in as_pool.stderr


def test_a_kind_that_is_none_is_refused(run, table):
    result = run("check", table, "--kind", "matchs")

    assert result.exit_code == 2
    assert (
        "must be cards, archetypes, pool, candidates, matches or log, got 'matchs'"
        in result.stderr
    )
    assert "did you mean 'matches'?" in result.stderr


def test_a_file_that_is_not_there_is_refused(run, table):
    result = run("check", "crads.csv")

    assert result.exit_code == 2
    assert "no file 'crads.csv'; did you mean 'cards.csv'?" in result.stderr


def test_problems_of_other_kinds_stand_in_their_place(run, folder):
    Path("home.csv").write_text("player,opponent,won,lost\nAda,Ada,2,1\nAda,Bo,2,\n")
    result = run("check", "home.csv")

    assert result.exit_code == 1
    assert "home.csv:2:2: another player than 'Ada' was wanted" in result.stdout
    assert "home.csv:3:4: games lost were wanted, got a blank cell" in result.stdout


SPLIT = "a,b,c,games,wins\n" + "".join(
    f"Card {n},{style},{league},{50 + n},{20 + n}\n"
    for n in range(6)
    for style in ("Kites", "Moths", "Bells")
    for league in ("low", "high")
)


def test_the_first_suggestion_makes_a_split_table_usable(run, folder):
    Path("split.csv").write_text(SPLIT)
    asked = run("check", "split.csv")
    told = shlex.split(asked.stderr.splitlines()[-1])

    assert "  b and c together tell the rows apart" in asked.stderr
    assert run("check", "split.csv", *told).exit_code == 0


@pytest.mark.parametrize("option", [[], ["--skip-bad"]])
def test_rows_that_only_lack_a_split_are_never_to_be_left_out(option, run, folder):
    Path("split.csv").write_text(SPLIT)
    result = run("check", "split.csv", "--map", "card=a", *option)

    assert result.exit_code == 1
    assert result.stdout.count("fix: ") == 1
    assert '--map archetype="b" --map skill_band="c"' in result.stdout
    assert result.stderr == "next: mend the 1 above\n"


@pytest.mark.parametrize("option", [[], ["--skip-bad"]])
@pytest.mark.parametrize(
    "text",
    [
        "player,opponent,won,lost\nAda,Bo,2,x\nAda,Cy,2,1\n",
        "card,copies,guess\nAsh,x,like\nTin,1,like\n",
    ],
    ids=["matches", "candidates"],
)
def test_no_row_of_matches_or_of_candidates_may_be_left_out(option, text, run, folder):
    Path("home.csv").write_text(text)
    result = run("check", "home.csv", *option)

    assert result.exit_code == 1
    assert "got 'x'" in result.stdout
    assert "--skip-bad" not in result.stdout
    assert result.stderr == "next: mend the 1 above\n"


def test_an_open_question_is_said_to_be_one_and_other_kinds_are_named(run, folder):
    Path("odd.csv").write_text("a,b,c\nKites,12,7\nMoths,9,4\n")
    open_ = run("check", "odd.csv")
    told = run("check", "odd.csv", "--kind", "cards")
    said = " ".join(open_.stdout.split())

    assert "Nothing yet: cannot tell which column holds games and wins; the error" in said
    assert "before the above" not in said
    assert "if it lists something else: --kind archetypes, --kind pool" in said
    assert "--kind overrules this" in told.stdout
    assert json.loads(run("check", "odd.csv", "--json").stdout)["unclear"].startswith("odd.csv")


def test_unused_columns_of_a_pool_are_suggested(run, folder):
    Path("pool.csv").write_text(
        "card,copies,House,Fixed\nAsh,3,Wick,no\nBee,1,Wick,yes\nElk,1,Reed,no\nFox,1,Reed,no\n"
    )
    result = run("check", "pool.csv")
    said = " ".join(result.stdout.split())

    assert "- perhaps: no column was found for faction, rarity, role, protected;" in said
    assert '--map faction="House" --map protected="Fixed"' in said
    data = json.loads(run("check", "pool.csv", "--json").stdout)
    assert "House" in data["hints"][0]
    assert (data["unclear"], [one["lead"] for one in data["can_say"]][:2]) == (
        None,
        ["Size", "Labels"],
    )


def test_what_is_remembered_as_archetypes_is_not_ranked_as_cards(run, folder):
    Path("decks.csv").write_text("Style,n,w\nKites,12,7\nMoths,9,4\n")
    named = ["--map", "archetype=Style", "--map", "games=n", "--map", "wins=w"]
    kept = run("check", "decks.csv", "--kind", "archetypes", *named, "--remember")
    refused = run("rank", "decks.csv")

    assert kept.exit_code == 0
    assert refused.exit_code == 2
    assert "winrate-tools archetypes TABLE" in refused.stderr


def test_json_holds_the_limits(run, table):
    said = json.loads(run("check", table, "--json").stdout)["can_say"]

    assert said[-1]["lead"] == "Limits"
    assert said[-1]["text"]


def test_marks_that_disagree_are_told(run, folder):
    Path("mixed.csv").write_text("card;games;wins;x\nAsh;9;4;50.5\nBee;8;3;50,5\n")
    result = run("check", "mixed.csv")

    assert "a comma in some cells and a point in others" in result.stdout


def test_json_tells_the_kind(run, folder):
    shutil.copy(SAMPLE / "pool.csv", "pool.csv")

    assert json.loads(run("check", "pool.csv", "--json").stdout)["kind"] == "pool"


def test_columns_can_be_kept_for_every_kind(run, folder):
    Path("mine.csv").write_text("a,b,b\nAsh,9,3\nTin,9,1\n")
    kept = run("check", "mine.csv", "--map", "card=a", "--map", "copies=3", "--remember")
    again = run("check", "mine.csv")

    assert kept.exit_code == 0
    assert "note: the columns' roles are kept in winrate.toml" in kept.stderr
    assert (
        "copies: column 3, 'column 3' (3, 1): remembered from an earlier time" in again.stdout
    )
    assert again.exit_code == 0
    assert again.stderr.endswith("next: winrate-tools packs --pool=mine.csv --seats 8\n")


def test_columns_of_standard_input_cannot_be_kept(run, table):
    result = run("check", "-", "--remember", input=Path(table).read_bytes())

    assert result.exit_code == 2
    assert "--remember keeps columns beside a file, and standard input is none" in result.stderr


@pytest.mark.parametrize("kind", kinds.KINDS.values(), ids=kinds.KINDS)
def test_the_next_step_names_the_table_so_that_a_shell_reads_it(kind):
    step = next_step(kind, "my table.csv", Reading(), Configured())

    assert "my table.csv'" in step
    assert step.startswith(f"winrate-tools {kind.use.split()[0]} ")


@pytest.mark.parametrize(
    ("file", "use"),
    [
        ("archetypes.csv", "archetypes TABLE"),
        ("pool.csv", "packs --pool FILE --seats N"),
        ("candidates.csv", "plan TABLE --pool FILE --candidates FILE"),
        ("home.csv", "update TABLE --matches FILE"),
    ],
)
def test_rank_names_the_command_that_fits_another_kind_of_table(file, use, run, folder):
    result = run("rank", SAMPLE / file)

    assert result.exit_code == 2
    assert f"winrate-tools {use}" in result.stderr
    assert result.stdout == ""


def test_a_game_log_is_recognised_and_tally_is_named(run, folder):
    Path("log.csv").write_text("game,won,cards\n1,yes,Fox|Moth\n2,no,Fox|Fox\n")
    result = run("check", "log.csv")

    assert result.exit_code == 0
    assert "read as a game log" in result.stdout
    assert "- won: column 2, 'won' (yes, no)." in result.stdout
    assert result.stderr == "next: winrate-tools tally log.csv -o cards.csv\n"


def test_a_game_log_may_be_named_as_such(run, folder):
    Path("my log.csv").write_text("a,b\n1,Fox|Moth\n0,Fox|Fox\n")
    told = ["--kind", "log", "--map", "won=a", "--map", "cards=2"]
    named, piped = (
        run("check", "my log.csv", *told),
        run("check", "-", *told, input=Path("my log.csv").read_bytes()),
    )
    data = json.loads(run("check", "my log.csv", *told, "--format", "json").stdout)
    rows = run("check", "my log.csv", *told, "--format", "csv").stdout

    assert named.stderr == (
        "next: winrate-tools tally 'my log.csv' --map won=a --map cards=2 -o cards.csv\n"
    )
    assert (piped.exit_code, piped.stderr) == (0, "")
    assert data["layout"] == "list"
    assert rows.splitlines()[1].startswith("won,1,a,")


def test_problems_of_a_game_log_are_shown(run, folder):
    Path("log.csv").write_text("game,won,cards\n1,yes,Fox|Moth\n2,what,Fox|Fox\n")
    result = run("check", "log.csv")

    assert result.exit_code == 1
    assert "log.csv:3:2" in result.stdout
    assert result.stderr == "next: mend the 1 above, or tally with --skip-bad\n"
