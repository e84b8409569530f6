"""The best choice of copies, exactly.

The program is written in changes: each step of an item from one of its levels to the next, away
from what it has now, is one binary variable, and what is left alone costs nothing. As the worth
of a further copy never grows, single copies need not wait for each other; steps of unlike sizes
must. Archetypes add one continuous variable for each bend.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.plan.mixed import Mixed, best_values, relaxed_values
from winrate_tools.decide.plan.program import TINY, Bends, Limit, Program
from winrate_tools.decide.plan.steps import Steps
from winrate_tools.errors import FitError

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


def solved(program: Program, *, is_proven: bool = True) -> Counts:
    """Find the choice of the highest value.

    Parameters
    ----------
    program : Program
        What there is to choose.
    is_proven : bool, optional
        Whether to prove that there is no better choice, or to take a very good one sooner.

    Returns
    -------
    ndarray of int, shape (n,)
        Copies to hold.

    Raises
    ------
    FitError
        If no choice keeps within the limits; `winrate_tools.decide.plan.clashes` says why.

    References
    ----------
    Huangfu, Q. and Hall, J. A. J. (2018). Parallelizing the dual revised simplex method.
    *Mathematical Programming Computation* 10, 119-142, for the solver (HiGHS).

    Examples
    --------
    A weak card, and a stronger one for its place:

    >>> from winrate_tools.decide.plan.program import Bends
    >>> bends = Bends.none(2)
    >>> size = Limit("cards in the pool", np.ones(2), 3, 3)
    >>> program = Program(np.array([3, 0]), ((0, 1, 2, 3), (0, 1, 2)),
    ...                   np.array([[-2.0] * 3, [1.0] * 3]), *[np.full(2, 0.1)] * 2,
    ...                   bends, (size,))
    >>> solved(program).tolist()
    [1, 2]
    """
    steps = Steps.of(program)
    found = optimum(program, steps, is_proven=is_proven)
    if found is None:
        msg = "no choice of copies keeps within all limits"
        raise FitError(msg)
    return steps.after(program.before, found)


def optimum(program: Program, steps: Steps, *, is_proven: bool = True) -> Numbers | None:
    """Return the best steps, None if no choice keeps within the limits.

    Costs that set in only beyond some change are left out until a choice meets them, a relaxed
    one first: without them no choice is worth less, so that one which meets none is the best
    of all.
    """
    kept = limit_rows(program, steps, program.limits)
    bends, size = program.bends, len(steps.item)
    side = bends.side[:, steps.item] * steps.copies
    counts = (bends.rate > 0) & (bends.room >= 0)
    while True:
        bent = _bends(bends, side, counts)
        mixed = _mixed(steps, [kept, *bent.rows], bent.gain, bent.upper)
        relaxed = relaxed_values(mixed)
        if relaxed is None:
            return None
        met = _met(bends, side @ relaxed.values[:size])
        if not (met & ~counts).any():
            found = best_values(mixed, relaxed, is_proven=is_proven)
            if found is None:
                return None
            met = _met(bends, side @ np.rint(found[:size]))
            if not (met & ~counts).any():
                return found[:size]
        counts |= met


def _met(bends: Bends, moved: Numbers) -> Flags:
    """Tell which bends some changes of strength reach beyond."""
    return np.asarray((bends.rate > 0) & (moved < bends.room - TINY))


def is_possible(program: Program, steps: Steps, limits: tuple[Limit, ...]) -> bool:
    """Tell whether any choice keeps within some limits."""
    none = np.zeros(0)
    rows = [limit_rows(program, steps, limits)]
    idle = steps._replace(worth=np.zeros(len(steps.item)))
    return best_values(_mixed(idle, rows, none, none)) is not None


def least_broken(program: Program, steps: Steps) -> Numbers | None:
    """Return the steps that break limits by as little as possible, counted in copies.

    None if levels alone forbid every choice, which those of a pool never do.
    """
    kept = limit_rows(program, steps, program.limits)
    count = len(program.limits)
    give = np.hstack([np.eye(count), -np.eye(count)])
    rows = [kept._replace(extra=give)]
    cost = -_stiffness(program.limits)
    idle = steps._replace(worth=np.zeros(len(steps.item)))
    found = best_values(_mixed(idle, rows, cost, np.full(2 * count, np.inf), least=0.0))
    return None if found is None else found[: len(steps.item)]


class Rows(NamedTuple):
    """Some rows of a program: bounds on sums over steps and over further variables.

    Attributes
    ----------
    step : ndarray of shape (R, S)
        Coefficients of the steps.
    extra : ndarray of shape (R, E)
        Those of further variables; E may be 0 where they do not matter.
    low, high : ndarray of shape (R,)
        Bounds.
    """

    step: Numbers
    extra: Numbers
    low: Numbers
    high: Numbers


class _Bent(NamedTuple):
    """Rows, gains and upper bounds of the variables for bends."""

    rows: list[Rows]
    gain: Numbers
    upper: Numbers


def _mixed(
    steps: Steps, rows: list[Rows], gain: Numbers, upper: Numbers, *, least: float = -np.inf
) -> Mixed:
    """Let steps be chosen, and further variables of some gain between `least` and `upper`."""
    size, rest = len(steps.item), len(gain)
    rows = [*rows, _waiting(steps)]
    wide = [one.extra if one.extra.shape[1] else np.zeros((len(one.low), rest)) for one in rows]
    return Mixed(
        gain=np.concatenate([steps.worth, gain]),
        least=np.concatenate([np.zeros(size), np.full(rest, least)]),
        most=np.concatenate([np.ones(size), upper]),
        is_whole=np.arange(size + rest) < size,
        matrix=np.vstack(
            [np.hstack([one.step, extra]) for one, extra in zip(rows, wide, strict=True)]
        ),
        low=np.concatenate([one.low for one in rows]),
        high=np.concatenate([one.high for one in rows]),
    )


def limit_rows(program: Program, steps: Steps, limits: tuple[Limit, ...]) -> Rows:
    """Write limits on copies as limits on steps."""
    copies = steps.copies.astype(np.float64)
    counted = {"copies": copies, "added": copies.clip(0), "removed": (-copies).clip(0)}
    shape = (len(limits), len(steps.item))
    rows = [limit.weight[steps.item] * counted[limit.of] for limit in limits]
    now = np.array([limit.amount(program.before, program.before) for limit in limits])
    low, high = (np.array([getattr(one, end) for one in limits]) for end in ("low", "high"))
    step = np.array(rows, dtype=np.float64).reshape(shape)
    return Rows(step, np.zeros((len(limits), 0)), low - now, high - now)


def _waiting(steps: Steps) -> Rows:
    """Let later steps wait for earlier ones, and keep steps up and down apart."""
    count = len(steps.order) + len(steps.apart)
    step = np.zeros((count, len(steps.item)))
    for row, (earlier, later) in enumerate(steps.order):
        step[row, [earlier, later]] = -1, 1
    for row, pair in enumerate(steps.apart, start=len(steps.order)):
        step[row, list(pair)] = 1
    high = np.array([0.0] * len(steps.order) + [1.0] * len(steps.apart))
    return Rows(step, np.zeros((count, 0)), np.full(count, -np.inf), high)


def _stiffness(limits: tuple[Limit, ...]) -> Numbers:
    """Cost of breaking each limit, down and up: one for what a usual copy counts there."""
    usual = [limit.weight[limit.weight > 0] for limit in limits]
    cost = [1 / weight.mean() if len(weight) else 1.0 for weight in usual]
    return np.array([*cost, *cost])


def _bends(bends: Bends, side: Numbers, counts: Flags) -> _Bent:
    """Add a variable for each bend that counts, at or below both the sum and its room.

    Both are counted from where nothing changes, so that this is worth nothing.
    """
    count, room = int(counts.sum()), bends.room[counts]
    start = np.minimum(room, 0.0)
    below = Rows(-side[counts], np.eye(count), np.full(count, -np.inf), -start)
    return _Bent([below] if count else [], bends.rate[counts], room - start)
