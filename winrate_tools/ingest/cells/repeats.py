"""Cells come again and again: what was made of a short one is kept."""

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import TypeVar

Answer = TypeVar("Answer")
SHORT = 100
"""Characters of a cell that is worth keeping."""
KEPT = 20_000
"""Cells of which the answer is kept."""


def remembered(work: Callable[[str], Answer]) -> Callable[[str], Answer]:
    """Keep what a function of one cell made of short ones.

    Parameters
    ----------
    work : callable
        Gives the same for the same text, every time, and nothing that can be changed.

    Returns
    -------
    callable
        The same, quicker where cells repeat.

    Examples
    --------
    >>> seen = []
    >>> length = remembered(lambda text: seen.append(text) or len(text))
    >>> [length(text) for text in ("Ash", "Ash", "Moth")], seen
    ([3, 3, 4], ['Ash', 'Moth'])
    """
    known = lru_cache(KEPT)(work)

    @wraps(work)
    def answer(text: str) -> Answer:
        return known(text) if len(text) <= SHORT else work(text)

    return answer
