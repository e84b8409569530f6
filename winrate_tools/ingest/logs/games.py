"""Games of a log, a batch at a time: who won, whose they were, which cards were there."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.logs.key_sample import Keys
from winrate_tools.tables import Flags

Codes = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Cards:
    """Copies of cards in games, one entry a copy.

    Attributes
    ----------
    game, card : ndarray of int, shape (copies,)
        Place of the game in its batch, and code of the card.
    """

    game: Codes
    card: Codes


@dataclass(frozen=True, slots=True, eq=False)
class Games:
    """A batch of games that somebody won.

    Attributes
    ----------
    won : ndarray of bool, shape (games,)
        Whether the deck won.
    archetype, band : ndarray of int, shape (games,)
        Codes, -1 where unknown.
    deck : Cards
        The decks' cards.
    held : Cards or None
        Those that were in hand at some time; None where the log does not say.
    key, run : ndarray of int or None, shape (games,)
        What tells games apart, and decks (or else players) over their games.
    begins : ndarray of bool, shape (games,)
        False for a first game that goes on from the batch before.
    """

    won: Flags
    archetype: Codes
    band: Codes
    deck: Cards
    held: Cards | None
    key: Keys | None
    run: Keys | None
    begins: Flags

    def __len__(self) -> int:
        """Return the number of games."""
        return len(self.won)

    def where(self, kept: Flags) -> "Games":
        """Return some of the games."""
        if kept.all():
            return self
        place = np.cumsum(kept) - 1
        return Games(
            won=self.won[kept],
            archetype=self.archetype[kept],
            band=self.band[kept],
            deck=_of(self.deck, kept, place),
            held=None if self.held is None else _of(self.held, kept, place),
            key=None if self.key is None else self.key[kept],
            run=None if self.run is None else self.run[kept],
            begins=self.begins[kept],
        )


def _of(cards: Cards, kept: Flags, place: Codes) -> Cards:
    chosen = kept[cards.game]
    return Cards(place[cards.game[chosen]], cards.card[chosen])
