"""Counts of wins by card, group and fixed columns, checked on construction."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """Binomial counts, one a row in any order, with what is known of each row.

    Parameters
    ----------
    wins, games : ndarray of shape (m,)
        Counts, ``0 <= wins <= games``; need not be whole. Rows without games say nothing.
    card : ndarray of shape (m,)
        Whole numbers from 0: levels of the factor that has many.
    fixed : ndarray of shape (m, p)
        Columns with a coefficient each; an intercept is a column of ones.
    group : ndarray of shape (m,), optional
        Whole numbers from 0: levels of the factor that has few, such as the archetype.
    offset : ndarray of shape (m,), optional
        Log-odds to which everything else is added; 0 by default.

    Raises
    ------
    CountError
        If lengths differ, a count or number is impossible, or a level is not a whole number
        from 0.

    Examples
    --------
    >>> import numpy as np
    >>> cells = Cells(np.array([3, 1]), np.array([5, 4]), np.array([0, 2]), np.ones((2, 1)))
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
        for name in ("wins", "games", "fixed", "offset"):
            if getattr(self, name) is not None:
                object.__setattr__(self, name, np.asarray(getattr(self, name), dtype=float))
        for name in ("card", "group"):
            if getattr(self, name) is not None:
                object.__setattr__(self, name, _levels(name, getattr(self, name)))
        _check_shapes(self)
        _check_numbers(self)

    @property
    def cards(self) -> int:
        """Number of cards, counted to the highest level."""
        return _count(self.card)

    @property
    def groups(self) -> int:
        """Number of groups, counted to the highest level; 0 without groups."""
        return 0 if self.group is None else _count(self.group)


def _count(levels: Places) -> int:
    return int(levels.max(initial=-1)) + 1


def _levels(name: str, values: npt.ArrayLike) -> Places:
    levels = np.asarray(values)
    if levels.dtype.kind not in "iu" or levels.min(initial=0) < 0:
        msg = f"{name} must hold whole numbers from 0"
        raise CountError(msg)
    return levels.astype(np.intp, copy=False)


def _check_shapes(cells: Cells) -> None:
    rows = np.shape(cells.games)[:1]
    for name in ("games", "wins", "card", "group", "offset"):
        column = getattr(cells, name)
        if column is not None and column.shape != rows:
            msg = f"{name} must have one entry a row, {rows}, got {column.shape}"
            raise CountError(msg)
    if cells.fixed.ndim != 2 or cells.fixed.shape[:1] != rows:
        msg = f"fixed must have {rows[0]} rows and a column each, got {cells.fixed.shape}"
        raise CountError(msg)


def _check_numbers(cells: Cells) -> None:
    fine = (cells.wins >= 0) & (cells.wins <= cells.games) & np.isfinite(cells.games)
    if not fine.all():
        row = int(np.argmin(fine))
        got = f"{cells.wins[row]:g} of {cells.games[row]:g}"
        msg = f"counts must be finite with 0 <= wins <= games, got {got} in row {row}"
        raise CountError(msg)
    for name in ("fixed", "offset"):
        column = getattr(cells, name)
        if column is not None and not np.isfinite(column).all():
            msg = f"{name} must hold finite numbers"
            raise CountError(msg)
