"""Climb the Laplace log-likelihood of crossed effects in coefficients and spreads.

Spreads are standard deviations, in which the log-likelihood is even: at 0 it is always level,
and where 0 is best the climb arrives there as at any other summit.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed.arrow import Variances, by_kind
from winrate_tools.stats.crossed.blocks import Layout
from winrate_tools.stats.crossed.laplace import (
    ROUNDING,
    Look,
    Point,
    joint_step,
    moved,
    rescaled,
    settled,
)

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
START = 0.3
FIRST_STEPS = 4
MOST_STEPS = 100
MOST_HALVINGS = 30
TOLERANCE = 1e-11
"""Twice the log-likelihood that a further step would gain at most."""
FAR = 0.5
"""Gain above which a move says little of the curvature at the summit."""
LARGE = 1e-2
"""Gain above which information on the coefficients is worth computing anew."""
NOTHING = 1e-8
"""Log-likelihood below which a spread cannot be told from none."""
WIDEST = 10.0
"""Log-odds beyond which a spread has run away."""
FLATTEST = 1e-6
"""Share of the information at even odds below which a coefficient has run away."""
SHIFT = 1e-3


class Stand(NamedTuple):
    """A place on the climb, effects at their mode; coordinates are coefficients, then spreads.

    Attributes
    ----------
    look : Look
        From this place.
    spreads : ndarray of shape (3,)
        Standard deviations of card, group and cell effects.
    slope : ndarray of shape (p + 3,)
        Slopes of the log-likelihood.
    by_variance : ndarray of shape (3,)
        Its slopes in the variances, which need not be level where a variance is 0.
    information : ndarray of shape (p + 3, p + 3)
        About how fast the slopes fall.
    """

    look: Look
    spreads: Numbers
    slope: Numbers
    by_variance: Numbers
    information: Numbers

    @property
    def coordinates(self) -> Numbers:
        """Coefficients and spreads; shape (p + 3,)."""
        return np.concatenate([self.look.point.fixed, self.spreads])


class Summit(NamedTuple):
    """Where a climb ended, after how many steps, and whether because no more could gain."""

    stand: Stand
    steps: int
    has_converged: bool


def base(layout: Layout, free: Flags) -> Stand:
    """Come near the summit by rough steps.

    Parameters
    ----------
    layout : Layout
        The cells.
    free : ndarray of shape (3,)
        Which of the spreads of card, group and cell may differ from 0.

    Returns
    -------
    Stand
        Near enough for a climb.
    """
    spreads = np.where(free, START, 0.0)
    origin = Point(np.zeros(len(layout.gram)), _variances(spreads))
    look = Look(layout, origin, np.zeros(layout.shape))
    for _ in range(FIRST_STEPS):
        fixed, dual = joint_step(look)
        wider = spreads * np.sqrt(_growth(look, dual))
        point = Point(fixed, _variances(wider))
        there = Look(layout, point, rescaled(look, dual, point.variances))
        if _runaway(there) is not None:
            break
        look, spreads = there, wider
    return _stand(settled(look), spreads)


def _growth(look: Look, dual: Numbers) -> Numbers:
    """By how much each variance should grow to be level (MacKay's rule, from memory)."""
    traces = np.maximum(look.arrow.traces, np.finfo(float).tiny)
    return np.clip(by_kind(dual, dual) / traces, 0.1, 4)


def climbed(stand: Stand, free: Flags) -> Summit:
    """Climb to the summit.

    Parameters
    ----------
    stand : Stand
        Where to begin.
    free : ndarray of shape (3,)
        Which spreads may move.

    Returns
    -------
    Summit
        The highest place found.

    Raises
    ------
    FitError
        If a coefficient or a spread runs away without end.
    """
    moves: list[tuple[Numbers, Numbers]] = []
    for steps in range(MOST_STEPS):
        _check_finite(stand)
        move = _move(stand, moves, free)
        if stand.slope @ move < TOLERANCE:
            return Summit(stand, steps, has_converged=True)
        found = _along(stand, move)
        if found is None:
            break
        if stand.slope @ move > FAR:
            moves = []
        moves.append((found.coordinates - stand.coordinates, stand.slope - found.slope))
        stand = found
        if np.any(nothing := _is_nothing(stand) & free):
            spreads = np.where(nothing, 0.0, stand.spreads)
            stand, moves = at(stand, stand.look.point.fixed, spreads), []
    return Summit(stand, steps, has_converged=False)


def _variances(spreads: Numbers) -> Variances:
    return Variances(*(float(spread) ** 2 for spread in spreads))


def _stand(look: Look, spreads: Numbers, fixed_information: Numbers | None = None) -> Stand:
    """Take stock; information on the coefficients may be an older one."""
    by_fixed, by_variance = look.slope()
    size = len(by_fixed)
    information = np.zeros((size + 3, size + 3))
    fresh = look.fixed_information if fixed_information is None else fixed_information
    information[:size, :size] = fresh
    curve = 4 * spreads**2 * look.arrow.information + 2 * np.abs(by_variance)
    information[size:, size:] = np.diag(curve)
    slope = np.concatenate([by_fixed, 2 * spreads * by_variance])
    return Stand(look, spreads, slope, by_variance, information)


def at(stand: Stand, fixed: Numbers, spreads: Numbers) -> Stand:
    """Take stock at other coefficients, shape (p,), and spreads, shape (3,)."""
    look = settled(moved(stand.look, Point(fixed, _variances(spreads))))
    return _stand(look, spreads)


def _move(stand: Stand, moves: list[tuple[Numbers, Numbers]], free: Flags) -> Numbers:
    """Return Newton's move, the information mended by earlier moves (BFGS, from memory)."""
    curve = stand.information
    for move, fall in moves:
        if (along := move @ fall) > 0:
            bent = curve @ move
            curve = curve + np.outer(fall, fall) / along - np.outer(bent, bent) / (move @ bent)
    fixed = np.full(len(stand.look.point.fixed), True)
    loose = np.concatenate([fixed, free])
    move = np.zeros(len(loose))
    move[loose] = np.linalg.solve(curve[np.ix_(loose, loose)], stand.slope[loose])
    return move


def _along(stand: Stand, move: Numbers) -> Stand | None:
    """Go the whole way, or half as far until the log-likelihood rises, or nowhere."""
    size = len(stand.look.point.fixed)
    fresh = None if stand.slope @ move > LARGE else stand.information[:size, :size]
    for halving in range(MOST_HALVINGS):
        there = stand.coordinates + 0.5**halving * move
        spreads = np.abs(there[size:])
        look = settled(moved(stand.look, Point(there[:size], _variances(spreads))))
        if look.height >= stand.look.height - ROUNDING * look.layout.games:
            return _stand(look, spreads, fresh)
    return None


def _is_nothing(stand: Stand) -> Flags:
    """Whether a spread is so small that the log-likelihood cannot tell it from 0."""
    variance = stand.spreads**2
    told = np.abs(stand.by_variance) * variance + stand.look.arrow.information * variance**2
    return (stand.by_variance < 0) & (stand.spreads > 0) & (told < NOTHING)


def _check_finite(stand: Stand) -> None:
    """Refuse a summit at infinity."""
    for name, spread in zip(("cards", "groups", "cells"), stand.spreads, strict=True):
        if spread > WIDEST:
            msg = f"the spread of the {name} has no finite estimate: each won all or lost all"
            raise FitError(msg)
    if (column := _runaway(stand.look)) is not None:
        msg = (
            f"fixed column {column} has no finite estimate: some games that it tells apart "
            "were all won or all lost"
        )
        raise FitError(msg)


def _runaway(look: Look) -> int | None:
    """Return the column of a coefficient about which nearly nothing is left to learn."""
    gram = look.layout.gram
    scale = 2 / np.sqrt(gram.diagonal())
    scales = np.outer(scale, scale)
    if not np.isfinite(look.fixed_gram).all():
        return 0
    even = np.linalg.cholesky(gram * scales / 4)
    half = np.linalg.solve(even, look.fixed_gram * scales)
    shares, ways = np.linalg.eigh(np.linalg.solve(even, half.T))
    if np.all(shares >= FLATTEST):
        return None
    return int(np.argmax(np.abs(np.linalg.solve(even.T, ways[:, 0]))))


def curvature(stand: Stand, free: Flags) -> Numbers:
    """Return how fast the slopes fall at a summit, by central differences of them.

    Parameters
    ----------
    stand : Stand
        The summit.
    free : ndarray of shape (3,)
        Which spreads may move; one that is 0 is level to both sides and stays.

    Returns
    -------
    ndarray of shape (p + 3, p + 3)
        Rows and columns of what may not move hold 0.
    """
    size = len(stand.slope) - 3
    curve = np.zeros_like(stand.information)
    errors = np.sqrt(np.linalg.inv(stand.information[:size, :size]).diagonal())
    shifts = np.concatenate([errors, stand.spreads])
    loose = np.concatenate([np.full(size, True), free & (stand.spreads > 0)])
    for j in np.flatnonzero(loose):
        shift = SHIFT * shifts[j] * (np.arange(size + 3) == j)
        ends = [stand.coordinates + sign * shift for sign in (-1, 1)]
        low, high = (at(stand, end[:size], end[size:]).slope for end in ends)
        curve[j] = (low - high) / (2 * SHIFT * shifts[j])
    curve[:, ~loose] = 0
    return 0.5 * (curve + curve.T)
