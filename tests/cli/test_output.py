"""Writing results: all or nothing."""

import os
import stat
from pathlib import Path

import pytest

from winrate_tools.cli import output
from winrate_tools.errors import OutputError
from winrate_tools.report.forms.screen import Screen


def test_a_file_is_written_as_utf_8_with_its_own_line_ends(folder: Path):
    output.deliver("é\n", "out.md", force=False)

    assert Path("out.md").read_bytes() == "é\n".encode()


def test_a_file_that_exists_stays_without_force(folder: Path):
    Path("out.md").write_text("old")

    with pytest.raises(OutputError, match=r"^out\.md exists; --force writes over it$"):
        output.deliver("new", "out.md", force=False)
    assert Path("out.md").read_text() == "old"


def test_force_writes_over_and_keeps_the_files_rights(folder: Path):
    Path("out.md").write_text("old")
    Path("out.md").chmod(0o640)
    output.deliver("new", "out.md", force=True)

    assert Path("out.md").read_text() == "new"
    assert stat.S_IMODE(Path("out.md").stat().st_mode) == 0o640


def test_a_new_file_has_the_rights_that_any_new_file_has(folder: Path):
    output.deliver("new", "out.md", force=False)
    Path("plain.md").write_text("new")

    assert Path("out.md").stat().st_mode == Path("plain.md").stat().st_mode


@pytest.mark.parametrize(
    "failure", [OSError(28, "No space left on device"), KeyboardInterrupt()]
)
def test_nothing_half_written_stays_behind(failure, folder: Path, monkeypatch):
    Path("out.md").write_text("old")

    def fail(*_: object) -> None:
        raise failure

    monkeypatch.setattr(Path, "replace", fail)
    with pytest.raises((OutputError, KeyboardInterrupt)) as caught:
        output.deliver("new", "out.md", force=True)
    assert [path.name for path in folder.iterdir()] == ["out.md"]
    assert Path("out.md").read_text() == "old"
    assert isinstance(failure, KeyboardInterrupt) or str(caught.value) == (
        "cannot write out.md: no space left on device"
    )


@pytest.mark.parametrize(
    ("target", "message"),
    [
        ("deep", "deep is a folder; name a file in it"),
        ("nowhere/out.md", "there is no folder 'nowhere' to write out.md to"),
    ],
)
def test_a_target_that_cannot_be_is_refused(target: str, message: str, folder: Path):
    Path("deep").mkdir()

    with pytest.raises(OutputError) as caught:
        output.demand_target(target, force=True)
    assert str(caught.value) == message


def test_what_is_no_plain_file_is_written_to_as_it_is(folder: Path):
    os.mkfifo("pipe")
    reader = os.open("pipe", os.O_RDONLY | os.O_NONBLOCK)
    output.deliver("new", "pipe", force=False)

    assert os.read(reader, 10) == b"new"
    os.close(reader)


@pytest.mark.parametrize(
    ("is_terminal", "environment", "no_color", "screen"),
    [
        (True, {"COLUMNS": "72"}, False, Screen(72, colour=True)),
        (True, {"COLUMNS": "72", "NO_COLOR": "1"}, False, Screen(72)),
        (True, {"COLUMNS": "72", "NO_COLOR": "1", "FORCE_COLOR": "1"}, False, Screen(72)),
        (True, {"COLUMNS": "72", "TERM": "dumb"}, False, Screen(72)),
        (True, {"COLUMNS": "72"}, True, Screen(72)),
        (False, {"COLUMNS": "72"}, False, Screen(72)),
        (False, {"FORCE_COLOR": "1"}, False, Screen(None)),
        (False, {"COLUMNS": "wide"}, False, Screen(None)),
    ],
)
def test_the_screen_follows_the_terminal_and_the_users_wishes(
    is_terminal, environment, no_color, screen, monkeypatch
):
    monkeypatch.setattr("sys.stdout.isatty", lambda: is_terminal, raising=False)
    found = output.screen_for("-", no_color=no_color, environment=environment)

    assert (found.width, found.colour) == (screen.width, screen.colour)


def test_a_file_gets_neither_colours_nor_a_width():
    assert output.screen_for("out.txt", no_color=False, environment={}) == Screen()


@pytest.mark.parametrize(
    ("target", "can"), [("new.md", True), ("old.md", True), ("deep", False), ("-", False)]
)
def test_only_beside_a_plain_file_can_others_stand(target: str, can: bool, folder: Path):
    Path("old.md").write_text("old")
    Path("deep").mkdir()

    assert output.is_plain_file(target) is can


def test_bytes_are_written_as_they_are(folder: Path):
    output.deliver(b"\xff\x00", "out.bin", force=False)

    assert Path("out.bin").read_bytes() == b"\xff\x00"


def test_a_refusal_names_the_option_that_asks_for_the_file(folder: Path):
    Path("cards.csv").write_text("mine")

    with pytest.raises(
        OutputError, match=r"^--html names the table that is read; name another"
    ):
        output.demand_apart("cards.csv", "table", ["cards.csv"], option="--html")
