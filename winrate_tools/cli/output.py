"""Write results: all or nothing to a file, and to a stream only what it can carry."""

import shutil
import sys
from collections.abc import Mapping
from pathlib import Path

import typer

from winrate_tools.files import check_target, write_whole
from winrate_tools.report.screen import Screen

STDOUT = "-"


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
