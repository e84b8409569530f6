"""What each copy is worth to the owner's aims, in points of win rate.

Effects are draws of what n items do, on the log-odds, shape (R, n), and strengths draws of K
archetypes' win rates, shape (R, K), to average over; a line is a win rate.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.plan.copies import Advice
from winrate_tools.decide.plan.play import Play
from winrate_tools.decide.plan.program import Bends
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.goals import Goals
from winrate_tools.stats.packs.dealing import chance_dealt

Numbers = npt.NDArray[np.float64]
POINTS = 100


class Needs(NamedTuple):
    """How far K archetypes are off, in points of win rate.

    Attributes
    ----------
    below, above : ndarray of shape (K,)
        Probabilities of lying below the lower and above the upper line.
    room : ndarray of shape (K,)
        How far each lies below the mean, 0 for those above it.
    up, down : ndarray of shape (K,)
        How far each lies below the upper and above the lower line, 0 for those beyond it.
    """

    below: Numbers
    above: Numbers
    room: Numbers
    up: Numbers
    down: Numbers


def needs_of(play: Play, archetypes: ArchetypePool | None, strengths: Numbers) -> Needs:
    """Say how far archetypes are off in some draws of their strengths.

    Returns
    -------
    Needs
        Averaged over the draws.
    """
    if archetypes is None or not play.archetype:
        return Needs(*[np.zeros(len(play.archetype))] * 5)
    return Needs(
        below=(strengths < archetypes.low_line).mean(axis=0),
        above=(strengths > archetypes.high_line).mean(axis=0),
        room=POINTS * (archetypes.mean - strengths).clip(0).mean(axis=0),
        up=POINTS * (archetypes.high_line - strengths).clip(0).mean(axis=0),
        down=POINTS * (strengths - archetypes.low_line).clip(0).mean(axis=0),
    )


def shortfall(stock: Stock, line: float, effects: Numbers) -> tuple[Numbers, Numbers]:
    """Return how far items lie below the line, and above it, in points; averaged over draws.

    Returns
    -------
    tuple of ndarray of shape (n,)
        Both at least 0.
    """
    points = POINTS * stock.mean * (1 - stock.mean)
    about = points * (effects - stock.effect(line))
    return (-about).clip(0).mean(axis=0), about.clip(0).mean(axis=0)


def worth_of_copies(
    stock: Stock, line: float, effects: Numbers, advice: tuple[Advice, ...], goals: Goals
) -> Numbers:
    """Say what each copy of each item is worth.

    A weak card hurts with every copy alike, as often as one is dealt. A strong one helps by
    being there at all, so that its further copies count for less and less. Copies beyond the
    number that its part in the pool asks for cost something.

    Returns
    -------
    ndarray of shape (n, C)
        Points, never growing from copy to copy.
    """
    under, over = shortfall(stock, line, effects)
    most = max(int(stock.before.max()), *(one.most for one in advice))
    pool = max(int(stock.before.sum()), most)
    there = chance_dealt(np.arange(most + 1), pool, max(round(goals.dealt * pool), 1))
    asked = np.array([one.copies for one in advice])[:, None]
    beyond = np.arange(1, most + 1) > asked
    further = np.diff(there) / there[1]
    helped = goals.strength * over[:, None] * further
    return np.asarray(helped - goals.floor * under[:, None] - goals.surplus * beyond)


def bends_of(stock: Stock, play: Play, effects: Numbers, needs: Needs, goals: Goals) -> Bends:
    """Say what changes of the archetypes' strengths are worth.

    Returns
    -------
    Bends
        An underpowered archetype is to gain, as surely as it is one, and no more than it
        lacks; an overpowered one is to gain nothing; and no other one is to end beyond a
        line, measured against the others, which costs as much a point.
    """
    pull = pull_of(stock, play, effects)
    drift = pull - play.share @ pull
    return Bends(
        side=np.vstack([pull, -pull, -drift, drift]),
        rate=np.concatenate(
            [
                *(goals.lift * needs.below, goals.restrain * needs.above),
                *(goals.restrain * (1 - needs.above), goals.lift * (1 - needs.below)),
            ]
        ),
        room=np.concatenate([needs.room, 0 * needs.room, -needs.up, -needs.down]),
    )


def pull_of(stock: Stock, play: Play, effects: Numbers) -> Numbers:
    """Return what one more copy of each item adds to each archetype.

    Returns
    -------
    ndarray of shape (K, n)
        Points of win rate, before the mean over all games is taken off.
    """
    points = POINTS * stock.mean * (1 - stock.mean)
    return np.asarray(points * play.pulls(stock.before, effects.mean(axis=0)))
