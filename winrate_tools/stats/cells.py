"""Counts of wins by card, group and fixed columns, checked and laid out for a fit."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import gammaln

from winrate_tools.errors import CountError, FitError

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
ROWS_IN_CACHE = 16_000
LONGEST_TABLE = 1_000_000
DEPENDENT = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Binomial counts, one a row, with what is known of each row; rows come in any order.

    Parameters
    ----------
    wins, games : ndarray of shape (m,)
        Counts, ``0 <= wins <= games``; need not be whole. Rows without games say nothing.
    card : ndarray of shape (m,)
        Codes from 0 of the factor with many levels.
    fixed : ndarray of shape (m, p)
        Columns with a coefficient each; an intercept is a column of ones.
    group : ndarray of shape (m,), optional
        Codes from 0 of the factor with few levels, such as the archetype.
    offset : ndarray of shape (m,), optional
        Log-odds to which everything is added; 0 by default.

    Raises
    ------
    CountError
        If lengths differ, a count or number is impossible, or a code is negative.

    Examples
    --------
    >>> import numpy as np
    >>> cells = Cells(np.array([3.0, 1.0]), np.array([5.0, 4.0]), np.array([0, 2]),
    ...               fixed=np.ones((2, 1)))
    >>> cells.cards, cells.groups
    (3, 0)
    """

    wins: Numbers
    games: Numbers
    card: Places
    fixed: Numbers
    group: Places | None = None
    offset: Numbers | None = None

    def __post_init__(self) -> None:
        rows = np.shape(self.games)
        for name in ("wins", "card", "group", "offset"):
            column = getattr(self, name)
            if column is not None and np.shape(column) != rows:
                msg = f"{name} must have one entry a row {rows}, got {np.shape(column)}"
                raise CountError(msg)
        if np.ndim(self.fixed) != 2 or len(self.fixed) != len(self.games):
            msg = f"fixed must have one row of columns a cell {rows}, got {self.fixed.shape}"
            raise CountError(msg)
        fine = (self.wins >= 0) & (self.wins <= self.games) & np.isfinite(self.games)
        if not np.all(fine):
            msg = "counts must be finite with 0 <= wins <= games"
            raise CountError(msg)
        if not (np.all(np.isfinite(self.fixed)) and np.all(np.isfinite(self.offset or_zero))):
            msg = "fixed columns and offsets must be finite"
            raise CountError(msg)
