"""Every single change that a program of copies may make."""

from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.plan.program import Program

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Pair = tuple[int, int]


class Steps(NamedTuple):
    """The S steps of items from level to level, away from what they have now.

    Attributes
    ----------
    item : ndarray of int, shape (S,)
        Whose step it is.
    copies : ndarray of int, shape (S,)
        Copies that come in, below 0 for those that go out.
    worth : ndarray of shape (S,)
        What the step is worth, its cost taken off.
    order : tuple of (int, int)
        Steps of which the second waits for the first.
    apart : tuple of (int, int)
        Steps of which at most one is made.

    Examples
    --------
    >>> from winrate_tools.decide.plan.program import Bends
    >>> bends = Bends.none(1)
    >>> worth = np.array([[2.0, 1.5, 1.0]])
    >>> program = Program(np.array([3]), ((0, 2, 3),), worth, *[np.zeros(1)] * 2, bends)
    >>> steps = Steps.of(program)
    >>> steps.copies.tolist(), steps.worth.tolist(), steps.order
    ([-1, -2], [-1.0, -3.5], ((0, 1),))
    """

    item: Counts
    copies: Counts
    worth: Numbers
    order: tuple[Pair, ...]
    apart: tuple[Pair, ...]

    @classmethod
    def of(cls, program: Program) -> "Steps":
        """List the steps of a program."""
        item, start, end, order, apart = _ways(tuple(program.before.tolist()), program.levels)
        whole = np.pad(program.worth.cumsum(axis=1), ((0, 0), (1, 0)))
        cost = np.where(end > start, program.entry[item], program.exit[item])
        worth = whole[item, end] - whole[item, start] - cost * abs(end - start)
        return cls(item, end - start, worth, order, apart)

    def after(self, before: Counts, taken: Numbers) -> Counts:
        """Return the copies once some steps are taken."""
        moved = np.bincount(self.item, self.copies * taken, len(before))
        return np.asarray(before + np.rint(moved).astype(np.int64))


class _Ways(NamedTuple):
    """Items, levels at which their steps start and end, and which steps keep to each other."""

    item: Counts
    start: Counts
    end: Counts
    order: tuple[Pair, ...]
    apart: tuple[Pair, ...]


@lru_cache(maxsize=1)
def _ways(before: tuple[int, ...], levels: tuple[tuple[int, ...], ...]) -> _Ways:
    """List the steps of items, which all programs of a plan share."""
    ways: list[tuple[int, int, int]] = []
    order: list[Pair] = []
    apart: list[Pair] = []
    for i, (now, known) in enumerate(zip(before, levels, strict=True)):
        down = list(pairwise(level for level in reversed(known) if level <= now))
        up = list(pairwise(level for level in known if level >= now))
        first, middle = len(ways), len(ways) + len(down)
        ways += [(i, start, end) for start, end in (*down, *up)]
        if any(abs(end - start) != 1 for start, end in (*down, *up)):
            order += [*pairwise(range(first, middle)), *pairwise(range(middle, len(ways)))]
            apart += [(first, middle)] if down and up else []
    item, start, end = np.array(ways, dtype=np.int64).reshape(-1, 3).T
    return _Ways(item, start, end, tuple(order), tuple(apart))
