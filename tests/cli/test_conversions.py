"""Values that need no conversion are taken as they are; all others are converted as ever."""

import subprocess
import sys
from pathlib import Path
from typing import Annotated, Any

import pytest
import typer
from typer.main import get_command

from winrate_tools.cli.conversions import spare_conversions

CALLS = [
    ["a.csv"],
    ["a.csv", "b.csv", "--title", "x", "--tag", "1", "--tag", "2"],
    ["a.csv", "--number", "7", "--folder", "there", "--size", "3"],
    ["a.csv", "--loud", "hey", "--word", "yes"],
    ["", "--title", ""],
    ["a.csv", "--number", "x"],
    ["a.csv", "--size", "x"],
    ["a.csv", "--word", "no"],
    [],
]
WATCHED = "print('pydantic' in sys.modules)"


def whole(text: str | int) -> int:
    if not str(text).isdigit():
        raise typer.BadParameter("must be a number")
    return int(text)


def assent(text: str) -> str:
    if text != "yes":
        raise typer.BadParameter("must be yes")
    return text.title()


def louder(text: str | None) -> str | None:
    return text and text.upper()


def outcome(arguments: list[str], *, spared: bool) -> tuple[list[object], str]:
    """Run a small program; what it is given and what is refused."""
    seen: list[object] = []
    app = typer.Typer(add_completion=False, rich_markup_mode=None)

    @app.command()
    def keep(
        names: list[str],
        title: str | None = None,
        tag: list[str] | None = None,
        number: Annotated[int, typer.Option(parser=whole)] = 5,
        word: Annotated[str | None, typer.Option(parser=assent)] = None,
        folder: Path = Path("here"),
        size: int | None = None,
        loud: Annotated[str | None, typer.Option(callback=louder)] = None,
    ) -> None:
        seen.append((names, title, tag, number, word, folder, size, loud))

    command: Any = get_command(app)
    if spared:
        spare_conversions(command, typer.Context(command))
    try:
        command.main(arguments, "keep", standalone_mode=False)
    except Exception as error:
        return seen, f"{type(error).__name__}: {error}"
    return seen, ""


@pytest.mark.parametrize("arguments", CALLS, ids=" ".join)
def test_a_command_is_given_what_it_was_given_before(arguments):
    assert outcome(arguments, spared=True) == outcome(arguments, spared=False)


def test_some_calls_are_refused_and_some_are_not():
    refusals = [outcome(arguments, spared=True)[1] for arguments in CALLS]

    assert [bool(refusal) for refusal in refusals] == [False] * 5 + [True] * 4


def test_a_default_is_not_parsed(capsys):
    parsed = []
    app = typer.Typer(add_completion=False)

    @app.command()
    def show(number: Annotated[int, typer.Option(parser=parsed.append)] = 5) -> None:
        typer.echo(number)

    command: Any = get_command(app)
    spare_conversions(command, typer.Context(command))
    command.main([], "show", standalone_mode=False)

    assert capsys.readouterr().out == "5\n"
    assert parsed == []


@pytest.mark.parametrize("arguments", [["--help"], ["config", "show"], ["power"]])
def test_the_converter_is_not_loaded_where_nothing_is_to_be_converted(arguments, tmp_path):
    code = f"import atexit, sys\natexit.register(lambda: {WATCHED})\n"
    code += "from winrate_tools.__main__ import main\nmain()"
    done = subprocess.run(
        [sys.executable, "-c", code, *arguments],
        capture_output=True,
        text=True,
        check=True,
        cwd=tmp_path,
    )

    assert done.stdout.splitlines()[-1] == "False"
