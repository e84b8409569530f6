"""How far long work has come: on a terminal, and only once it takes long."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

PATIENCE = 1.0
"""Seconds before anything is shown."""
BETWEEN = 0.2


def megabytes_read(done: int) -> str:
    """Say how much has been read.

    Examples
    --------
    >>> megabytes_read(12_345_678)
    '12 MB read'
    """
    return f"{done / 1e6:,.0f} MB read"


@contextmanager
def progress_shown(
    what: str,
    said: Callable[[int], str] = megabytes_read,
    *,
    patience: float = PATIENCE,
    stream: TextIO | None = None,
    clock: Callable[[], float] = time.monotonic,
) -> Iterator[Callable[[int], None]]:
    """Show on one line how far work has come, and wipe it at the end.

    Parameters
    ----------
    what : str
        What is being done.
    said : callable, optional
        Says how far it has come.
    patience : float, optional
        Seconds before anything is shown.
    stream : text file, optional
        Where to show it, by default standard error; nothing is shown where that is no
        terminal.
    clock : callable, optional
        Tells the time in seconds.

    Yields
    ------
    callable
        To be told how far it has come: the bytes read so far, if `said` says no other.
    """
    stream = sys.stderr if stream is None else stream
    shown_at, is_shown = clock() + patience - BETWEEN, False

    def tell(done: int) -> None:
        nonlocal shown_at, is_shown
        if stream.isatty() and clock() >= shown_at + BETWEEN:
            shown_at, is_shown = clock(), True
            stream.write(f"\r{what}: {said(done)} ")
            stream.flush()

    try:
        yield tell
    finally:
        if is_shown:
            stream.write("\r\x1b[K")
            stream.flush()
