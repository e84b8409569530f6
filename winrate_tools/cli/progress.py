"""How far a long read has come: on a terminal, and only once it takes long."""

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

PATIENCE = 1.0
"""Seconds before anything is shown."""
BETWEEN = 0.2


@contextmanager
def progress_shown(
    what: str, *, stream: TextIO | None = None, clock: Callable[[], float] = time.monotonic
) -> Iterator[Callable[[int], None]]:
    """Show on one line how much has been read, and wipe it at the end.

    Parameters
    ----------
    what : str
        What is read.
    stream : text file, optional
        Where to show it, by default standard error; nothing is shown where that is no
        terminal.
    clock : callable, optional
        Tells the time in seconds.

    Yields
    ------
    callable
        To be told the bytes read so far.
    """
    stream = sys.stderr if stream is None else stream
    shown_at, is_shown = clock() + PATIENCE - BETWEEN, False

    def tell(done: int) -> None:
        nonlocal shown_at, is_shown
        if stream.isatty() and clock() >= shown_at + BETWEEN:
            shown_at, is_shown = clock(), True
            stream.write(f"\r{what}: {done / 1e6:,.0f} MB read ")
            stream.flush()

    try:
        yield tell
    finally:
        if is_shown:
            stream.write("\r\x1b[K")
            stream.flush()
