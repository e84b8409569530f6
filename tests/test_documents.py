"""What the documents promise: every command runs, every public name is explained."""

import ast
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import get_args

import pytest
from typer.main import get_command

import winrate_tools
from winrate_tools.__main__ import main
from winrate_tools.cli.app import app
from winrate_tools.decide.cards.reasons import Reason
from winrate_tools.goals import GOAL_MEANINGS

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", text, flags=re.DOTALL | re.MULTILINE)


def commands_of(block: str) -> list[str]:
    """Every call of winrate-tools in a console block, without what stands before it."""
    parts = [part for line in block.splitlines() for part in line.split(" && ")]
    found = [re.match(r"(?:\S*/|uvx --from \S+ )?winrate-tools (.*)", part) for part in parts]
    return [match[1].strip() for match in found if match]


def commands(text: str) -> list[str]:
    """Every call of winrate-tools in the console blocks of a text, each once."""
    found = [command for block in blocks(text, "console") for command in commands_of(block)]
    return list(dict.fromkeys(found))


CONSOLE = blocks(README, "console")
COMMANDS = commands(README)
SHOWN = re.findall(
    r"^```console\nwinrate-tools ([^\n]*)\n```\n+^```text\n(.*?)^```$",
    README,
    flags=re.DOTALL | re.MULTILINE,
)
PUBLIC = sorted(set(getattr(winrate_tools, "__all__", ["__all__"])) - {"__version__"})
FIRST_BLOCKS = blocks(README, "console")[:2]


@pytest.fixture
def fresh_clone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    shutil.copytree(ROOT / "sample_data", tmp_path / "sample_data")
    (tmp_path / "reports").mkdir()
    monkeypatch.chdir(tmp_path)


@pytest.mark.usefixtures("fresh_clone")
@pytest.mark.parametrize("block", [block for block in CONSOLE if commands_of(block)])
def test_every_command_of_the_readme_runs(
    block: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
):
    for command in commands_of(block):
        monkeypatch.setattr(sys, "argv", ["winrate-tools", *shlex.split(command)])

        with pytest.raises(SystemExit) as left:
            sys.exit(main())

        assert left.value.code in {None, 0}, capsys.readouterr().err


@pytest.mark.usefixtures("fresh_clone")
@pytest.mark.parametrize(("command", "shown"), SHOWN)
def test_what_the_readme_shows_is_what_is_printed(
    command: str,
    shown: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
):
    monkeypatch.setattr(sys, "argv", ["winrate-tools", *shlex.split(command)])
    monkeypatch.delenv("COLUMNS", raising=False)
    with pytest.raises(SystemExit):
        sys.exit(main())

    assert shown in capsys.readouterr().out


def test_the_readme_quotes_the_summary_of_the_kept_report():
    kept = (ROOT / "reports" / "cuts_by_archetype.md").read_text(encoding="utf-8")
    quoted = "\n".join(
        line.removeprefix(">").strip() for line in README.splitlines() if line.startswith(">")
    )

    assert quoted
    assert quoted in kept


def test_the_readme_shows_the_commands_that_matter():
    assert {command.split()[0] for command in COMMANDS} >= {"check", "rank", "report"}


@pytest.mark.parametrize("name", sorted(get_command(app).commands))
def test_the_readme_says_what_each_command_does(name: str):
    assert re.search(rf"^\| `{name}( \w+)?` \| \w", README, flags=re.MULTILINE)


@pytest.mark.parametrize(
    ("line", "command"),
    [
        ("winrate-tools check a.csv", "check a.csv"),
        (".venv/bin/pip install . && .venv/bin/winrate-tools rank a.csv", "rank a.csv"),
        ("uvx --from . winrate-tools rank a.csv", "rank a.csv"),
    ],
)
def test_the_eye_for_commands_sees(line: str, command: str):
    assert commands(f"```console\n{line}\n```\n") == [command]


def test_no_command_of_the_readme_escapes_the_eye():
    lines = [line for block in blocks(README, "console") for line in block.splitlines()]

    seen = sum(len(commands(f"```console\n{line}\n```\n")) for line in lines)
    assert seen == sum(line.count("winrate-tools ") for line in lines)
    assert seen >= 3


@pytest.mark.usefixtures("fresh_clone")
@pytest.mark.parametrize("block", blocks(README, "python"))
def test_every_example_of_the_readme_runs(block: str):
    names: dict[str, object] = {}

    exec(compile(ast.parse(block), "README.md", "exec"), names)

    assert names["ranking"].frame.shape[0] > 0
    assert Path("reports/cuts.md").stat().st_size > 0


@pytest.mark.parametrize("name", PUBLIC)
def test_the_readme_explains_every_public_name(name: str):
    assert hasattr(winrate_tools, name)
    assert f"| `{name}` |" in README


@pytest.mark.parametrize("reason", get_args(Reason))
def test_the_readme_explains_every_reason(reason: str):
    assert re.search(rf"^\| `{reason}` \| \w", README, flags=re.MULTILINE)


@pytest.mark.parametrize("goal", GOAL_MEANINGS)
def test_the_readme_explains_every_goal(goal: str):
    meaning = GOAL_MEANINGS[goal].rstrip(".")

    assert f"| `{goal}` | {meaning[0].lower()}{meaning[1:]} |" in README


def test_the_readme_names_nothing_that_is_not_public():
    section = README.split("## Library use")[1].split("\n## ")[0]

    assert set(re.findall(r"^\| `(\w+)` \|", section, flags=re.MULTILINE)) == set(PUBLIC)
    assert set(re.findall(r"\bwt\.(\w+)", section)) <= set(PUBLIC)


def test_the_two_commands_on_top_are_one_line_each_and_set_themselves_up():
    job, tests = FIRST_BLOCKS

    assert job.count("\n") == tests.count("\n") == 1
    assert job.startswith("python3 -m venv .venv && ")
    assert "winrate-tools report sample_data/cards.csv -o reports/" in job
    assert tests.startswith("python3 -m venv .venv && ")
    assert re.search(r"&& \.venv/bin/pytest\b.* --cov\b", tests)


def test_ci_finds_both_commands_in_the_readme():
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    words = re.findall(r'^\w+=\$\(readme_line "(.+)"\)$', script, flags=re.MULTILINE)

    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv ")]
    found = [[line for line in lines if word in line] for word in words]
    assert [[f"{line}\n"] for (line,) in found] == [[block] for block in FIRST_BLOCKS]


def test_ci_is_a_program_that_its_shell_can_read():
    script = ROOT / ".ci" / "run"

    assert script.stat().st_mode & 0o111
    assert subprocess.run(["bash", "-n", str(script)], check=False).returncode == 0


def test_the_changelog_comes_last_and_knows_this_version():
    last = DEVELOPERS.split("\n## ")[-1]

    assert last.startswith("Changelog")
    assert f"### {winrate_tools.__version__} " in last
