"""What a table gets to see of a pool, as plain values."""

from dataclasses import dataclass

from winrate_tools.decide.packs.pack_groups import GroupDealt
from winrate_tools.pools import PoolCard
from winrate_tools.stats.packs.dealing import CountRange
from winrate_tools.stats.packs.exposure import Draft


@dataclass(frozen=True, slots=True)
class CopyChances:
    """What a number of copies of one card comes to.

    Attributes
    ----------
    copies : int
        Copies in the pool.
    dealt : float
        Chance that at least one of them is dealt to the table.
    seen_low, seen, seen_high : float
        Chance that one seat sees at least one: if everyone takes the card at sight, if it goes
        as early or late as any other, if everyone lets it pass.
    """

    copies: int
    dealt: float
    seen_low: float
    seen: float
    seen_high: float


@dataclass(frozen=True, slots=True)
class SlotDealt:
    """One slot of the packs.

    Attributes
    ----------
    slot : str
        Name.
    places : int
        Cards of each pack that it fills.
    cards, copies : int
        Different cards with copies that may fill it, and all of them with their copies.
    needed : int
        Cards that all packs together take.
    counted_on : int or None
        Fewest copies with which a card of this slot is dealt in 9 of 10 drafts; None where no
        number of copies does that.
    steps : tuple of CopyChances
        What one copy, two copies and so on come to; () where none is dealt or the pool is too
        small.
    """

    slot: str
    places: int
    cards: int
    copies: int
    needed: int
    counted_on: int | None
    steps: tuple[CopyChances, ...]


@dataclass(frozen=True, slots=True)
class CardDealt:
    """One card of the pool.

    Attributes
    ----------
    card : PoolCard
        The card.
    slot : str
        Its slot, by the name that the slot goes by.
    dealt : CountRange
        How many of its copies are dealt to the table.
    now : CopyChances
        What its copies come to.
    fewer, more : CopyChances or None
        The same with one copy fewer, and with one more in place of another card; None where
        that cannot be.
    """

    card: PoolCard
    slot: str
    dealt: CountRange
    now: CopyChances
    fewer: CopyChances | None
    more: CopyChances | None


@dataclass(frozen=True, slots=True)
class PacksSeen:
    """What a table gets to see.

    Attributes
    ----------
    draft : Draft
        Seats, packs and their size.
    slots : tuple of SlotDealt
        The main one first.
    passing : int
        Cards that one seat looks at in a round.
    most_seats, most_packs : int
        Seats that the pool serves with as many packs, and packs with as many seats.
    different : CountRange or None
        How many different cards are dealt; None where the pool is too small.
    groups : tuple of GroupDealt
        By kind, the largest first; () where the pool is too small.
    cards : tuple of CardDealt
        The likeliest to be dealt first; () where the pool is too small.
    absent : tuple of str
        Cards of the file without copies, which are no part of the pool.
    few_name_archetypes : bool
        Whether there are no groups by archetype because fewer than half of the copies name any.
    """

    draft: Draft
    slots: tuple[SlotDealt, ...]
    passing: int
    most_seats: int
    most_packs: int
    different: CountRange | None
    groups: tuple[GroupDealt, ...]
    cards: tuple[CardDealt, ...]
    absent: tuple[str, ...] = ()
    few_name_archetypes: bool = False

    @property
    def is_enough(self) -> bool:
        """Whether every slot has cards enough for all packs."""
        return all(slot.needed <= slot.copies for slot in self.slots)
