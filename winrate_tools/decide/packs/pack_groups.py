"""How many cards of a faction, rarity, role or archetype are dealt to a table."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from winrate_tools.alike import folded
from winrate_tools.decide.packs.archetypes_named import archetypes_named
from winrate_tools.decide.packs.slots import Slot
from winrate_tools.pools import PoolCard
from winrate_tools.stats.packs.dealing import (
    CountRange,
    count_range,
    counts_together,
    dealt_counts,
)

GroupKind = Literal["faction", "rarity", "role", "archetype"]
KINDS: tuple[GroupKind, ...] = ("faction", "rarity", "role", "archetype")


@dataclass(frozen=True, slots=True)
class GroupDealt:
    """Cards that share a label.

    Attributes
    ----------
    kind : str
        ``"faction"``, ``"rarity"``, ``"role"`` or ``"archetype"``.
    name : str or None
        The label as it is first written; None for the cards without one of this kind.
    cards, copies : int
        Different cards that have copies, and all of them with their copies.
    dealt : CountRange
        How many are dealt to the table.
    """

    kind: GroupKind
    name: str | None
    cards: int
    copies: int
    dealt: CountRange


def groups_dealt(
    slots: Sequence[Slot], opened: int, level: float = 0.8
) -> tuple[GroupDealt, ...]:
    """Count what is dealt of every group.

    Parameters
    ----------
    slots : sequence of Slot
        The slots of the packs; none with fewer cards than are dealt into it.
    opened : int
        Packs that the whole table opens.
    level : float, optional
        What the ranges hold, strictly between 0 and 1.

    Returns
    -------
    tuple of GroupDealt
        By kind, the most dealt first and the cards without a label last; no groups of a kind
        of which no card has a label, and none by archetype where fewer than half of the copies
        name any. A card of several archetypes counts in each.

    Raises
    ------
    CountError
        If a slot has fewer cards than are dealt into it.

    Examples
    --------
    >>> kettles = tuple(PoolCard(f"Kettle {n}", 1, role="tool") for n in range(8))
    >>> moths = tuple(PoolCard(f"Moth {n}", 1, role="guest") for n in range(4))
    >>> for group in groups_dealt([Slot("main", 3, kettles + moths)], opened=2):
    ...     print(group.name, round(group.dealt.mean, 9), group.dealt.low, group.dealt.high)
    tool 4.0 3 5
    guest 2.0 1 3
    """
    is_counted = archetypes_named(card for slot in slots for card in slot.cards)
    return tuple(
        group
        for kind in KINDS
        if kind != "archetype" or is_counted
        for group in _groups_of_kind(kind, slots, opened, level)
    )


def _groups_of_kind(
    kind: GroupKind, slots: Sequence[Slot], opened: int, level: float
) -> list[GroupDealt]:
    names: dict[str, str | None] = {}
    held: dict[str, list[list[PoolCard]]] = {}
    for place, slot in enumerate(slots):
        for label, card in _labelled(kind, slot.cards):
            key = folded(label or "")
            names.setdefault(key, label)
            held.setdefault(key, [[] for _ in slots])[place].append(card)
    if not any(names):
        return []
    groups = []
    for key, by_slot in held.items():
        copies = [sum(card.copies for card in cards) for cards in by_slot]
        if not key and not any(copies):
            continue
        parts = [
            dealt_counts(number, slot.copies, opened * slot.places)
            for number, slot in zip(copies, slots, strict=True)
        ]
        dealt = count_range(counts_together(parts), level)
        cards = sum(card.copies > 0 for held_there in by_slot for card in held_there)
        groups.append(GroupDealt(kind, names[key], cards, sum(copies), dealt))
    return sorted(groups, key=lambda group: (group.name is None, -group.dealt.mean))


def _labelled(
    kind: GroupKind, cards: Iterable[PoolCard]
) -> Iterator[tuple[str | None, PoolCard]]:
    for card in cards:
        labels = card.archetypes if kind == "archetype" else (getattr(card, kind),)
        for label in labels or (None,):
            yield label, card
