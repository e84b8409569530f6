"""What a table that drafts from a pool gets to see: by slot, group, card and copy."""

from collections.abc import Iterable, Iterator, Mapping

import numpy as np

from winrate_tools.decide.packs.archetypes_named import archetypes_named
from winrate_tools.decide.packs.exposure import CardDealt, CopyChances, PacksSeen, SlotDealt
from winrate_tools.decide.packs.pack_groups import groups_dealt
from winrate_tools.decide.packs.slots import Slot, slots_of
from winrate_tools.pools import PoolTable
from winrate_tools.stats.packs.dealing import (
    CountRange,
    chance_dealt,
    count_range,
    dealt_counts,
    kinds_dealt,
)
from winrate_tools.stats.packs.exposure import (
    Draft,
    cards_passing,
    chance_seen,
    most_packs,
    most_seats,
)

LEVEL = 0.8
"""Ranges are those that 8 in 10 drafts keep to."""
SURELY = 0.9
"""Chance of being dealt at which a card can be counted on."""
LONGEST = 6
"""Most copies of one card that the table of copies goes up to."""


def packs_seen(
    pool: PoolTable, draft: Draft, places: Mapping[str, int] | None = None
) -> PacksSeen:
    """Work out what a table gets to see of a pool.

    Parameters
    ----------
    pool : PoolTable
        The pool.
    draft : Draft
        Seats, packs and their size.
    places : mapping of str to int, optional
        Cards of each pack that a special slot fills; one where not said, and the main slot
        fills the rest.

    Raises
    ------
    SettingError
        If a slot is not the pool's, or the special slots take more places than a pack has.

    Examples
    --------
    >>> from winrate_tools.pools import PoolCard
    >>> pool = PoolTable([PoolCard(f"Moth {n}", 2) for n in range(60)])
    >>> seen = packs_seen(pool, Draft(seats=2, packs=3, size=15))
    >>> seen.most_seats, f"{seen.cards[0].now.dealt:.3f}"
    (2, '0.939')
    """
    slots = slots_of(pool, draft.size, places or {})
    sizes = [(slot.copies, slot.places) for slot in slots]
    enough = all(slot.copies >= draft.opened * slot.places for slot in slots)
    return PacksSeen(
        draft=draft,
        slots=tuple(_slot_dealt(slot, draft, is_enough=enough) for slot in slots),
        passing=cards_passing(draft),
        most_seats=most_seats(draft, sizes),
        most_packs=most_packs(draft, sizes),
        different=_different(slots, draft) if enough else None,
        groups=groups_dealt(slots, draft.opened, LEVEL) if enough else (),
        cards=_cards(slots, draft) if enough else (),
        absent=tuple(card.card for card in pool.cards if not card.copies),
        few_name_archetypes=archetypes_named(pool.cards) is False,
    )


def _slot_dealt(slot: Slot, draft: Draft, *, is_enough: bool) -> SlotDealt:
    needed = draft.opened * slot.places
    numbers = range(1, min(_longest(slot), slot.copies) + 1)
    has_steps = is_enough and needed > 0
    return SlotDealt(
        slot=slot.name,
        places=slot.places,
        cards=sum(card.copies > 0 for card in slot.cards),
        copies=slot.copies,
        needed=needed,
        counted_on=_counted_on(slot.copies, needed) if has_steps else None,
        steps=tuple(_chances(slot, draft, numbers).values()) if has_steps else (),
    )


def _longest(slot: Slot) -> int:
    """Go on for a copy after the most that a card has, but not on and on."""
    return min(1 + max((card.copies for card in slot.cards), default=0), LONGEST)


def _counted_on(copies: int, needed: int) -> int | None:
    comes = chance_dealt(np.arange(copies + 1), copies, needed) >= SURELY
    return int(np.argmax(comes)) if comes.any() else None


def _chances(slot: Slot, draft: Draft, numbers: Iterable[int]) -> dict[int, CopyChances]:
    copies = sorted(set(numbers))
    dealt = chance_dealt(copies, slot.copies, draft.opened * slot.places)
    seen = chance_seen(copies, slot.copies, draft, slot.places)
    rows = np.column_stack([dealt, *seen]).tolist()
    return {number: CopyChances(number, *row) for number, row in zip(copies, rows, strict=True)}


def _different(slots: Iterable[Slot], draft: Draft) -> CountRange:
    parts = [
        ([card.copies for card in slot.cards], draft.opened * slot.places) for slot in slots
    ]
    return kinds_dealt(parts, LEVEL)


def _cards(slots: Iterable[Slot], draft: Draft) -> tuple[CardDealt, ...]:
    cards = [card for slot in slots for card in _slot_cards(slot, draft)]
    return tuple(sorted(cards, key=lambda card: (-card.now.dealt, -card.dealt.mean)))


def _slot_cards(slot: Slot, draft: Draft) -> Iterator[CardDealt]:
    counts = {card.copies for card in slot.cards}
    beside = {number + step for number in counts for step in (-1, 0, 1)}
    known = _chances(slot, draft, (n for n in beside if 0 <= n <= slot.copies))
    needed = draft.opened * slot.places
    dealt = {n: count_range(dealt_counts(n, slot.copies, needed), LEVEL) for n in counts}
    for card in slot.cards:
        n = card.copies
        yield CardDealt(card, slot.name, dealt[n], known[n], known.get(n - 1), known.get(n + 1))
