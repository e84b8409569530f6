r"""Laplace's approximation for binomial counts with crossed effects: height, slope, modes.

With log-odds :math:`\eta = X\beta + o + Zb` and effects :math:`b \sim N(0, V)`, the effects'
mode obeys :math:`b = V A` for the table :math:`A` of sums of residuals by cell. The
log-likelihood is

.. math:: \ell(\hat b) - \tfrac12 A'VA - \tfrac12 \log|I + WV|

and its slopes in :math:`\beta` and the variances follow exactly, by way of how the mode moves.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed.arrow import Arrow, Variances, by_kind
from winrate_tools.stats.crossed.blocks import Block, Layout

Numbers = npt.NDArray[np.float64]
MOST_STEPS = 100
MOST_HALVINGS = 40
ROUNDING = 1e-14
"""Log density that may be lost to rounding, for each game."""
SETTLED = 1e-20
"""Twice the log density that a next step towards the mode would gain at most."""
CLOSE = 1e-9
"""The same, from where one more step is enough, since each doubles the digits."""


class Point(NamedTuple):
    """Coefficients of the fixed columns, shape (p,), and variances of the effects."""

    fixed: Numbers
    variances: Variances


class _Rows(NamedTuple):
    """What one block's rows say: each of shape (m,)."""

    residual: Numbers
    weight: Numbers


@dataclass(frozen=True, eq=False)
class Look:
    """All cells seen from one point and one dual table; nothing is solved for yet.

    Parameters
    ----------
    layout : Layout
        The cells.
    point : Point
        Fixed coefficients and variances.
    dual : ndarray of shape (n, K)
        Stands for the effects, as `arrow` explains.
    """

    layout: Layout
    point: Point
    dual: Numbers

    @cached_property
    def _rows(self) -> tuple[list[_Rows], float]:
        effect = self.point.variances.spread(self.dual)
        with np.errstate(over="ignore", invalid="ignore"):
            seen = [_rows_of(block, self.point.fixed, effect) for block in self.layout.blocks]
        return [rows for rows, _ in seen], sum(height for _, height in seen)

    @cached_property
    def score(self) -> Numbers:
        """Residuals summed by cell; shape (n, K)."""
        return self._table([rows.residual for rows in self._rows[0]])

    @cached_property
    def arrow(self) -> Arrow:
        """The linear system at these weights."""
        weight = self._table([rows.weight for rows in self._rows[0]])
        return Arrow(weight, self.point.variances)

    @cached_property
    def joint(self) -> float:
        """Log density of counts and effects, without constants."""
        penalty = by_kind(self.dual, self.dual) @ np.array(self.point.variances)
        return float(self._rows[1] - 0.5 * penalty)

    @cached_property
    def height(self) -> float:
        """Laplace log-likelihood, true at the mode."""
        ways = self.layout.log_ways
        return float(self.joint + ways - 0.5 * self.arrow.log_determinant)

    @cached_property
    def fixed_weights(self) -> Numbers:
        """Weighted fixed columns summed by cell; shape (p, n, K)."""
        rows = self._rows[0]
        columns = range(len(self.point.fixed))
        pairs = list(zip(self.layout.blocks, rows, strict=True))
        return np.array(
            [self._table([block.fixed[j] * r.weight for block, r in pairs]) for j in columns]
        ).reshape(-1, *self.layout.shape)

    @cached_property
    def fixed_means(self) -> Numbers:
        """Fixed columns averaged over each cell, by weight; shape (p, n, K)."""
        weight = self.arrow.weight
        return np.asarray(self.fixed_weights / np.where(weight > 0, weight, 1))

    @cached_property
    def fixed_gram(self) -> Numbers:
        """Weighted products of the fixed columns; shape (p, p)."""
        pairs = zip(self.layout.blocks, self._rows[0], strict=True)
        size = len(self.point.fixed)
        parts = ((block.fixed * rows.weight) @ block.fixed.T for block, rows in pairs)
        return sum(parts, np.zeros((size, size)))

    @cached_property
    def fixed_duals(self) -> Numbers:
        """How the dual table falls as each coefficient rises; shape (p, n, K)."""
        return self.arrow.solve(self.fixed_weights)

    @cached_property
    def fixed_information(self) -> Numbers:
        """Information on the coefficients with the effects taken out; shape (p, p).

        What columns say within cells, which no effect can touch, and what they say between.
        """
        within = self.fixed_gram - _products(self.fixed_weights, self.fixed_means)
        return within + _products(self.fixed_duals, self.fixed_means)

    def weighted_rows(self, fixed: Numbers) -> Numbers:
        """Weighted sums by cell of what coefficients add to the log-odds; shape (n, K)."""
        pairs = zip(self.layout.blocks, self._rows[0], strict=True)
        return self._table([rows.weight * (fixed @ block.fixed) for block, rows in pairs])

    def fixed_score(self, rows: list[Numbers]) -> Numbers:
        """Sum the fixed columns, weighted by numbers a row; shape (p,)."""
        pairs = zip(self.layout.blocks, rows, strict=True)
        return sum((block.fixed @ row for block, row in pairs), np.zeros_like(self.point.fixed))

    @property
    def residuals(self) -> list[Numbers]:
        """Wins less expected wins, block by block."""
        return [rows.residual for rows in self._rows[0]]

    def slope(self) -> tuple[Numbers, Numbers]:
        """Slopes of `height` in the coefficients and in the variances, at the mode.

        Returns
        -------
        tuple of ndarray
            Shapes (p,) and (3,).
        """
        rows, blocks = self._rows[0], self.layout.blocks
        variance = self.arrow.sum_variance
        bends = [_bend(block, r) for block, r in zip(blocks, rows, strict=True)]
        pull = self.arrow.solve(variance * self._table(bends))
        effect = self.point.variances.spread(pull)
        parts = []
        for block, r, bend in zip(blocks, rows, bends, strict=True):
            here = variance[block.cards].ravel()[block.place]
            moved = effect[block.cards].ravel()[block.place]
            parts.append(r.residual - 0.5 * (here * bend - moved * r.weight))
        by_variance = 0.5 * (by_kind(self.score, self.score - pull) - self.arrow.traces)
        return self.fixed_score(parts), by_variance

    def _table(self, rows: list[Numbers]) -> Numbers:
        """Sum rows by card and group; shape (n, K)."""
        groups = self.layout.shape[1]
        parts: list[Numbers] = []
        for block, row in zip(self.layout.blocks, rows, strict=True):
            size = (block.cards.stop - block.cards.start) * groups
            parts.append(np.bincount(block.place, row, size).astype(np.float64, copy=False))
        return np.concatenate(parts).reshape(self.layout.shape)


