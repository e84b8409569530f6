"""The games of a log one by one, with the cards of deck and hand, for whoever looks at all."""

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import MappingError
from winrate_tools.ingest.logs.games import Cards, Games
from winrate_tools.tables import Flags

Codes = npt.NDArray[np.int64]
Copies = npt.NDArray[np.integer]


class DeckRows(NamedTuple):
    """Games in order.

    Attributes
    ----------
    won : ndarray of bool, shape (games,)
        Whether the deck won.
    deck, held : ndarray of int, shape (games, most copies)
        Codes of the cards in the deck, and in hand at some time; -1 fills up.
    stratum : ndarray of int, shape (games,)
        A number from 0 for each archetype in a skill band; unknown ones have their own.
    """

    won: Flags
    deck: Copies
    held: Copies
    stratum: Codes


class _Batch(NamedTuple):
    """Cards of a batch of games one after the other, and how many each game has."""

    card: Copies
    copies: Codes

    def with_more(self, cards: Copies) -> "_Batch":
        """Give the last game some more cards."""
        copies = self.copies.copy()
        copies[-1] += len(cards)
        return _Batch(np.concatenate([self.card, cards]), copies)

    def without_first(self) -> "_Batch":
        """Leave out the first game."""
        return _Batch(self.card[self.copies[0] :], self.copies[1:])


@dataclass(slots=True)
class DeckLog:
    """Gathers the games that a tally counts.

    A game takes two bytes for each card of its deck and of its hand, and seventeen more.

    Examples
    --------
    >>> log = DeckLog()
    >>> one = np.array([0, 0])
    >>> deck, hand = Cards(one, np.array([4, 2])), Cards(one[:1], np.array([2]))
    >>> log.add(Games(one[:1] == 0, one[:1], one[:1], deck, hand, None, None, one[:1] == 0))
    >>> rows = log.rows()
    >>> rows.deck.tolist(), rows.held.tolist(), rows.stratum.tolist()
    ([[4, 2]], [[2]], [0])
    """

    _won: list[Flags] = field(default_factory=list)
    _stratum: list[Codes] = field(default_factory=list)
    _deck: list[_Batch] = field(default_factory=list)
    _held: list[_Batch] = field(default_factory=list)
    _last: np.uint64 | None = None

    def add(self, games: Games) -> None:
        """Keep a batch, whose codes are of one tally.

        Raises
        ------
        MappingError
            If nobody says which cards were held.
        """
        if games.held is None:
            msg = "whole decks need to know which of their cards were held; name --map held=..."
            raise MappingError(msg)
        if not len(games):
            return
        old = not games.begins[0]
        goes_on = old and games.key is not None and games.key[0] == self._last
        stratum = (games.archetype.astype(np.int64) + 1) << 32 | (games.band + 1)
        self._won.append(games.won[old:])
        self._stratum.append(stratum[old:])
        for batches, cards in ((self._deck, games.deck), (self._held, games.held)):
            batch = _batch(cards, len(games))
            if goes_on:
                batches[-1] = batches[-1].with_more(batch.card[: batch.copies[0]])
            if len(games) > old:
                batches.append(batch.without_first() if old else batch)
        self._last = None if games.key is None else games.key[-1]

    def rows(self) -> DeckRows:
        """Lay all games out, and let go of what they were gathered in."""
        none = np.zeros(0, dtype=np.int64)
        _, stratum = np.unique(np.concatenate([none, *self._stratum]), return_inverse=True)
        won = np.concatenate([none.astype(bool), *self._won])
        return DeckRows(won, _laid_out(self._deck), _laid_out(self._held), stratum)


def _batch(cards: Cards, games: int) -> _Batch:
    small = np.int16 if cards.card.max(initial=0) <= np.iinfo(np.int16).max else np.int32
    order = np.argsort(cards.game, kind="stable")
    return _Batch(cards.card[order].astype(small), np.bincount(cards.game, minlength=games))


def _laid_out(batches: list[_Batch]) -> Copies:
    """Write one row a game, and empty the list on the way."""
    games = sum(len(batch.copies) for batch in batches)
    width = max((int(batch.copies.max(initial=0)) for batch in batches), default=0)
    small = np.result_type(np.int16, *(batch.card.dtype for batch in batches))
    rows = np.full((games, width), -1, dtype=small)
    start = 0
    batches.reverse()
    while batches:
        card, copies = batches.pop()
        part = rows[start : start + len(copies)]
        part[np.arange(width) < copies[:, None]] = card
        start += len(copies)
    return rows
