"""Large tables are read without looking for garbage: what they make is kept."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def unsearched() -> Iterator[None]:
    """Let Python look for garbage afterwards, and only if it did before.

    It looks after some hundred new objects, through more and more of them, and a table of
    many cards by archetype is made of nothing else.

    Examples
    --------
    >>> with unsearched():
    ...     gc.isenabled()
    False
    >>> gc.isenabled()
    True
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
