"""From the owner's goals to the limits of the program and the levels of each card."""

from collections.abc import Callable, Iterator

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.plan.copies import Advice
from winrate_tools.decide.plan.matching import hint
from winrate_tools.decide.plan.program import Limit
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.errors import CountError, SettingError
from winrate_tools.goals import Goals, Label, Quota
from winrate_tools.pools import MAIN, PoolCard

Numbers = npt.NDArray[np.float64]


def levels_of(
    stock: Stock, advice: tuple[Advice, ...], goals: Goals
) -> tuple[tuple[int, ...], ...]:
    """Say which numbers of copies each item may have.

    Returns
    -------
    tuple of tuple of int
        Ascending. Protected and unknown cards stay as they are. Others may go, or come, or
        move to the number that their part asks for; copy by copy, or with all their copies at
        once; more copies only where they can be paid for.

    Raises
    ------
    CountError
        If money is bounded and a candidate has no price.
    """
    fixed = stock.is_unknown & (stock.before > 0)
    found: list[tuple[int, ...]] = []
    for card, now, one, stays in zip(stock.cards, stock.before, advice, fixed, strict=True):
        before = int(now)
        if goals.budget is not None and card.price is None and not before:
            msg = f"{card.card!r} needs a price, since there is a budget: give it one"
            raise CountError(msg)
        asked = one.copies if before else min(one.copies, card.copies)
        can_grow = goals.budget is None or card.price is not None
        if stays or (card.is_protected and before):
            found.append((before,))
        else:
            found.append(_levels(before, asked if can_grow else min(asked, before), goals))
    return tuple(found)


def _levels(before: int, asked: int, goals: Goals) -> tuple[int, ...]:
    if goals.whole:
        return tuple(sorted({0, before, asked}))
    return tuple(range(max(before, asked) + 1))


def limits_of(stock: Stock, goals: Goals) -> tuple[Limit, ...]:
    """List every limit that a plan keeps to.

    Returns
    -------
    tuple of Limit
        Cards in each slot, kept counts, quotas, box, money, changes.

    Raises
    ------
    SettingError
        If a quota is for a label that no card has.
    """
    return (
        *_sizes(stock, goals),
        *(
            limit
            for label in _keepable(stock, goals)
            for limit in _kept(stock, label, goals.slack)
        ),
        *(_quota(stock, quota) for quota in goals.quotas),
        *_means(stock, goals),
    )


def _marked(stock: Stock, holds: Callable[[PoolCard], bool]) -> Numbers:
    return np.array([holds(card) for card in stock.cards], dtype=np.float64)


def _sizes(stock: Stock, goals: Goals) -> Iterator[Limit]:
    for slot in dict.fromkeys(card.slot for card in stock.cards):
        weight = _marked(stock, lambda card, slot=slot: card.slot == slot)  # type: ignore[misc]
        now = float(weight @ stock.before)
        size = float(goals.size) if goals.size is not None and slot == MAIN else now
        yield Limit(f"cards in slot {slot}", weight, size, size)


def _keepable(stock: Stock, goals: Goals) -> tuple[Label, ...]:
    """Leave out labels that the pool does not know: candidates' own would bar them."""
    return tuple(label for label in goals.keep if label in stock.labels)


def _kept(stock: Stock, label: str, slack: int) -> Iterator[Limit]:
    names = [name for card in stock.cards if (name := getattr(card, label))]
    first = {folded(name): name for name in reversed(names)}
    for fold, name in first.items():
        weight = _marked(stock, lambda card, fold=fold: _folded(card, label) == fold)  # type: ignore[misc]
        now = float(weight @ stock.before)
        yield Limit(f"{label} {name}", weight, max(now - slack, 0), now + slack)


def _folded(card: PoolCard, label: str) -> str | None:
    name = getattr(card, label)
    return None if name is None else folded(name)


def _quota(stock: Stock, quota: Quota) -> Limit:
    labels = [_labels(card, quota.label) for card in stock.cards]
    known = dict.fromkeys(name for names in labels for name in names)
    wanted = folded(quota.name)
    if wanted not in map(folded, known):
        msg = f"quotas: no card has {quota.label} {quota.name!r}; {hint(quota.name, known)}"
        raise SettingError(msg)
    weight = np.array([float(wanted in map(folded, names)) for names in labels])
    low = -np.inf if quota.low is None else quota.low
    return Limit(
        f"quota for {quota.label} {quota.name}",
        weight,
        low,
        np.inf if quota.high is None else quota.high,
    )


def _labels(card: PoolCard, label: str) -> tuple[str, ...]:
    if label == "archetype":
        return card.archetypes
    name = getattr(card, label)
    return () if name is None else (name,)


def _means(stock: Stock, goals: Goals) -> Iterator[Limit]:
    each = np.ones(len(stock.cards))
    if goals.capacity is not None:
        yield Limit("cards in the box", each, high=goals.capacity)
    if goals.budget is not None:
        yield Limit("budget", prices(stock), high=goals.budget, of="added")
    if goals.changes is not None:
        yield Limit("copies that come in", each, high=goals.changes, of="added")
        yield Limit("copies that go out", each, high=goals.changes, of="removed")


def prices(stock: Stock) -> Numbers:
    """Return the price of a copy of each item, 0 where it is unknown."""
    return np.array([card.price or 0.0 for card in stock.cards])