def _rows_of(block: Block, fixed: Numbers, effect: Numbers) -> tuple[_Rows, float]:
    """Return what a block's rows say, and their log-likelihood."""
    eta = fixed @ block.fixed
    eta += block.offset
    eta += effect[block.cards].ravel()[block.place]
    height = block.wins @ eta
    odds = np.exp(eta, out=eta)
    height -= block.games @ np.log1p(odds)
    odds += 1
    missed = block.games / odds
    weight = missed - missed / odds
    missed -= block.losses
    return _Rows(missed, weight), float(height)


def _products(first: Numbers, second: Numbers) -> Numbers:
    """Inner products of two stacks of tables; shape (p, p)."""
    return np.asarray(np.tensordot(first, second, ((1, 2), (1, 2))))


def _bend(block: Block, rows: _Rows) -> Numbers:
    """Return how fast each row's weight grows with its log-odds."""
    return rows.weight * (2 * (rows.residual + block.losses) / block.games - 1)


def settled(look: Look) -> Look:
    """Climb to the mode of the effects at a look's point, by Newton's method.

    Parameters
    ----------
    look : Look
        Where to begin.

    Returns
    -------
    Look
        From the mode.

    Raises
    ------
    FitError
        If the climb has not ended after 100 steps.
    """
    for _ in range(MOST_STEPS):
        off = look.score - look.dual
        step = look.arrow.solve(off)
        gain = by_kind(off, step) @ np.array(look.point.variances)
        if gain < SETTLED:
            return look
        if gain < CLOSE:
            return Look(look.layout, look.point, look.dual + step)
        higher = _higher(look, step)
        look = Look(look.layout, look.point, 0 * look.dual) if higher is look else higher
    msg = f"the effects did not settle in {MOST_STEPS} steps"
    raise FitError(msg)


def _higher(look: Look, step: Numbers) -> Look:
    """Go the whole way, or half as far until the log density does not fall, or stay."""
    if not np.isfinite(look.joint):
        return look
    for halving in range(MOST_HALVINGS):
        there = Look(look.layout, look.point, look.dual + 0.5**halving * step)
        if there.joint >= look.joint - ROUNDING * look.layout.games:
            return there
    return look


def joint_step(look: Look) -> tuple[Numbers, Numbers]:
    """Take one Newton step in coefficients and effects together, variances held.

    Parameters
    ----------
    look : Look
        Where to begin.

    Returns
    -------
    tuple of ndarray
        Coefficients, shape (p,), and dual table, shape (n, K); nothing says they are better.
    """
    off = look.score - look.dual
    alone = look.arrow.solve(off)
    score = look.fixed_score(look.residuals) - np.tensordot(look.fixed_means, off - alone, 2)
    move = np.linalg.solve(look.fixed_information, score)
    step = alone - np.tensordot(move, look.fixed_duals, 1)
    return look.point.fixed + move, look.dual + step


def rescaled(look: Look, dual: Numbers, variances: Variances) -> Numbers:
    """Return the dual table that follows from other variances, to first order."""
    change = zip(variances, look.point.variances, strict=True)
    wider = Variances(*(new - old for new, old in change))
    return dual - look.arrow.solve(look.arrow.weight * wider.spread(dual))


def moved(look: Look, point: Point) -> Look:
    """Look from another point, effects moved along as their mode would, to first order.

    Parameters
    ----------
    look : Look
        From the mode.
    point : Point
        Other coefficients and variances.

    Returns
    -------
    Look
        From near the mode there.
    """
    dual = rescaled(look, look.dual, point.variances)
    by = point.fixed - look.point.fixed
    if by.any():
        dual = dual - look.arrow.solve(look.weighted_rows(by))
    return Look(look.layout, point, dual)
