"""Writing files whole or not at all."""

import fcntl
import os
import sys
import tempfile
from pathlib import Path
from threading import Event, Thread
from time import sleep
from types import ModuleType

import pytest

from winrate_tools.errors import OutputError
from winrate_tools.files import (
    LOCK,
    PAUSE,
    UNFINISHED,
    check_target,
    held,
    is_same_file,
    unfinished,
    write_whole,
)


def test_a_new_file_holds_all_of_its_content_and_nothing_lies_beside_it(tmp_path: Path):
    write_whole(tmp_path / "cuts.md", b"Ash Vine\n")

    assert (tmp_path / "cuts.md").read_bytes() == b"Ash Vine\n"
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.md"]


def test_a_file_that_is_replaced_keeps_its_permissions(tmp_path: Path):
    target = tmp_path / "cuts.md"
    target.write_text("old")
    target.chmod(0o640)

    write_whole(target, b"new")

    assert target.read_bytes() == b"new"
    assert target.stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize(("mask", "mode"), [(0o027, 0o640), (0o077, 0o600), (0o022, 0o644)])
def test_a_new_file_has_the_permissions_that_its_owner_gives_new_files(
    tmp_path: Path, mask: int, mode: int
):
    before = os.umask(mask)
    try:
        write_whole(tmp_path / "cuts.md", b"new")
    finally:
        after = os.umask(before)

    assert (tmp_path / "cuts.md").stat().st_mode & 0o777 == mode
    assert after == mask


def test_a_link_stays_a_link_and_its_target_is_replaced(tmp_path: Path):
    target, link = tmp_path / "real.md", tmp_path / "link.md"
    target.write_text("old")
    link.symlink_to(target)

    write_whole(link, b"new")

    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_a_failed_move_leaves_the_old_file_and_no_litter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    target = tmp_path / "cuts.md"
    target.write_text("old")

    def full(_self: Path, _target: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OutputError, match=r"cannot write .*: no space left on device"):
        write_whole(target, b"new")

    assert target.read_text() == "old"
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.md"]


def test_what_is_no_plain_file_is_written_to_directly(tmp_path: Path):
    # A pipe stands for every device: one of the system's own is nothing to try this on.
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    end = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)

    write_whole(pipe, b"through")

    assert os.read(end, 99) == b"through"
    assert pipe.is_fifo()
    os.close(end)


@pytest.mark.parametrize(
    ("name", "force", "message"),
    [
        pytest.param(".", True, "is a folder; name a file in it", id="folder"),
        pytest.param("there.md", False, "exists; --force writes over it", id="exists"),
        pytest.param("a\0b", True, "cannot write .*: embedded null byte", id="no name"),
        pytest.param("no/cuts.md", True, "there is no folder .* to write cuts.md", id="none"),
    ],
)
def test_a_target_that_cannot_be_written_is_refused_beforehand(
    tmp_path: Path, name: str, force: bool, message: str
):
    (tmp_path / "there.md").write_text("old")

    with pytest.raises(OutputError, match=message):
        check_target(tmp_path / name, force=force)


def test_force_lets_a_file_that_exists_go(tmp_path: Path):
    (tmp_path / "there.md").write_text("old")

    assert check_target(tmp_path / "there.md", force=True) is None


def test_a_file_is_itself_by_every_path_that_leads_to_it(tmp_path: Path):
    file, link, twin = tmp_path / "a.csv", tmp_path / "link.csv", tmp_path / "twin.csv"
    file.write_text("same")
    twin.write_text("same")
    link.symlink_to(file)
    (tmp_path / "deep").mkdir()

    assert is_same_file(file, file)
    assert is_same_file(link, file)
    assert is_same_file(tmp_path / "deep" / ".." / "a.csv", file)
    assert not is_same_file(twin, file)
    assert not is_same_file(tmp_path / "new.csv", file)
    assert not is_same_file(file, tmp_path / "new.csv")
    assert not is_same_file(Path(os.devnull), Path(os.devnull))


def left_behind(folder: Path, name: str = "12345678") -> Path:
    path = folder / f"{UNFINISHED}{name}"
    path.write_bytes(b"half of it")
    return path


def test_what_a_killed_run_left_goes_with_the_next_write(tmp_path: Path):
    left = [left_behind(tmp_path, name) for name in ("12345678", "abcdefg_")]

    write_whole(tmp_path / "cuts.md", b"whole")

    assert [path.exists() for path in left] == [False, False]
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.md"]


def test_a_file_that_is_being_written_is_left_alone(tmp_path: Path):
    with unfinished(tmp_path) as theirs:
        theirs.write_bytes(b"theirs")
        write_whole(tmp_path / "cuts.md", b"ours")

        assert theirs.read_bytes() == b"theirs"
    assert not theirs.exists()


def test_nothing_that_only_looks_like_ours_is_removed(tmp_path: Path):
    folder, link = tmp_path / f"{UNFINISHED}a_folder", tmp_path / f"{UNFINISHED}the_link"
    folder.mkdir()
    link.symlink_to(tmp_path / "own.txt")
    kept = [left_behind(tmp_path, name) for name in ("notes.txt", "short")]
    (tmp_path / "own.txt").write_text("own")

    write_whole(tmp_path / "cuts.md", b"whole")

    assert folder.is_dir()
    assert link.is_symlink()
    assert [path.exists() for path in kept] == [True, True]
    assert (tmp_path / "own.txt").read_text() == "own"


