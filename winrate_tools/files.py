"""Write a file whole or not at all."""

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from pathlib import Path
from time import sleep

from winrate_tools.errors import OutputError

UNFINISHED = ".winrate-unfinished-"
LOCK = ".winrate-lock"
"""An empty file to wait for, in folders that cannot be opened."""
PAUSE = 0.05
"""Seconds between two tries for a lock where the system does not wait for one."""


def check_target(path: Path, *, force: bool) -> None:
    """Refuse a target that cannot be written, before any work is done.

    Parameters
    ----------
    path : Path
        File to write.
    force : bool
        Whether a file that exists may go.

    Raises
    ------
    OutputError
        If the path is a folder, its folder does not exist, the file exists and `force` is not
        given, or no file can have that name.
    """
    try:
        path.stat()
    except FileNotFoundError:
        pass
    except (OSError, ValueError) as error:
        raise _refusal(path, error) from error
    if path.is_dir():
        msg = f"{path} is a folder; name a file in it"
        raise OutputError(msg)
    if path.is_file() and not force:
        msg = f"{path} exists; --force writes over it"
        raise OutputError(msg)
    if not path.parent.is_dir():
        msg = f"there is no folder {str(path.parent)!r} to write {path.name} to"
        raise OutputError(msg)


def is_same_file(path: Path, other: Path) -> bool:
    """Tell whether two paths lead to one plain file, by a link or another spelling too."""
    try:
        return path.is_file() and path.samefile(other)
    except OSError:
        return False


def write_whole(path: Path, data: bytes) -> None:
    """Write beside the target and move into place, so that nobody ever sees half a file.

    Parameters
    ----------
    path : Path
        File to write; one that exists is replaced and keeps its permissions. What is no plain
        file, such as a device, is written to directly.
    data : bytes
        All of its content.

    Raises
    ------
    OutputError
        If it cannot be written; what was there before is still there.
    """
    try:
        _replace(path, data)
    except OSError as error:
        raise _refusal(path, error) from error


@contextmanager
def unfinished(folder: Path) -> Iterator[Path]:
    """Lend a new file beside those it may replace; it is gone afterwards, or moved away.

    Parameters
    ----------
    folder : Path
        Where to make it. What runs that were killed left there goes first, where the system
        knows locks: a file that nobody holds is nobody's.

    Yields
    ------
    Path
        An empty file, which only its owner may read.

    Raises
    ------
    OSError
        If the folder cannot be written to.
    """
    _sweep(folder)
    handle, beside, is_locked = _own_file(folder)
    if not is_locked:
        os.close(handle)  # where there are no locks, a file that is open may not be moved
    try:
        yield beside
    finally:
        beside.unlink(missing_ok=True)
        if is_locked:
            os.close(handle)


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Let no other run of ours change a file between reading it and writing it.

    Parameters
    ----------
    path : Path
        A file, there already or not. Others wait for the lock of its folder; on Windows, where
        folders have none, for that of an empty file in it. That file stays: whoever removed it
        might take it from under one who waits.
    """
    try:
        handle = _gate(path.resolve().parent)
    except OSError:
        yield
        return
    try:
        _wait_for(handle)
        yield
    finally:
        os.close(handle)


def _gate(folder: Path) -> int:
    """Open what runs wait for."""
    try:
        return os.open(folder, os.O_RDONLY)
    except PermissionError:
        return os.open(folder / LOCK, os.O_RDWR | os.O_CREAT)


def _wait_for(handle: int) -> None:
    """Lock a file or folder for this run, once no other run holds it."""
    try:
        windows = import_module("msvcrt")
    except ImportError:
        _is_locked(handle, wait=True)
        return
    while True:
        try:
            windows.locking(handle, windows.LK_NBLCK, 1)
        except PermissionError:
            sleep(PAUSE)
        except OSError:
            return
        else:
            return


def _refusal(path: Path, error: Exception) -> OutputError:
    if getattr(error, "errno", None) == errno.ELOOP:
        return OutputError(f"cannot write {path}: it is a link that leads to itself")
    reason = getattr(error, "strerror", None) or str(error)
    return OutputError(f"cannot write {path}: {reason.lower()}")


def _replace(path: Path, data: bytes) -> None:
    if path.exists() and not path.is_file():
        path.write_bytes(data)
        return
    target = path.resolve()
    with unfinished(target.parent) as beside:
        with beside.open("wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(target.stat().st_mode if target.exists() else 0o666 & ~_mask())
        beside.replace(target)


def _own_file(folder: Path) -> tuple[int, Path, bool]:
    """Make a file and lock it, anew if somebody swept it away in between."""
    from tempfile import mkstemp

    while True:
        handle, name = mkstemp(prefix=UNFINISHED, dir=folder)
        is_locked = _is_locked(handle, wait=True)
        if os.fstat(handle).st_nlink:
            return handle, Path(name), is_locked
        os.close(handle)


def _sweep(folder: Path) -> None:
    """Remove the files of runs that ended before they could."""
    for path in folder.glob(f"{UNFINISHED}????????"):
        if path.is_file() and not path.is_symlink():
            with suppress(OSError):
                _remove_if_free(path)


def _remove_if_free(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        if _is_locked(handle, wait=False):
            path.unlink()
    finally:
        os.close(handle)


def _is_locked(handle: int, *, wait: bool) -> bool:
    """Lock a file or folder for this run; whether that was possible."""
    try:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except (ImportError, OSError):
        return False
    return True


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
