"""Write results: all or nothing to a file, and to a stream only what it can carry."""

import re
import shutil
import sys
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from winrate_tools.errors import OutputError
from winrate_tools.files import check_target, is_same_file, write_whole

if TYPE_CHECKING:
    from winrate_tools.report.forms.screen import Screen

STDIN = STDOUT = "-"
STDIN_PATH = Path("/dev/stdin")
COLUMNS = re.compile(r"0*[1-9]\d{0,5}")


def demand_target(target: str, *, force: bool) -> None:
    """Refuse a file that cannot be written, as `check_target` does; the screen always can."""
    if target != STDOUT:
        check_target(Path(target), force=force)


def demand_apart(
    target: str, what: str, read: Iterable[str | Path], *, option: str = "-o"
) -> None:
    """Refuse to write over what is read, by whichever path.

    Parameters
    ----------
    what : str
        What the files that are read hold, for the message.
    option : str, optional
        What asks for the target, for the message.

    Raises
    ------
    OutputError
        If the target is one of them.
    """
    for path in read:
        source = STDIN_PATH if path == STDOUT else Path(path)
        if target != STDOUT and is_same_file(Path(target), source):
            msg = f"{option} names the {what} that is read; name another file to write to"
            raise OutputError(msg)


def is_plain_file(target: str) -> bool:
    """Tell whether a target is a file, there already or not, that others can stand beside."""
    path = Path(target)
    return target != STDOUT and (path.is_file() or not path.exists())


def deliver(text: str | bytes, target: str, *, force: bool, encoding: str = "utf-8") -> None:
    """Write a result to a file, or to standard output for ``"-"``.

    Raises
    ------
    OutputError
        If it cannot be written; nothing half-written stays behind.
    """
    demand_target(target, force=force)
    if isinstance(text, str):
        text = text.encode(encoding, errors="backslashreplace")
    if target == STDOUT:
        _deliver_to_stdout(text)
        return
    write_whole(Path(target), text)


def _deliver_to_stdout(data: bytes) -> None:
    if sys.stdout is None:
        msg = "standard output is closed; -o FILE writes to a file"
        raise OutputError(msg)
    sys.stdout.flush()
    sys.stdout.buffer.write(data)
    sys.stdout.buffer.flush()


def screen_for(target: str, *, no_color: bool, environment: Mapping[str, str]) -> "Screen":
    """Describe what a text is written for; `NO_COLOR`, `TERM` and `COLUMNS` count.

    Returns
    -------
    Screen
        A terminal's width; without one ``COLUMNS`` if given, else no limit.
    """
    from winrate_tools.report.forms.screen import Screen

    if target != STDOUT or sys.stdout is None:
        return Screen()
    is_terminal = sys.stdout.isatty()
    plain = no_color or bool(environment.get("NO_COLOR")) or environment.get("TERM") == "dumb"
    given = environment.get("COLUMNS", "")
    columns = int(given) if COLUMNS.fullmatch(given) else None
    if is_terminal and columns is None:
        columns = shutil.get_terminal_size().columns
    return Screen(columns, is_terminal and not plain, sys.stdout.encoding or "utf-8")


def tell_notes(notes: Iterable[str]) -> None:
    """Tell the user what was assumed, left out, or limits the result."""
    for note in notes:
        say(f"note: {note}")


def say(text: str) -> None:
    """Tell the user something that is not the result, if anybody listens."""
    with suppress(OSError):
        typer.echo(text, err=True)
