r"""What one seat of a table gets to see of the packs that go round.

Passing is common practice (no source): in each round every seat opens a pack, takes a card and
hands the rest on. After t picks a seat holds for the first time the pack that the seat t places
away opened, with S - t of its S cards; from the N-th of N seats on every pack has been seen
before. What is gone by then depends on how early drafters take a card, so there are three
chances to see it: if everyone takes it at sight, if they take it as early and late as any other
card, if everyone lets it pass.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError, SettingError
from winrate_tools.stats.packs.dealing import (
    Numbers,
    chance_dealt,
    counts_together,
    dealt_counts,
)

LIMITS = {"seats": (2, 100), "packs": (1, 20), "size": (1, 100)}
"""Least and most of what a draft may have."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A table that drafts.

    Attributes
    ----------
    seats : int
        Players, from 2 to 100.
    packs : int
        Packs that each of them opens, one after the other, from 1 to 20.
    size : int
        Cards of a pack, from 1 to 100.

    Raises
    ------
    SettingError
        If one of them is out of its bounds.

    Examples
    --------
    >>> Draft(seats=8, packs=3, size=15).opened
    24
    """

    seats: int
    packs: int
    size: int

    def __post_init__(self) -> None:
        for name, (least, most) in LIMITS.items():
            if not least <= (number := getattr(self, name)) <= most:
                msg = f"{name} must be a whole number from {least} to {most}, got {number}"
                raise SettingError(msg)

    @property
    def opened(self) -> int:
        """Packs that the whole table opens."""
        return self.seats * self.packs

    @property
    def looks(self) -> range:
        """Cards of each pack that one seat holds for the first time in a round."""
        return range(self.size, self.size - min(self.seats, self.size), -1)


class Sighting(NamedTuple):
    """Chances that one seat sees a card at least once.

    Attributes
    ----------
    low, usual, high : ndarray
        If everyone takes it at sight, so that only the packs that the seat opens itself count;
        if it goes as early or late as any other card; if everyone lets it pass.
    """

    low: Numbers
    usual: Numbers
    high: Numbers


def cards_passing(draft: Draft) -> int:
    """Cards that one seat gets to look at in one round, each counted once.

    Parameters
    ----------
    draft : Draft
        The table.

    Returns
    -------
    int
        Sum of S - t over the packs that come by, t from 0.

    Examples
    --------
    >>> cards_passing(Draft(seats=8, packs=3, size=15))
    92
    """
    return sum(draft.looks)


def places_seen(draft: Draft, places: int) -> Numbers:
    """Chances of how many cards of a slot one seat looks at in a whole draft.

    Parameters
    ----------
    draft : Draft
        The table.
    places : int
        Cards of each pack that the slot fills, from 0 to the pack's size.

    Returns
    -------
    ndarray
        Chances of 0, 1, 2, ... cards, where drafters take cards without regard to their slot.

    Raises
    ------
    CountError
        If the slot has more places than a pack.

    Notes
    -----
    How many cards the seat looks at is certain, so a slot that fills most of a pack is told by
    what the others leave, whose chances are fewer.

    Examples
    --------
    >>> seen = places_seen(Draft(seats=2, packs=1, size=2), 1)
    >>> seen.tolist()
    [0.0, 0.5, 0.5]
    """
    rest = draft.size - places
    if 0 <= rest < places:
        others = places_seen(draft, rest)
        chances = np.zeros(draft.packs * len(draft.looks) * places + 1)
        seen = np.flatnonzero(others)
        chances[draft.packs * cards_passing(draft) - seen] = others[seen]
        return chances
    one_round = counts_together(dealt_counts(places, draft.size, look) for look in draft.looks)
    return counts_together([one_round] * draft.packs)


def chance_seen(
    copies: npt.ArrayLike, pool: int, draft: Draft, places: int | None = None
) -> Sighting:
    """Chance that one seat sees a card at least once.

    Parameters
    ----------
    copies : array_like of int
        Copies in the pool, from 0 to `pool`.
    pool : int
        All cards that may fill the slot, at least as many as are dealt into it.
    draft : Draft
        The table.
    places : int, optional
        Cards of each pack that the slot fills; all by default.

    Returns
    -------
    Sighting
        Exact under each of the three ways to take the card, each of the shape of `copies`;
        however drafters treat it, the truth lies from `low` to `high`.

    Raises
    ------
    CountError
        If the pool is too small for the table, or there are more copies than cards.

    Notes
    -----
    Picks that know nothing of the card leave its copies anywhere among the cards: the V cards
    of its slot that the seat looks at are a random draw from the pool, and the chance is the
    mean of H(c) with V dealt over the chances of V.

    Examples
    --------
    >>> draft = Draft(seats=8, packs=3, size=15)
    >>> [chance.round(3).tolist() for chance in chance_seen([1, 2], 540, draft)]
    [[0.083, 0.16], [0.511, 0.761], [0.667, 0.889]]
    """
    places = draft.size if places is None else places
    numbers = np.asarray(copies)
    if pool < draft.opened * places:
        msg = f"pool must hold {draft.opened * places} cards to be dealt, got {pool}"
        raise CountError(msg)
    chances = places_seen(draft, places)
    looks = np.flatnonzero(chances)
    usual = chance_dealt(numbers[..., None], pool, looks) @ chances[looks]
    own = chance_dealt(numbers, pool, draft.packs * places)
    passing = chance_dealt(numbers, pool, draft.packs * len(draft.looks) * places)
    return Sighting(own, np.asarray(usual), passing)


def most_seats(draft: Draft, slots: Iterable[tuple[int, int]]) -> int:
    """Most seats that a pool serves with as many packs of the size.

    Parameters
    ----------
    draft : Draft
        The table; its seats do not matter.
    slots : iterable of (int, int)
        Cards in the pool, and places of a pack, of each slot.

    Returns
    -------
    int
        0 where not even one seat is served.

    Examples
    --------
    >>> most_seats(Draft(seats=8, packs=3, size=15), [(540, 14), (28, 1)])
    9
    """
    return min(_rounds_served(slots)) // draft.packs


def most_packs(draft: Draft, slots: Iterable[tuple[int, int]]) -> int:
    """Most packs of the size for each of as many seats, as in `most_seats`.

    Examples
    --------
    >>> most_packs(Draft(seats=8, packs=3, size=15), [(540, 14), (28, 1)])
    3
    """
    return min(_rounds_served(slots)) // draft.seats


def _rounds_served(slots: Iterable[tuple[int, int]]) -> list[int]:
    """Packs that each slot's cards suffice for."""
    return [cards // places for cards, places in slots if places]
