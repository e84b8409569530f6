"""Why a card called cut keeps its copies, where that is known."""

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.plan.case import Case
from winrate_tools.decide.plan.causes import Causes
from winrate_tools.decide.plan.moves import Staying
from winrate_tools.pools import PoolCard

Counts = npt.NDArray[np.int64]


def staying(case: Case, causes: Causes, after: Counts) -> tuple[Staying, ...]:
    """List cards called cut of which no copy goes, the weakest first.

    Parameters
    ----------
    case : Case
        What there is to choose from.
    causes : Causes
        What the items do to archetypes.
    after : ndarray of int, shape (n,)
        Copies in the new pool.

    Returns
    -------
    tuple of Staying
        Each with the first reason that holds, None where no single one is known.
    """
    stock = case.stock
    cut = [
        i
        for i, verdict in enumerate(stock.verdicts)
        if verdict is not None and verdict.verdict == "cut" and after[i] >= stock.before[i]
    ]
    return tuple(
        _staying(case, causes, after, i) for i in sorted(cut, key=lambda i: case.estimates[i])
    )


def _staying(case: Case, causes: Causes, after: Counts, item: int) -> Staying:
    card = case.stock.cards[item]
    if card.is_protected:
        return Staying(card.card, is_protected=True)
    better = _better(case, item)
    if not better:
        return Staying(card.card, is_protected=False, why="no better")
    if all(after[other] >= case.stock.cards[other].copies for other in better):
        return Staying(card.card, is_protected=False, why="better in")
    if archetype := causes.held_back(item, causes.needs.above):
        return Staying(card.card, is_protected=False, why="restrains", archetype=archetype)
    return Staying(card.card, is_protected=False)


def _better(case: Case, item: int) -> list[int]:
    """List the candidates for a card's place with higher estimates than its own."""
    cards, estimates = case.stock.cards, case.estimates
    labels = ("slot", *(label for label in case.goals.keep if label in case.stock.labels))
    return [
        int(other)
        for other in np.flatnonzero(case.stock.before == 0)
        if estimates[other] > estimates[item]
        and all(_fits(cards[other], cards[item], label) for label in labels)
    ]


def _fits(other: PoolCard, card: PoolCard, label: str) -> bool:
    wanted, has = getattr(card, label), getattr(other, label)
    return wanted is None or (has is not None and folded(has) == folded(wanted))
