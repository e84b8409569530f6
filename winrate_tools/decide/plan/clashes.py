"""Why no choice keeps within the limits: which of them clash, and how little would mend it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.plan.program import TINY, Limit, Program
from winrate_tools.decide.plan.solving import is_possible, least_broken
from winrate_tools.decide.plan.steps import Steps
from winrate_tools.errors import SettingError


@dataclass(frozen=True, slots=True)
class Relaxation:
    """One limit, moved as far as it must be.

    Attributes
    ----------
    name : str
        What is limited.
    bound, needed : float
        The bound asked for and the nearest one that can be kept.
    """

    name: str
    bound: float
    needed: float


@dataclass(frozen=True, slots=True)
class Clash:
    """Limits that cannot be kept together.

    Attributes
    ----------
    names : tuple of str
        Limits of which each one can be dropped to make the others possible.
    relaxations : tuple of Relaxation
        The least that has to give, counted in copies.
    """

    names: tuple[str, ...]
    relaxations: tuple[Relaxation, ...]


def clash_of(program: Program) -> Clash:
    """Say why a program has no solution.

    Parameters
    ----------
    program : Program
        One that `winrate_tools.decide.plan.solving.solved` refuses.

    References
    ----------
    Chinneck, J. W. (2008). *Feasibility and Infeasibility in Optimization*, sections 6.1
    (elastic programs) and 6.2 (the deletion filter) (from memory).

    Examples
    --------
    >>> from winrate_tools.decide.plan.program import Bends
    >>> import numpy as np
    >>> size = Limit("cards in the pool", np.ones(1), 5, 5)
    >>> program = Program(np.array([3]), ((0, 1, 2, 3, 4),), np.zeros((1, 4)),
    ...                   *[np.zeros(1)] * 2, Bends.none(1),
    ...                   (size,))
    >>> clash_of(program).relaxations
    (Relaxation(name='cards in the pool', bound=5.0, needed=4.0),)
    """
    steps = Steps.of(program)
    found = least_broken(program, steps)
    relaxations = () if found is None else _relaxations(program, steps, found)
    return Clash(_clashing(program, steps), relaxations)


def _relaxations(
    program: Program, steps: Steps, found: npt.NDArray[np.float64]
) -> tuple[Relaxation, ...]:
    after = steps.after(program.before, found)
    broken = []
    for limit in program.limits:
        amount = limit.amount(program.before, after)
        if not limit.holds(program.before, after):
            bound = limit.low if amount < limit.low else limit.high
            broken.append(Relaxation(limit.name, float(bound), round(amount, 6)))
    return tuple(broken)


def _clashing(program: Program, steps: Steps) -> tuple[str, ...]:
    """Drop each limit in turn, for good where the rest still clashes."""
    kept: tuple[Limit, ...] = program.limits
    for limit in program.limits:
        rest = tuple(one for one in kept if one is not limit)
        if not is_possible(program, steps, rest):
            kept = rest
    return tuple(limit.name for limit in kept)


def refusal(clash: Clash) -> SettingError:
    """Put a clash into an error that says what to change.

    Examples
    --------
    >>> refusal(Clash(("size",), (Relaxation("size", 5.0, 4.0),)))
    SettingError('no pool keeps to all limits: size; the least that has to give: size 4, not 5')
    """
    mends = "; ".join(
        f"{one.name} {_plain(one.needed)}, not {_plain(one.bound)}" for one in clash.relaxations
    )
    msg = (
        f"no pool keeps to all limits: {' against '.join(clash.names)}; the least that has "
        f"to give: {mends}"
    )
    return SettingError(msg)


def _plain(number: float) -> str:
    whole = abs(number - round(number)) < TINY
    return f"{number:.0f}" if whole else f"{number:.2f}"
