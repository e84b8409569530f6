"""A folder of its own for every test, a small table, and the program run inside it."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from winrate_tools.cli.app import app

Run = Callable[..., Any]

STRONG = [(f"Lamp {number}", 900 + 13 * number, 480 + 7 * number) for number in range(30)]
ODD = [("Ash Vine", 3000, 1210), ("Tin Moth", 60, 29), ("a|b <i>", 2500, 1380), ("=X", 0, 0)]


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand in an empty folder, with no configuration of anybody's in reach."""
    for variable in [name for name in os.environ if name.startswith("WINRATE_")]:
        monkeypatch.delenv(variable)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "own"))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.delenv("NO_COLOR", raising=False)
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    return tmp_path / "here"


@pytest.fixture
def table(folder: Path) -> str:
    """Write a table with a card to cut, cards to keep, and one without games."""
    rows = [f"{card},{games},{wins}" for card, games, wins in [*STRONG, *ODD]]
    (folder / "cards.csv").write_text("\n".join(["card,games,wins", *rows, ""]), "utf-8")
    return "cards.csv"


@pytest.fixture
def run() -> Run:
    """Run the program as a user does; the result has exit_code, stdout and stderr."""

    def run_program(*arguments: object, **options: Any) -> Any:
        return CliRunner().invoke(app, [str(argument) for argument in arguments], **options)

    return run_program
