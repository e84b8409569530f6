"""Every single change that a program of copies may make."""

from collections.abc import Iterator
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
        item: list[int] = []
        copies: list[int] = []
        worth: list[float] = []
        order: list[Pair] = []
        apart: list[Pair] = []
        for i in range(len(program.before)):
            first = len(item)
            down, up = (list(_steps(program, i, sign)) for sign in (-1, 1))
            item += [i] * len(down + up)
            copies += [step for step, _ in down + up]
            worth += [value for _, value in down + up]
            if any(abs(step) != 1 for step, _ in down + up):
                middle, last = first + len(down), len(item)
                order += [*pairwise(range(first, middle)), *pairwise(range(middle, last))]
                apart += [(first, middle)] if down and up else []
        return cls(
            np.array(item, dtype=np.int64),
            np.array(copies, dtype=np.int64),
            np.array(worth, dtype=np.float64),
            tuple(order),
            tuple(apart),
        )

    def after(self, before: Counts, taken: Numbers) -> Counts:
        """Return the copies once some steps are taken."""
        moved = np.bincount(self.item, self.copies * taken, len(before))
        return np.asarray(before + np.rint(moved).astype(np.int64))


def _steps(program: Program, item: int, sign: int) -> Iterator[tuple[int, float]]:
    """Yield each step's copies and worth, the nearest level first."""
    now, levels = int(program.before[item]), program.levels[item]
    ahead = sorted((level for level in levels if sign * (level - now) >= 0), key=abs)
    for start, end in pairwise(ahead if sign > 0 else ahead[::-1]):
        low, high = sorted((start, end))
        cost = (program.entry if sign > 0 else program.exit)[item] * (high - low)
        yield end - start, float(sign * program.worth[item, low:high].sum() - cost)
