"""Cards likelier weak than not come in only where the limits leave no other choice."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.plan.program import Bends, Limit, Program
from winrate_tools.decide.plan.solving import solved

Numbers = npt.NDArray[np.float64]
BARRED = "cards likelier weak than not that come in"


def bar_on(program: Program, is_weak: npt.NDArray[np.bool_]) -> Limit:
    """Bar weak copies from coming in, but for those that must.

    A card below the line may be stronger than the one whose place it takes, and yet it is
    what is to go next time.

    Parameters
    ----------
    program : Program
        What there is to choose.
    is_weak : ndarray of bool, shape (n,)
        Which items are likelier weak than not.

    Returns
    -------
    Limit
        On such copies that come in: the fewest that the limits allow, mostly 0.

    Raises
    ------
    FitError
        If no choice keeps within the limits at all.

    Examples
    --------
    The pool is to grow by a card, and there is none but a weak one:

    >>> size = Limit("cards in the pool", np.ones(2), 2, 2)
    >>> program = Program(np.array([1, 0]), ((0, 1), (0, 1, 2)), np.zeros((2, 2)),
    ...                   *[np.zeros(2)] * 2, Bends.none(2), (size,))
    >>> bar_on(program, np.array([False, True])).high
    1.0
    """
    weak = is_weak.astype(np.float64)
    bar = Limit(BARRED, weak, high=0.0, of="added")
    before = program.before
    if all(limit.holds(before, before) for limit in program.limits):
        return bar
    nothing = np.zeros_like(program.worth)
    idle = replace(
        program, worth=nothing, entry=weak, exit=0 * weak, bends=Bends.none(len(weak))
    )
    return replace(bar, high=bar.amount(before, solved(idle)))
