"""Write results: all or nothing to a file, and to a stream only what it can carry."""

import os
import shutil
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path

import typer

from winrate_tools.errors import OutputError
from winrate_tools.report.screen import Screen

STDOUT = "-"


def check_target(target: str, *, force: bool) -> None:
    """Refuse a target that cannot be written, before any work is done.

    Parameters
    ----------
    target : str
        Path, or ``"-"`` for standard output.
    force : bool
        Whether a file that exists may go.

    Raises
    ------
    OutputError
        If the file exists and `force` is not given, or its folder does not.
    """
    path = Path(target)
    if target == STDOUT:
        return
    if path.is_dir():
        msg = f"{target} is a folder; name a file in it"
        raise OutputError(msg)
    if path.is_file() and not force:
        msg = f"{target} exists; --force writes over it"
        raise OutputError(msg)
    if not path.parent.is_dir():
        msg = f"there is no folder {str(path.parent)!r} to write {path.name} to"
        raise OutputError(msg)


def deliver(text: str, target: str, *, force: bool, encoding: str = "utf-8") -> None:
    """Write a result.

    Parameters
    ----------
    text : str
        The result.
    target : str
        Path, or ``"-"`` for standard output.
    force : bool
        Whether a file that exists may go.
    encoding : str, optional
        Of the bytes written.

    Raises
    ------
    OutputError
        If it cannot be written; nothing half-written stays behind.
    """
    check_target(target, force=force)
    data = text.encode(encoding, errors="backslashreplace")
    if target == STDOUT:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    try:
        _replace(Path(target), data)
    except OSError as error:
        msg = f"cannot write {target}: {(error.strerror or str(error)).lower()}"
        raise OutputError(msg) from error


def _replace(path: Path, data: bytes) -> None:
    """Write beside the target and move into place, so that no reader sees half a file."""
    if path.exists() and not path.is_file():
        path.write_bytes(data)
        return
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        beside.chmod(path.stat().st_mode if path.exists() else 0o666 & ~_mask())
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def _mask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def screen_for(target: str, *, no_color: bool, environment: Mapping[str, str]) -> Screen:
    """Describe what a text is written for.

    Parameters
    ----------
    target : str
        Path, or ``"-"`` for standard output.
    no_color : bool
        Whether the user wants none.
    environment : mapping of str to str
        The environment: ``NO_COLOR``, ``TERM`` and ``COLUMNS`` count.

    Returns
    -------
    Screen
        A terminal's width; without one ``COLUMNS`` if given, else no limit.
    """
    if target != STDOUT:
        return Screen()
    is_terminal = sys.stdout.isatty()
    plain = no_color or bool(environment.get("NO_COLOR")) or environment.get("TERM") == "dumb"
    given = environment.get("COLUMNS", "")
    columns = int(given) if given.isdecimal() and int(given) else None
    if is_terminal and columns is None:
        columns = shutil.get_terminal_size().columns
    return Screen(columns, is_terminal and not plain, sys.stdout.encoding or "utf-8")


def say(text: str) -> None:
    """Tell the user something that is not the result."""
    typer.echo(text, err=True)
