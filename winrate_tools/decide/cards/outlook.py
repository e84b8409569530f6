"""How many verdicts would be settled if every card had a multiple of its games."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.contrast import EXTRA_SD
from winrate_tools.stats.cards.strength import Strength
from winrate_tools.stats.planning.settling import (
    Look,
    Standing,
    chance_to_settle,
    record_look,
)

Numbers = npt.NDArray[np.float64]
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
    >>> looks = (record_look(sd**2, 0.25),)
    >>> here = Standing(np.array([0.0, 0.5]), sd, sd**2, 0.0, 0.9, looks)
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


def standing(fitted: Strength, line: float, sure: float) -> Standing:
    """Tell where the cards of a pool stand, and what a further game of theirs would show.

    Parameters
    ----------
    fitted : Strength
        Estimates for n cards.
    line : float
        The line, as an effect on the log-odds.
    sure : float
        How sure is sure enough.

    Returns
    -------
    Standing
        Seen through records alone, or through held games against unheld ones as well.

    Examples
    --------
    >>> from winrate_tools.stats.cards.strength import strength
    >>> from winrate_tools.tables import CardTable
    >>> fitted = strength(CardTable(["Ash", "Bee", "Cat"], [900] * 3, [360, 500, 500]))
    >>> here = standing(fitted, -0.08, 0.9)
    >>> [f"{here.left(games)[0]:.4f}" for games in (0, 900, 1e9)]
    ['0.0007', '0.0004', '0.0000']
    """
    own, removable = fitted.own(), fitted.removable()
    looks = _looks(fitted, removable)
    return Standing(own.centre, own.scale, removable, line, sure, looks)


def _looks(fitted: Strength, removable: Numbers) -> tuple[Look, ...]:
    mean, seen = fitted.sample.level.sample_mean, fitted.sample.seen
    of_game = mean * (1 - mean)
    of_record = of_game / fitted.sample.design_effect / fitted.allowance.share**2
    if fitted.sample.contrast is None:
        return (record_look(removable, of_record),)
    # A held game comes with others of its deck, and its own effect is larger than a deck's.
    scale = 1.0 if fitted.sample.measure == "held" else seen
    by_record, estimate, variance = fitted.looks()
    unsure, kept = by_record.scale**2, (EXTRA_SD * scale) ** 2
    worn = np.minimum((fitted.allowance.share * fitted.record().scale) ** 2, unsure)
    compared = np.where(np.isnan(estimate), 0.0, 1 / (variance - kept))
    return (
        Look(unsure - worn, 1 / worn, of_record * scale / seen),
        Look(np.full(len(worn), kept), compared, of_game * (1 - seen) / scale),
    )
