"""Write results: all or nothing to a file, and to a stream only what it can carry."""

import shutil
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

import typer

from winrate_tools.errors import OutputError
from winrate_tools.files import check_target, is_same_file, write_whole
from winrate_tools.report.screen import Screen

STDOUT = "-"
STDIN_PATH = Path("/dev/stdin")


def demand_target(target: str, *, force: bool) -> None:
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
    if target != STDOUT:
        check_target(Path(target), force=force)


def demand_apart(target: str, what: str, read: Iterable[str | Path]) -> None:
    """Refuse to write over what is read.

    Parameters
    ----------
    target : str
        Path, or ``"-"`` for standard output.
    what : str
        What the files that are read hold, for the message.
    read : iterable of str or Path
        Their paths, ``"-"`` for standard input.

    Raises
    ------
    OutputError
        If the target is one of them, by whichever path.
    """
    for path in read:
        source = STDIN_PATH if path == STDOUT else Path(path)
        if target != STDOUT and is_same_file(Path(target), source):
            msg = f"-o names the {what} that is read; name another file to write to"
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
    demand_target(target, force=force)
    data = text.encode(encoding, errors="backslashreplace")
    if target == STDOUT:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    write_whole(Path(target), data)


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
