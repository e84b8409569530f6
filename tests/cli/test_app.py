"""The program as a whole."""

import re
import shlex
import shutil
from pathlib import Path

import pytest
from typer.main import get_command

from winrate_tools import __version__
from winrate_tools.cli.app import app

COMMANDS = [
    *("check", "rank", "archetypes", "report", "power"),
    *("plan", "packs", "changes", "update", "tally", "decks", "demo", "config"),
]
LEAVES = [*([command] for command in COMMANDS[:-1]), ["config", "show"]]
SAMPLE = Path(__file__).parent.parent.parent / "sample_data"


def test_every_command_is_listed():
    assert list(get_command(app).commands) == COMMANDS


@pytest.mark.parametrize("flag", ["-h", "--help"])
def test_help_lists_commands_and_exit_codes(flag, run):
    said = " ".join(run(flag).stdout.split())

    assert all(command in said for command in COMMANDS)
    assert re.search(r"0 done; 1 bad data; 2 misuse.*; 3 .*--fail-on-cut.*; 130 interr", said)


@pytest.mark.parametrize("flag", ["-V", "--version"])
def test_the_version_has_two_flags(flag, run):
    assert run(flag).stdout == f"winrate-tools {__version__}\n"


@pytest.mark.parametrize("command", LEAVES, ids=" ".join)
def test_every_command_explains_itself_with_an_example_that_works(
    command, run, tmp_path, monkeypatch
):
    said = " ".join(run(*command, "-h").stdout.split())
    [example] = re.findall(r"Example: winrate-tools (.*?) (?:Arguments|Options):", said)
    shutil.copytree(SAMPLE, tmp_path / "sample_data")
    shutil.copy(SAMPLE / "pool.csv", tmp_path / "new_pool.csv")
    if command == ["plan"]:
        (tmp_path / "new_pool.csv").unlink()
    monkeypatch.chdir(tmp_path)

    words = shlex.split(example)
    if command == ["demo"]:
        shutil.rmtree(tmp_path / "sample_data")
    assert words[: len(command)] == command
    assert run(*words).exit_code == 0


def test_a_word_that_is_no_command_does_not_stop_completion(run):
    asked = {"_WINRATE_TOOLS_COMPLETE": "complete_bash", "COMP_CWORD": "2"}
    words = {"COMP_WORDS": "winrate-tools nonsense "}
    said = run(env={**asked, **words}, prog_name="winrate-tools")

    assert said.exit_code == 0
    assert said.output.split() == COMMANDS


def test_nothing_at_all_shows_the_help(run):
    assert "Commands:" in run().output


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (["rnak", "cards.csv"], "error: there is no command 'rnak'; did you mean 'rank'?"),
        (["rank", "cards.csv", "--basline", "1"], "--basline; did you mean '--baseline'?"),
        (["config", "shwo"], "error: there is no command 'shwo'; did you mean 'show'?"),
    ],
)
def test_a_misspelling_gets_one_hint_and_is_not_run(arguments, hint, run, table):
    result = run(*arguments)

    assert result.exit_code == 2
    assert hint in " ".join(result.stderr.split())
    assert result.stderr.lower().count("did you mean") == 1
    assert result.stdout == ""


@pytest.fixture
def broken(monkeypatch) -> None:
    def fail(*_: object, **__: object) -> None:
        msg = "no such luck"
        raise ZeroDivisionError(msg)

    monkeypatch.setattr("winrate_tools.ranking.rank", fail)


def test_a_bug_of_ours_is_one_line_with_version_and_flag(broken, run, table):
    result = run("rank", table)

    assert result.exit_code == 1
    assert result.stderr == (
        f"error: ZeroDivisionError: no such luck (a bug in winrate_tools {__version__}; "
        "run it again with --debug to see where)\n"
    )


@pytest.mark.parametrize(
    ("arguments", "environment"),
    [
        (["--debug", "rank", "cards.csv"], {}),
        (["rank", "cards.csv", "--debug"], {}),
        (["rank", "cards.csv"], {"WINRATE_DEBUG": "1"}),
    ],
)
def test_debug_shows_where_a_bug_comes_from(arguments, environment, broken, run, table):
    result = run(*arguments, env=environment)

    assert isinstance(result.exception, ZeroDivisionError)


def test_no_hint_is_taken_from_a_word_after_two_dashes(run, table):
    assert "no file '--debug'" in run("rank", "--", "--debug").stderr
