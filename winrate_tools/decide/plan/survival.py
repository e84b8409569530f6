"""How often each choice of a plan survives, over what the games leave possible."""

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.plan.program import Program
from winrate_tools.decide.plan.solving import solved

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Places = npt.NDArray[np.intp]


def spread_draws(gains: Numbers, number: int) -> Places:
    """Choose draws that stand for all: the middle one of each of as many equal strata.

    Parameters
    ----------
    gains : ndarray of shape (D,)
        What sets the draws apart, such as what the plan gains in each.
    number : int
        How many to choose, at least 1.

    Returns
    -------
    ndarray of int
        Places, at most `number`.

    References
    ----------
    Cochran, W. G. (1977). *Sampling Techniques*, 3rd ed., section 5A.7, for strata along the
    quantity of interest (from memory).

    Examples
    --------
    >>> spread_draws(np.array([5.0, 1.0, 4.0, 2.0]), 2).tolist()
    [3, 0]
    """
    order = np.argsort(gains, kind="stable")
    number = min(number, len(order))
    middle = ((np.arange(number) + 0.5) * len(order) / number).astype(np.intp)
    return np.asarray(order[middle])


def survival(
    program_for: Callable[[int], Program],
    after: Counts,
    draws: Places,
    progress: Callable[[int], None] | None = None,
) -> Numbers:
    """Solve the program again for single draws, and count how often each move is made.

    Parameters
    ----------
    program_for : callable
        Makes the program of one draw.
    after : ndarray of int, shape (n,)
        The plan.
    draws : ndarray of int
        Draws to solve for, at least one.
    progress : callable, optional
        Told after each draw how many are done.

    Returns
    -------
    ndarray of shape (n,)
        Share of re-solves in which an item moves at least as far in the plan's direction; for
        items that do not move, in which they do not either.
    """
    stays = np.zeros(len(after))
    for done, draw in enumerate(draws.tolist(), start=1):
        program = program_for(draw)
        other = solved(program, is_proven=False) - program.before
        planned = after - program.before
        further = np.where(planned > 0, other >= planned, other <= planned)
        stays += np.where(planned == 0, other == 0, further)
        if progress is not None:
            progress(done)
    return np.asarray(stays / len(draws))
