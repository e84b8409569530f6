"""Checked tables of the pool and of candidates for it: one that exists makes sense."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from winrate_tools.alike import folded
from winrate_tools.errors import CountError
from winrate_tools.kinds import demand_kinds
from winrate_tools.tables import Source, shown

Guess = Literal["weaker", "like", "stronger"]
GUESSES: tuple[Guess, ...] = ("weaker", "like", "stronger")
MAIN = "main"
"""Name of the slot that fills most of a pack."""


@dataclass(frozen=True, slots=True)
class PoolCard:
    """One card of a pool, with what a plan must know of it.

    Attributes
    ----------
    card : str
        Name.
    copies : int
        Copies in the pool; of a candidate, the most that can be had.
    faction, rarity, role : str or None
        The owner's labels, None where unknown.
    price : float or None
        Of one copy, in whatever money; None where unknown.
    is_protected : bool
        Whether it is never to be cut.
    slot : str
        ``"main"``, or the special place of a pack that it is dealt into.
    archetypes : tuple of str
        Those that it supports.

    Raises
    ------
    CountError
        If a field holds anything but what it is said to hold.

    Examples
    --------
    >>> PoolCard("Ash Vine", 3, faction="Hearth", price=0.4).slot
    'main'
    """

    card: str
    copies: int
    faction: str | None = None
    rarity: str | None = None
    role: str | None = None
    price: float | None = None
    is_protected: bool = False
    slot: str = MAIN
    archetypes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        demand_kinds(self, CountError, self.card)


@dataclass(frozen=True, slots=True)
class PoolTable:
    """The pool that packs are dealt from.

    Attributes
    ----------
    cards : tuple of PoolCard
        In the order of the file.
    source : Source
        Where the table came from.
    places : tuple of str
        Where each row stands, such as ``"pool.csv:12"``; () for tables made in memory.

    Raises
    ------
    CountError
        If a name is blank or stands twice, or copies or a price make no sense.

    Examples
    --------
    >>> pool = PoolTable([PoolCard("Ash Vine", 3), PoolCard("Tin Moth", 1)])
    >>> pool.size
    4
    """

    cards: tuple[PoolCard, ...]
    source: Source
    places: tuple[str, ...]

    def __init__(
        self,
        cards: Sequence[PoolCard],
        source: Source | None = None,
        *,
        places: Sequence[str] = (),
    ) -> None:
        object.__setattr__(self, "cards", cards)
        object.__setattr__(self, "source", Source() if source is None else source)
        object.__setattr__(self, "places", places)
        demand_kinds(self, CountError)
        _demand_sound(self.cards)

    def __repr__(self) -> str:
        """Say what the pool holds, in a line."""
        return shown(self, self.source, [card.card for card in self.cards])

    @property
    def size(self) -> int:
        """Number of cards with their copies."""
        return sum(card.copies for card in self.cards)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A card that might come in, and what is known of its strength.

    Attributes
    ----------
    card : PoolCard
        Its name and labels; its copies are the most that can be had.
    games, wins : int or None
        Its record; no games, or None, for a card of which only a guess is made.
    baseline : float or None
        Win rate of an average card where the record was made, strictly between 0 and 1.
    guess : str or None
        ``"weaker"``, ``"like"`` or ``"stronger"`` than the pool's usual card.
    spread : float or None
        How unsure a guess is: a standard deviation of win rates, strictly between 0 and 1.

    Raises
    ------
    CountError
        If a field holds anything but what it is said to hold.

    Examples
    --------
    >>> Candidate(PoolCard("Tin Moth", 1), games=90, wins=50, baseline=0.54).guess
    >>> Candidate(PoolCard("Ash Vine", 2), guess="like", spread=0.03).card.copies
    2
    """

    card: PoolCard
    games: int | None = None
    wins: int | None = None
    baseline: float | None = None
    guess: Guess | None = None
    spread: float | None = None

    def __post_init__(self) -> None:
        demand_kinds(self, CountError, getattr(self.card, "card", None))


@dataclass(frozen=True, slots=True)
class CandidateTable:
    """Cards that might come in.

    Attributes
    ----------
    candidates : tuple of Candidate
        In the order of the file.
    source : Source
        Where the table came from.
    places : tuple of str
        Where each row stands, such as ``"pool.csv:12"``; () for tables made in memory.

    Raises
    ------
    CountError
        If a name is blank or stands twice, a number makes no sense, or a candidate has
        neither a record with its baseline nor a guess.

    Examples
    --------
    >>> table = CandidateTable([Candidate(PoolCard("Ash Vine", 2), guess="like")])
    >>> len(table.candidates)
    1
    """

    candidates: tuple[Candidate, ...]
    source: Source
    places: tuple[str, ...]

    def __init__(
        self,
        candidates: Sequence[Candidate],
        source: Source | None = None,
        *,
        places: Sequence[str] = (),
    ) -> None:
        object.__setattr__(self, "candidates", candidates)
        object.__setattr__(self, "source", Source() if source is None else source)
        object.__setattr__(self, "places", places)
        demand_kinds(self, CountError)
        _demand_sound([candidate.card for candidate in self.candidates])
        for candidate in self.candidates:
            _demand_evidence(candidate)

    def __repr__(self) -> str:
        """Say what the table holds, in a line."""
        return shown(self, self.source, [one.card.card for one in self.candidates])


def _demand_sound(cards: Sequence[PoolCard]) -> None:
    seen: dict[str, str] = {}
    for card in cards:
        name, key = card.card, folded(card.card)
        if not key:
            msg = "every row needs a card name, got a blank one"
            raise CountError(msg)
        if key in seen:
            msg = f"{name!r} stands twice, first as {seen[key]!r}"
            raise CountError(msg)
        seen[key] = name
        _demand(name, "copies", "a whole number from 0", card.copies, card.copies >= 0)
        _demand(name, "slot", "a name", card.slot or None, bool(card.slot.strip()))
        if card.price is not None:
            _demand(name, "price", "from 0", card.price, 0 <= card.price < float("inf"))


def _demand_evidence(candidate: Candidate) -> None:
    name, games, wins = candidate.card.card, candidate.games, candidate.wins
    if not games and candidate.guess is None:
        msg = f"{name!r} needs games and wins, or a guess: {', '.join(GUESSES)}"
        raise CountError(msg)
    if candidate.guess is not None:
        wanted = ", ".join(GUESSES)
        _demand(name, "guess", f"one of {wanted}", candidate.guess, candidate.guess in GUESSES)
    if games:
        _demand(name, "games", "a whole number from 0", games, games >= 0)
        fits = wins is not None and 0 <= wins <= games
        _demand(name, "wins", f"a whole number from 0 to games ({games})", wins, fits)
        level = candidate.baseline
        _demand(name, "baseline", "between 0 and 1", level, level is not None and 0 < level < 1)
    if candidate.spread is not None:
        _demand(name, "spread", "between 0 and 1", candidate.spread, 0 < candidate.spread < 1)


def _demand(card: str, name: str, wanted: str, got: object, holds: bool) -> None:
    if not holds:
        msg = f"{card!r}: {name} must be {wanted}, got {'nothing' if got is None else got}"
        raise CountError(msg)