def test_a_file_that_cannot_be_opened_stands_in_nobodys_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    left = left_behind(tmp_path)

    def refused(*_given: object) -> int:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patched:
        patched.setattr("winrate_tools.files._remove_if_free", refused)
        write_whole(tmp_path / "cuts.md", b"whole")

    assert (tmp_path / "cuts.md").read_bytes() == b"whole"
    assert left.exists()


def test_a_new_file_that_is_swept_away_before_it_is_held_is_made_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    made: list[Path] = []
    make = tempfile.mkstemp

    def swept(**options: str) -> tuple[int, str]:
        handle, name = make(**options)
        made.append(Path(name))
        if len(made) == 1:
            made[0].unlink()
        return handle, name

    monkeypatch.setattr(tempfile, "mkstemp", swept)
    write_whole(tmp_path / "cuts.md", b"whole")

    assert len(made) == 2
    assert [path.name for path in tmp_path.iterdir()] == ["cuts.md"]


def test_without_locks_nothing_is_swept_and_all_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    left = left_behind(tmp_path)
    monkeypatch.setitem(sys.modules, "fcntl", None)

    with held(tmp_path / "cuts.md"):
        write_whole(tmp_path / "cuts.md", b"whole")

    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(["cuts.md", left.name])


def test_no_handle_stays_open(tmp_path: Path):
    before = len(list(Path("/dev/fd").iterdir()))
    left_behind(tmp_path)

    with held(tmp_path / "cuts.md"):
        write_whole(tmp_path / "cuts.md", b"whole")

    assert len(list(Path("/dev/fd").iterdir())) == before


def test_while_a_file_is_held_its_folder_is_locked(tmp_path: Path):
    handle = os.open(tmp_path, os.O_RDONLY)
    with held(tmp_path / "cuts.md"), pytest.raises(BlockingIOError):
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)

    assert fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB) is None
    os.close(handle)


def test_a_file_in_no_folder_can_be_held(tmp_path: Path):
    with held(tmp_path / "none" / "cuts.md"):
        assert not (tmp_path / "none").exists()


def second_waits(path: Path, seconds: float) -> bool:
    """Hold a file for some seconds; tell whether another thread gets it then, not sooner."""
    arrived = Event()

    def second() -> None:
        with held(path):
            arrived.set()

    waiting = Thread(target=second)
    with held(path):
        waiting.start()
        came_too_soon = arrived.wait(seconds)
    waiting.join(timeout=9)
    return arrived.is_set() and not came_too_soon


def test_who_comes_second_waits_for_the_file_that_is_held(tmp_path: Path):
    assert second_waits(tmp_path / "cuts.md", 0.2)


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """A system that opens no folders, and whose locks belong to files and wait for nobody."""
    opened, locked = os.open, fcntl.flock

    def no_folder(path: Path, flags: int, mode: int = 0o777, **options: int) -> int:
        if Path(path).is_dir():
            raise PermissionError(13, "Permission denied", str(path))
        return opened(path, flags, mode, **options)

    def locking(handle: int, mode: int, bytes_of_it: int) -> None:
        assert (mode, bytes_of_it) == (2, 1)
        try:
            locked(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            raise PermissionError(13, "Permission denied") from error

    fake = ModuleType("msvcrt")
    fake.LK_NBLCK, fake.locking = 2, locking
    monkeypatch.setitem(sys.modules, "msvcrt", fake)
    monkeypatch.setitem(sys.modules, "fcntl", None)
    monkeypatch.setattr(os, "open", no_folder)
    return fake


@pytest.mark.usefixtures("windows")
def test_on_windows_too_who_comes_second_waits(tmp_path: Path):
    assert second_waits(tmp_path / "cuts.md", 4 * PAUSE)


def counted_by_many(path: Path, runs: int) -> int:
    """Let threads add one to the number in a file, all at once."""
    path.write_bytes(b"0")

    def one_more() -> None:
        with held(path):
            before = int(path.read_bytes())
            sleep(0.002)
            write_whole(path, b"%d" % (before + 1))

    threads = [Thread(target=one_more) for _ in range(runs)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=20)
    return int(path.read_bytes())


def test_of_many_runs_at_one_moment_none_is_lost(tmp_path: Path):
    assert counted_by_many(tmp_path / "count", 12) == 12


@pytest.mark.usefixtures("windows")
def test_on_windows_too_none_of_many_runs_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr("winrate_tools.files.PAUSE", 0.002)

    assert counted_by_many(tmp_path / "count", 12) == 12


@pytest.mark.usefixtures("windows")
def test_on_windows_an_empty_file_is_what_runs_wait_for(tmp_path: Path):
    with held(tmp_path / "cuts.md"):
        write_whole(tmp_path / "cuts.md", b"whole")

    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {
        "cuts.md": b"whole",
        LOCK: b"",
    }


@pytest.mark.usefixtures("windows")
def test_on_windows_too_no_handle_stays_open(tmp_path: Path):
    before = len(list(Path("/dev/fd").iterdir()))

    with held(tmp_path / "cuts.md"):
        write_whole(tmp_path / "cuts.md", b"whole")

    assert len(list(Path("/dev/fd").iterdir())) == before


def test_on_windows_a_drive_without_locks_is_written_to_all_the_same(
    tmp_path: Path, windows: ModuleType
):
    def no_locks(_handle: int, _mode: int, _bytes: int) -> None:
        raise OSError(22, "Invalid argument")

    windows.locking = no_locks
    with held(tmp_path / "cuts.md"):
        write_whole(tmp_path / "cuts.md", b"whole")

    assert (tmp_path / "cuts.md").read_bytes() == b"whole"
