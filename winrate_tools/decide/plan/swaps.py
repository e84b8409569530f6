"""Which card comes for which: moves matched by what the cards have in common."""

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.plan.moves import Swap
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.pools import PoolCard

Counts = npt.NDArray[np.int64]
WEIGHTS = {"slot": 8, "faction": 4, "role": 2, "rarity": 1}
"""What two cards should have in common, each label above all after it together."""


def swaps_of(stock: Stock, change: Counts) -> tuple[Swap, ...]:
    """Match copies that go out with copies that come in.

    Parameters
    ----------
    stock : Stock
        The items.
    change : ndarray of int, shape (n,)
        Copies that come in, below 0 for those that go out.

    Returns
    -------
    tuple of Swap
        Those that have most in common first, in all; copies of the longer side that are left
        over stand for nobody.
    """
    from scipy.optimize import linear_sum_assignment

    gone = np.repeat(np.arange(len(change)), (-change).clip(0))
    come = np.repeat(np.arange(len(change)), change.clip(0))
    if not len(gone) or not len(come):
        return ()
    likeness = np.array(
        [[_likeness(stock.cards[i], stock.cards[j]) for j in come] for i in gone]
    )
    rows, columns = linear_sum_assignment(likeness, maximize=True)
    pairs: dict[tuple[int, int], int] = {}
    for row, column in zip(rows, columns, strict=True):
        pair = int(gone[row]), int(come[column])
        pairs[pair] = pairs.get(pair, 0) + 1
    order = sorted(pairs, key=lambda pair: (-_likeness(*_both(stock, pair)), pair))
    return tuple(_swap(stock, pair, pairs[pair]) for pair in order)


def _both(stock: Stock, pair: tuple[int, int]) -> tuple[PoolCard, PoolCard]:
    return stock.cards[pair[0]], stock.cards[pair[1]]


def _swap(stock: Stock, pair: tuple[int, int], copies: int) -> Swap:
    out, into = _both(stock, pair)
    stronger = stock.effects[:, pair[1]] > stock.effects[:, pair[0]]
    return Swap(out.card, into.card, copies, float(stronger.mean()), *_labels(out, into))


def _likeness(one: PoolCard, other: PoolCard) -> int:
    return sum(WEIGHTS[label] for label in _labels(one, other)[0])


def _labels(one: PoolCard, other: PoolCard) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """List the labels that two cards share, and those that set them apart."""
    values = {label: (getattr(one, label), getattr(other, label)) for label in WEIGHTS}
    known = {label: pair for label, pair in values.items() if None not in pair}
    is_shared = {label: folded(pair[0]) == folded(pair[1]) for label, pair in known.items()}
    shared = tuple(label for label, same in is_shared.items() if same)
    return shared, tuple(label for label in is_shared if label not in shared)
