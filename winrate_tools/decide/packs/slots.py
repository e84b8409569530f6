"""The slots of a pack: which cards of a pool may fill each, and how many places it has."""

from collections.abc import Mapping
from dataclasses import dataclass

from winrate_tools.alike import folded
from winrate_tools.errors import SettingError
from winrate_tools.pools import MAIN, PoolCard, PoolTable


@dataclass(frozen=True, slots=True)
class Slot:
    """One slot with its own part of the pool.

    Attributes
    ----------
    name : str
        As the pool first writes it.
    places : int
        Cards of each pack that it fills, from 0.
    cards : tuple of PoolCard
        Those that may fill it, and no other slot.
    """

    name: str
    places: int
    cards: tuple[PoolCard, ...]

    @property
    def copies(self) -> int:
        """Cards with their copies."""
        return sum(card.copies for card in self.cards)


def slots_of(pool: PoolTable, size: int, places: Mapping[str, int]) -> tuple[Slot, ...]:
    """Split a pool into the slots of its packs.

    Parameters
    ----------
    pool : PoolTable
        The pool; slots count as one whatever the case they are written in.
    size : int
        Cards of a pack.
    places : mapping of str to int
        Cards of each pack that a special slot fills, from 0; one where not said.

    Returns
    -------
    tuple of Slot
        The main slot first, which fills what the others leave; the others as they come.

    Raises
    ------
    SettingError
        If a slot is not a special one of the pool, or they take more places than a pack has.

    Examples
    --------
    >>> pool = PoolTable([PoolCard("Moth", 9), PoolCard("Fair", 1, slot="lantern")])
    >>> [(slot.name, slot.places, slot.copies) for slot in slots_of(pool, 15, {})]
    [('main', 14, 9), ('lantern', 1, 1)]
    """
    names: dict[str, str] = {MAIN: MAIN}
    cards: dict[str, list[PoolCard]] = {MAIN: []}
    for card in pool.cards:
        key = folded(card.slot)
        names.setdefault(key, card.slot.strip())
        cards.setdefault(key, []).append(card)
    special = dict.fromkeys([key for key in cards if key != MAIN], 1)
    for name, number in places.items():
        _demand_special(name, number, [names[key] for key in special])
        special[folded(name)] = number
    left = size - sum(special.values())
    if left < 0:
        msg = (
            f"special slots must fit into a pack of {size}, got {size - left} places: "
            f"{', '.join(f'{names[key]} {number}' for key, number in special.items())}"
        )
        raise SettingError(msg)
    filled = {MAIN: left, **special}
    return tuple(
        Slot(names[key], number, tuple(cards[key]))
        for key, number in filled.items()
        if number or cards[key]
    )


def _demand_special(name: str, number: int, known: list[str]) -> None:
    if folded(name) == MAIN:
        msg = "the main slot fills what the others leave of a pack; give the pack another size"
        raise SettingError(msg)
    if folded(name) not in map(folded, known):
        has = f"it has {', '.join(known)}" if known else "all its cards are in the main slot"
        msg = f"a slot must be one of the pool's, got {name!r}; {has}"
        raise SettingError(msg)
    if number < 0:
        msg = f"places of the slot {name} must be a whole number from 0, got {number}"
        raise SettingError(msg)
