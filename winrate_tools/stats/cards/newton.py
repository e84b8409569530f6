"""Climb to the top of a smooth density by Newton's method, with exact gradients."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import FitError

Numbers = npt.NDArray[np.float64]
Batch = Callable[[Numbers], Numbers]
Block = Callable[[Numbers], Numbers]
DIFFERENCE = 1e-4
FLATTEST = 1e-6
MOST_STEPS = 200
TOLERANCE = 1e-5
LENGTHS: Numbers = np.float64(0.5) ** np.arange(14.0)


class Peak(NamedTuple):
    """Where a density is highest.

    Attributes
    ----------
    point : ndarray of shape (p,)
        The maximum.
    height : float
        Log density there.
    information : ndarray of shape (p, p)
        Negative Hessian there, made positive definite where it is not.
    """

    point: Numbers
    height: float
    information: Numbers


def peak(
    log_density: Batch, gradient: Batch, start: Numbers, block: Block | None = None
) -> Peak:
    """Find the maximum of a log density.

    Parameters
    ----------
    log_density : callable
        Takes points of shape (H, p), gives heights of shape (H,).
    gradient : callable
        Takes points of shape (H, p), gives slopes of shape (H, p).
    start : ndarray of shape (p,)
        Where to begin.
    block : callable, optional
        Takes a point of shape (p,), gives the negative Hessian there of the first few of its
        coordinates, shape (q, q), or something near it; found by differences otherwise.

    Returns
    -------
    Peak
        The point at which the next step would raise the density by less than 1e-10.

    Raises
    ------
    FitError
        If the climb has not ended after 200 steps.

    Examples
    --------
    >>> import numpy as np
    >>> found = peak(lambda x: -((x - 2) ** 2).sum(axis=1), lambda x: -2 * (x - 2), np.zeros(2))
    >>> found.point.round(6).tolist()
    [2.0, 2.0]
    """
    here, height = start, float(log_density(start[None])[0])
    for _ in range(MOST_STEPS):
        slope, information = _slope_and_information(gradient, here, block)
        step = np.asarray(np.linalg.solve(information, slope), dtype=np.float64)
        moved, risen = _best_along(log_density, here, height, step)
        if slope @ step < TOLERANCE**2 or risen == height:
            return Peak(here, height, information)
        here, height = moved, risen
    msg = f"the fit did not settle in {MOST_STEPS} steps"
    raise FitError(msg)


def _slope_and_information(
    gradient: Batch, here: Numbers, block: Block | None
) -> tuple[Numbers, Numbers]:
    """Gradient, and the negative Hessian by central differences of it where it is not known."""
    known = np.zeros((0, 0)) if block is None else block(here)
    first = len(known)
    shift = DIFFERENCE * np.eye(len(here))[first:]
    slopes = gradient(np.concatenate([here[None], here + shift, here - shift]))
    up, down = np.split(slopes[1:], 2)
    rows = (down - up) / (2 * DIFFERENCE)
    full = np.zeros((len(here), len(here)))
    full[:first, :first], full[first:], full[:first, first:] = known, rows, rows[:, :first].T
    values, vectors = np.linalg.eigh(0.5 * (full + full.T))
    steepest = np.maximum(np.abs(values), FLATTEST * np.abs(values).max())
    information: Numbers = (vectors * np.maximum(steepest, 1e-12)) @ vectors.T
    return slopes[0], information


def _best_along(
    log_density: Batch, here: Numbers, height: float, step: Numbers
) -> tuple[Numbers, float]:
    """Try the step, then halves of it; stay where none of them rises."""
    step = step / max(1.0, float(np.abs(step).max()))
    tried = here + LENGTHS[:, None] * step
    heights = log_density(tried[:1])
    if not heights[0] > height:
        heights = np.nan_to_num(log_density(tried), nan=-np.inf)
    best = int(np.argmax(heights))
    return (tried[best], float(heights[best])) if heights[best] > height else (here, height)
