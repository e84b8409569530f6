"""Cells laid out for speed: sorted by card, equal rows added up, cut into blocks.

A block is short enough to stay in a processor's cache while it is worked on, and holds whole
cards, so that sums by card and group need no second step.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import gammaln

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed.cells import Cells

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
ROWS = 12_000
"""Rows of a block: some 100 kB for each column of numbers."""
MOST_GAMES = 1e13
"""Beyond so many games, what is left of the residuals is rounding."""
LONGEST_LIST = 1_000_000
DEPENDENT = 1e-9
"""Share of a column's own size below which the rest of it counts as rounding."""


class Block(NamedTuple):
    """Rows of neighbouring cards.

    Attributes
    ----------
    cards : slice
        The cards in it.
    place : ndarray of shape (m,)
        Where each row's sum belongs in the flat table of these cards by groups.
    wins, losses, games, offset : ndarray of shape (m,)
        Counts, and log-odds to add to.
    fixed : ndarray of shape (p, m)
        Fixed columns, one a line.
    """

    cards: slice
    place: Places
    wins: Numbers
    losses: Numbers
    games: Numbers
    offset: Numbers
    fixed: Numbers


@dataclass(frozen=True, slots=True, eq=False)
class Layout:
    """All blocks, and what every fit of them needs.

    Attributes
    ----------
    blocks : list of Block
        In order of cards.
    shape : tuple of int
        Cards and groups; cells without a group factor have one group of no effect.
    gram : ndarray of shape (p, p)
        Products of the fixed columns, weighted by games.
    games : float
        Sum of games.
    log_ways : float
        Sum of the logs of the binomial coefficients.
    """

    blocks: list[Block]
    shape: tuple[int, int]
    gram: Numbers
    games: float
    log_ways: float


def laid_out(cells: Cells) -> Layout:
    """Sort cells, add up equal rows, and check that the fixed columns can be told apart.

    Parameters
    ----------
    cells : Cells
        Counts in any order.

    Returns
    -------
    Layout
        Rows without games are left out.

    Raises
    ------
    FitError
        If there are no games or more than 1e13, or a fixed column is empty or follows from
        earlier ones.
    """
    shape, games = (cells.cards, max(cells.groups, 1)), float(cells.games.sum())
    if not 0 < games <= MOST_GAMES:
        msg = f"there must be games to learn from, {MOST_GAMES:g} at most, got {games:g}"
        raise FitError(msg)
    rows = _merged(cells, shape[1])
    blocks = _cut(rows, shape)
    size = rows.fixed.shape[1]
    gram = sum(((b.fixed * b.games) @ b.fixed.T for b in blocks), np.zeros((size, size)))
    _check_rank(gram)
    return Layout(blocks, shape, gram, games, _log_ways(cells))


class _Rows(NamedTuple):
    """Rows in order; `place` is the place in the flat table of all cards by groups."""

    place: Places
    wins: Numbers
    games: Numbers
    offset: Numbers
    fixed: Numbers

    def at(self, chosen: slice | npt.NDArray[np.bool_] | Places) -> "_Rows":
        """Return some of the rows."""
        place, wins, games, offset, fixed = self
        return _Rows(place[chosen], wins[chosen], games[chosen], offset[chosen], fixed[chosen])


def _merged(cells: Cells, groups: int) -> _Rows:
    place = cells.card * groups + (0 if cells.group is None else cells.group)
    offset = np.zeros(len(place)) if cells.offset is None else cells.offset
    rows = _Rows(place, cells.wins, cells.games, offset, cells.fixed)
    if not np.all(played := cells.games > 0):
        rows = rows.at(played)
    mark = _mark(rows)
    if _is_rising(rows.place, mark):
        return rows
    order = np.lexsort((mark, rows.place))
    return _added_up(rows.at(order))


def _mark(rows: _Rows) -> Numbers:
    """One number a row, the same for rows whose fixed columns and offset are the same."""
    weights = np.sqrt(np.arange(2.0, rows.fixed.shape[1] + 2))
    return np.asarray(rows.fixed @ weights + rows.offset)


def _is_rising(place: Places, mark: Numbers) -> bool:
    later = place[1:] > place[:-1]
    return bool(np.all(later | ((place[1:] == place[:-1]) & (mark[1:] > mark[:-1]))))


def _added_up(rows: _Rows) -> _Rows:
    """Add the counts of neighbours that are equal in all else."""
    new = (rows.place[1:] != rows.place[:-1]) | (rows.offset[1:] != rows.offset[:-1])
    new |= np.any(rows.fixed[1:] != rows.fixed[:-1], axis=1)
    first = np.concatenate([[0], np.flatnonzero(new) + 1])
    wins, games = (np.add.reduceat(count, first) for count in (rows.wins, rows.games))
    return _Rows(rows.place[first], wins, games, rows.offset[first], rows.fixed[first])


def _cut(rows: _Rows, shape: tuple[int, int]) -> list[Block]:
    """Cut at the first new card after every so many rows."""
    cards, groups = shape
    card = rows.place // groups
    ends = np.searchsorted(card, card[ROWS - 1 :: ROWS], side="right")
    edges = np.unique(np.concatenate([[0], ends, [len(card)]]))
    bounds = np.concatenate([[0], card[edges[1:-1]], [cards]])
    blocks = []
    for low, high, first, last in zip(edges, edges[1:], bounds, bounds[1:], strict=False):
        place, wins, games, offset, fixed = rows.at(slice(int(low), int(high)))
        cut, columns = slice(int(first), int(last)), np.ascontiguousarray(fixed.T)
        here = place - first * groups
        blocks.append(Block(cut, here, wins, np.subtract(games, wins), games, offset, columns))
    return blocks


def _check_rank(gram: Numbers) -> None:
    """Take earlier columns out of each later one, and refuse one of which nothing is left."""
    rest = gram.copy()
    for column in range(len(gram)):
        if gram[column, column] == 0:
            msg = f"fixed column {column} is 0 in every game"
            raise FitError(msg)
        if rest[column, column] <= DEPENDENT * gram[column, column]:
            msg = f"fixed column {column} follows from the columns before it; leave one out"
            raise FitError(msg)
        rest -= np.outer(rest[column], rest[column]) / rest[column, column]


def _log_ways(cells: Cells) -> float:
    """Sum up log binomial coefficients, with a list of log factorials for whole counts."""
    counts = (cells.games, cells.wins, cells.games - cells.wins)
    most = cells.games.max()
    whole = all(np.array_equal(count, np.floor(count)) for count in counts[:2])
    if whole and most < min(LONGEST_LIST, len(cells.games)):
        log_factorial = gammaln(np.arange(1.0, most + 2))
        logs = [log_factorial[count.astype(np.intp)] for count in counts]
    else:
        logs = [gammaln(count + 1) for count in counts]
    return float((logs[0] - logs[1] - logs[2]).sum())
