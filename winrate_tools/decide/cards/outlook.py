"""How many verdicts would be settled if every card had a multiple of its games."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.planning.settling import Standing, chance_to_settle

TIMES = (1, 2, 4, 10, 100)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What a multiple of the games so far is expected to settle.

    Attributes
    ----------
    times : int
        How many times the games so far; 1 is now.
    settled : float
        Expected number of cards whose verdict is settled then.
    newly : float
        How many of these are undecided now.
    """

    times: int
    settled: float
    newly: float


def outlook(
    standing: Standing, games: npt.ArrayLike, is_settled: Sequence[bool]
) -> tuple[Outlook, ...]:
    """Look ahead to multiples of the games so far, the same for every card.

    Parameters
    ----------
    standing : Standing
        Where n cards stand now.
    games : array_like of float, shape (n,)
        Games so far; a card without any, or with an unknown number, gets no others.
    is_settled : sequence of bool, shape (n,)
        Whether a verdict is given now; it may come undone where it lies near the line.

    Returns
    -------
    tuple of Outlook
        One for each of `TIMES`.

    Examples
    --------
    A card on the line may yet turn out to lie beside it; one far from it stays settled:

    >>> sd = np.array([0.1, 0.1])
    >>> here = Standing(np.array([0.0, 0.5]), sd, sd**2, 0.0, 0.9, 1.0, 0.25)
    >>> steps = outlook(here, [300, 300], [False, True])
    >>> [(ahead.times, round(ahead.settled, 1)) for ahead in steps]
    [(1, 1.0), (2, 1.1), (4, 1.4), (10, 1.6), (100, 1.9)]
    """
    now = np.asarray(is_settled, dtype=np.float64)
    known = np.nan_to_num(np.asarray(games, dtype=np.float64))

    def at(times: int) -> Outlook:
        chance = chance_to_settle(standing, (times - 1) * known)
        then = now if times == 1 else np.where(known > 0, chance, now)
        return Outlook(times, float(then.sum()), float(then[now == 0].sum()))

    return tuple(at(times) for times in TIMES)
