r"""How many copies of a card: its rarity's usual number, then what the card itself asks for.

Of a strong card fewer copies do, so that it does not decide every game; of an essential one the
pool wants more, so that who needs it sees it; of a marginal one fewer, so that it takes no
sound card's place. A further copy matters as far as it makes the card turn up at all: with
:math:`c` copies among :math:`N` cards of which :math:`D` are dealt, at least one is dealt with
probability :math:`H(c) = 1 - \binom{N-c}{D} / \binom{N}{D}`.
"""

from collections import Counter
from collections.abc import Collection, Mapping
from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.plan.matching import hint
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.errors import SettingError
from winrate_tools.goals import Goals
from winrate_tools.pools import PoolCard

Numbers = npt.NDArray[np.float64]
CopyReason = Literal["strong", "essential", "marginal"]
EVEN = 0.5
FEW_ALIKE = 2
"""Cards of one role in one faction up to which each of them is essential; a judgement."""


class Advice(NamedTuple):
    """How many copies a card's part in the pool asks for.

    Attributes
    ----------
    copies : int
        The number, at least 1.
    most : int
        The most that the rarity's limit allows.
    reasons : tuple of str
        Why it is not its rarity's usual number: ``"strong"``, ``"essential"``, ``"marginal"``.
    """

    copies: int
    most: int
    reasons: tuple[CopyReason, ...]


class CopyFlags(NamedTuple):
    """What the number of copies hangs on, for n items: arrays of shape (n,).

    Attributes
    ----------
    is_strong, is_marginal, is_essential : ndarray of bool
        Surely above the line by as much as the line lies below the baseline; likelier weak
        than not, yet not surely; sound and one of few of its role in its faction.
    """

    is_strong: npt.NDArray[np.bool_]
    is_marginal: npt.NDArray[np.bool_]
    is_essential: npt.NDArray[np.bool_]


def copy_flags(stock: Stock, line: float, baseline: float, sure: float) -> CopyFlags:
    """Tell strong, marginal and essential items from the others.

    Parameters
    ----------
    stock : Stock
        The items.
    line, baseline : float
        Win rates; strong is what lies above the baseline by their distance.
    sure : float
        How sure is sure enough.
    """
    upper = 2 * baseline - line
    below = (stock.effects < stock.effect(line)).mean(axis=0)
    above = (stock.effects > stock.effect(upper)).mean(axis=0)
    unplayed = np.array([bool(v and "unplayed" in v.reasons) for v in stock.verdicts])
    doubtful = (below >= EVEN) & (below < sure)
    parts = [_part(card) for card in stock.cards]
    alike = Counter(part for part, had in zip(parts, stock.before, strict=True) if had)
    few = np.array([None not in part and alike[part] <= FEW_ALIKE for part in parts])
    sound = below <= 1 - sure
    return CopyFlags(above >= sure, doubtful | unplayed, few & sound & ~unplayed)


def _part(card: PoolCard) -> tuple[str | None, str | None]:
    faction, role = (name and folded(name) for name in (card.faction, card.role))
    return faction or None, role or None


def copies_advice(stock: Stock, found: CopyFlags, goals: Goals) -> tuple[Advice, ...]:
    """Say how many copies each item's part in the pool asks for.

    Returns
    -------
    tuple of Advice
        One an item, from the commonest number of its rarity in the pool, a copy less or more
        for each reason, within 1 and the limit.
    """
    usual, most = usual_copies(stock), most_copies(stock, goals)
    advice = []
    for i, card in enumerate(stock.cards):
        rarity = _rarity(card.rarity)
        flags: dict[CopyReason, bool] = {
            "strong": bool(found.is_strong[i]),
            "essential": bool(found.is_essential[i]),
            "marginal": bool(found.is_marginal[i]),
        }
        step = flags["essential"] - flags["strong"] - flags["marginal"]
        limit = most.get(rarity, 1)
        copies = min(max(min(usual.get(rarity, 1), limit) + step, 1), limit)
        advice.append(Advice(copies, limit, tuple(name for name, on in flags.items() if on)))
    return tuple(advice)


def _rarity(rarity: str | None) -> str:
    return "" if rarity is None else folded(rarity)


def usual_copies(stock: Stock) -> dict[str, int]:
    """Return the commonest number of copies of each rarity in the pool, the lower of two."""
    numbers: dict[str, Counter[int]] = {}
    for card, copies in zip(stock.cards, stock.before.tolist(), strict=True):
        if copies:
            numbers.setdefault(_rarity(card.rarity), Counter())[copies] += 1
    return {
        rarity: min(count, key=lambda copies: (-count[copies], copies))
        for rarity, count in numbers.items()
    }


def most_copies(stock: Stock, goals: Goals) -> Mapping[str, int]:
    """Return the most copies of each rarity: the owner's limit, else the most there are now.

    Raises
    ------
    SettingError
        If the owner limits a rarity that no card has.
    """
    known = dict.fromkeys(card.rarity for card in stock.cards if card.rarity is not None)
    for rarity, _ in goals.copies:
        _demand_known(rarity, known)
    most: dict[str, int] = {}
    for card, copies in zip(stock.cards, stock.before.tolist(), strict=True):
        rarity = _rarity(card.rarity)
        most[rarity] = max(most.get(rarity, 1), copies)
    return most | {folded(rarity): copies for rarity, copies in goals.copies}


def _demand_known(rarity: str, known: Collection[str]) -> None:
    if folded(rarity) not in map(folded, known):
        msg = f"copies: no card has rarity {rarity!r}; {hint(rarity, known)}"
        raise SettingError(msg)
