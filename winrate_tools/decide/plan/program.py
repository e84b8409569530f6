r"""The choice of copies as an integer program.

With :math:`b_i` copies of item :math:`i` now and :math:`y_i` afterwards, the program is

.. math::

    \max_y \sum_i \sum_{c \le y_i} v_{ic} - \sum_i \left(e_i [y_i - b_i]_+ + o_i [b_i - y_i]_+
    \right) + \sum_h g_h \min\left(\sum_i a_{hi} (y_i - b_i), r_h\right),

each :math:`y_i` at one of the item's levels, within the limits. The worth :math:`v_{ic}` of a
further copy never grows with :math:`c`. `winrate_tools.decide.plan.solving` solves it.
"""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Counted = Literal["copies", "added", "removed"]
TINY = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Limit:
    """Bounds on a weighted count of copies.

    Attributes
    ----------
    name : str
        What is limited, as its owner would say it.
    weight : ndarray of shape (n,)
        What one copy of each item counts.
    low, high : float
        Bounds; infinite where there is none.
    of : str
        Which copies count: ``"copies"`` in the pool afterwards, ``"added"`` or ``"removed"``.
    """

    name: str
    weight: Numbers
    low: float = -np.inf
    high: float = np.inf
    of: Counted = "copies"

    def amount(self, before: Counts, after: Counts) -> float:
        """Count what the limit is about."""
        change = after - before
        counted = {"copies": after, "added": change.clip(0), "removed": (-change).clip(0)}
        return float(self.weight @ counted[self.of])

    def holds(self, before: Counts, after: Counts) -> bool:
        """Tell whether a choice keeps within the bounds."""
        return self.low - TINY <= self.amount(before, after) <= self.high + TINY


@dataclass(frozen=True, slots=True, eq=False)
class Bends:
    """What changes of archetypes' strengths are worth, as H gains that stop growing.

    A cost that sets in beyond some change is one of them too: `side` counts the change with
    its sign turned, and `room` is the change, below 0, from which on it costs.

    Attributes
    ----------
    side : ndarray of shape (H, n)
        What one more copy of each item adds to each sum.
    rate : ndarray of shape (H,)
        Worth of a unit of the sum, at least 0.
    room : ndarray of shape (H,)
        Sum from which on no more is gained.
    """

    side: Numbers
    rate: Numbers
    room: Numbers

    @classmethod
    def none(cls, items: int) -> "Bends":
        """Return no bends for some items."""
        return cls(np.zeros((0, items)), np.zeros(0), np.zeros(0))

    def worth(self, change: Counts) -> float:
        """Sum up what the changes of strength are worth."""
        return float(self.rate @ np.minimum(self.side @ change, self.room))


@dataclass(frozen=True, slots=True, eq=False)
class Program:
    """Which copies of n items to hold.

    Attributes
    ----------
    before : ndarray of int, shape (n,)
        Copies now.
    levels : tuple of tuple of int
        The numbers of copies that each item may have, ascending, the present one among them.
    worth : ndarray of shape (n, C)
        Worth of each copy up to the most, the first one first; never growing.
    entry, exit : ndarray of shape (n,)
        Cost of a copy that comes in and of one that goes out, at least 0.
    bends : Bends
        What archetypes' strengths are worth.
    limits : tuple of Limit
        Bounds to keep within.

    Examples
    --------
    A weak card, and a stronger one for its place:

    >>> bends = Bends.none(2)
    >>> size = Limit("cards in the pool", np.ones(2), 3, 3)
    >>> program = Program(np.array([3, 0]), ((0, 1, 2, 3), (0, 1, 2)),
    ...                   np.array([[-2.0] * 3, [1.0] * 3]), *[np.full(2, 0.1)] * 2,
    ...                   bends, (size,))
    >>> program.value(np.array([1, 2]))
    5.6
    """

    before: Counts
    levels: tuple[tuple[int, ...], ...]
    worth: Numbers
    entry: Numbers
    exit: Numbers
    bends: Bends
    limits: tuple[Limit, ...] = field(default=())

    def value(self, after: Counts) -> float:
        """Worth of a choice against leaving everything as it is."""
        copy = np.arange(1, self.worth.shape[1] + 1)
        held, had = (copy <= count[:, None] for count in (after, self.before))
        change = after - self.before
        cost = self.entry @ change.clip(0) + self.exit @ (-change).clip(0)
        moved = float((self.worth * (held.astype(float) - had)).sum() - cost)
        return moved + self.bends.worth(change) - self.bends.worth(0 * change)
