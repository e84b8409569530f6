"""Write a file whole or not at all."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from winrate_tools.errors import OutputError


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
def held(path: Path) -> Iterator[None]:
    """Let no other run of ours change a file between reading it and writing it.

    Parameters
    ----------
    path : Path
        A file, there already or not. Others wait for the lock of its folder, where the system
        knows such locks; elsewhere the last one to write wins.
    """
    try:
        import fcntl

        handle = os.open(path.resolve().parent, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        with suppress(OSError):
            fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _refusal(path: Path, error: Exception) -> OutputError:
    reason = getattr(error, "strerror", None) or str(error)
    return OutputError(f"cannot write {path}: {reason.lower()}")


def _replace(path: Path, data: bytes) -> None:
    if path.exists() and not path.is_file():
        path.write_bytes(data)
        return
    target = path.resolve()
    handle, name = tempfile.mkstemp(prefix=".winrate-", dir=target.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(target.stat().st_mode if target.exists() else 0o666 & ~_mask())
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
