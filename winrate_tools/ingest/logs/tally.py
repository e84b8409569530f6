"""Counts of games, added up batch by batch: by card, archetype and skill band."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs.games import Cards, Games
from winrate_tools.ingest.logs.key_sample import Keys, KeySample, mixed
from winrate_tools.ingest.logs.label_codes import BLANK, LabelCodes
from winrate_tools.tables import ArchetypeTable, CardTable, Flags, Numbers

Counts = npt.NDArray[np.int64]
Codes = npt.NDArray[np.int64]
MOST_CELLS = 20_000_000
"""Cards x archetypes x bands that are counted."""
FEW_CELLS = 1_000_000
"""Up to here a batch is counted into a table of its own."""


class Runs(NamedTuple):
    """A fair sample of decks with their games.

    Attributes
    ----------
    wins, games : ndarray of float, shape (decks,)
        Each deck's counts.
    expected_rate : ndarray of float, shape (decks,)
        Win rate of its archetype and skill band, strictly between 0 and 1.
    """

    wins: Numbers
    games: Numbers
    expected_rate: Numbers


@dataclass(slots=True, eq=False)
class Tally:
    """Counts so far.

    Parameters
    ----------
    skill : LabelCodes
        Skill bands, labelled or cut out of numbers.
    each : callable, optional
        Told every batch.

    Attributes
    ----------
    cards, archetypes : LabelCodes
        Names met so far.
    games : int
        Games counted.
    undecided : int
        Games that nobody won, left out.
    """

    skill: LabelCodes = field(default_factory=lambda: LabelCodes("skill"))
    each: Callable[[Games], None] | None = None
    cards: LabelCodes = field(default_factory=lambda: LabelCodes("card", BLANK))
    archetypes: LabelCodes = field(default_factory=lambda: LabelCodes("archetype"))
    games: int = 0
    undecided: int = 0
    knows_hands: bool = False
    _deck: Counts = field(default_factory=lambda: np.zeros((1, 1, 1, 2), dtype=np.int64))
    _held: Counts = field(default_factory=lambda: np.zeros((1, 1, 1, 2), dtype=np.int64))
    _seen: KeySample = field(default_factory=lambda: KeySample(0))
    _runs: KeySample = field(default_factory=lambda: KeySample(3))
    _decks: Counts = field(default_factory=lambda: np.zeros((1, 1, 2), dtype=np.int64))

    def seen_before(self, games: Games) -> Flags:
        """Note games, and tell which of them had been noted; past some 65,000 a sample."""
        if games.key is None:
            return np.zeros(len(games), dtype=bool)
        fresh = games.key[games.begins]
        known = self._seen.add(fresh, np.empty((len(fresh), 0), dtype=np.int64))
        again = np.zeros(len(games), dtype=bool)
        again[games.begins] = known | _repeated(fresh)
        return again

    def add(self, games: Games) -> None:
        """Count a batch, whose codes are of this tally's labels."""
        self._grow()
        if self.each is not None:
            self.each(games)
        bands = self._deck.shape[2]
        cell = ((games.archetype + 1) * bands + games.band + 1) * 2 + games.won
        _count(self._deck, games.deck, cell)
        if games.held is not None:
            self.knows_hands = True
            _count(self._held, games.held, cell)
        began = games.begins
        self._decks += np.bincount(cell[began], minlength=self._decks.size).reshape(
            self._decks.shape
        )
        self.games += int(began.sum())
        if games.run is not None:
            self._add_runs(games.run[began], games.won[began], games, began)

    def _add_runs(self, run: Keys, won: Flags, games: Games, began: Flags) -> None:
        """Count decks' games; a deck counts afresh in another archetype or band."""
        stratum = (games.archetype[began] + 1) * STRIDE + games.band[began] + 1
        key = mixed(run ^ mixed(stratum))
        self._runs.add(key, np.column_stack([np.ones_like(stratum), won, stratum]))

    def _grow(self) -> None:
        """Make room for the labels met so far."""
        wanted = (
            len(self.cards.names),
            len(self.archetypes.names) + 1,
            len(self.skill.names) + 1,
        )
        have = self._deck.shape[:3]
        if all(w <= h for w, h in zip(wanted, have, strict=True)):
            return
        shape = tuple(
            h if w <= h else max(w, h + h // 2) for w, h in zip(wanted, have, strict=True)
        )
        if np.prod(shape) > MOST_CELLS:
            msg = (
                f"{wanted[0]:,} cards x {wanted[1] - 1:,} archetypes x {wanted[2] - 1:,} skill "
                "bands are too many to count; leave one out with --map archetype=0 or skill=0"
            )
            raise TableError(msg)
        self._deck, self._held = _larger(self._deck, shape), _larger(self._held, shape)
        self._decks = _larger(self._decks, shape[1:])

    def card_table(self) -> CardTable:
        """Lay the counts out as a table of cards.

        Held and unheld games where the log tells hands, else games of decks; one row a card,
        archetype and band that met, cards in order of first appearance.
        """
        used = [self.archetypes.names, self.skill.names]
        counts = self._deck
        card, archetype, band = np.nonzero(counts.sum(axis=3))
        cells = (card, archetype, band)
        columns: dict[str, object] = {
            role: [([None, *names][place]) for place in at]
            for role, names, at in zip(
                ("archetype", "skill_band"), used, cells[1:], strict=True
            )
            if names
        }
        deck = counts[cells]
        held = self._held[cells] if self.knows_hands else deck
        if self.knows_hands:
            rest = deck - held
            columns |= {"unheld_games": rest.sum(axis=1), "unheld_wins": rest[:, 1]}
        names = [self.cards.names[place] for place in card]
        return CardTable(
            names,
            held.sum(axis=1),
            held[:, 1],
            **columns,  # type: ignore[arg-type]
        )

    def archetype_table(self) -> ArchetypeTable:
        """Lay the games of whole decks out as a table of archetypes.

        One row an archetype and band; games of unknown archetypes are not among them.
        """
        archetype, band = np.nonzero(self._decks.sum(axis=2))
        known = archetype > 0
        archetype, band = archetype[known], band[known]
        counts = self._decks[archetype, band]
        bands = [None, *self.skill.names]
        return ArchetypeTable(
            [self.archetypes.names[place - 1] for place in archetype],
            counts.sum(axis=1),
            counts[:, 1],
            skill_band=[bands[place] for place in band] if self.skill.names else None,
        )

    def runs(self) -> Runs | None:
        """Return a fair sample of decks, None where the log does not tell decks apart."""
        games, won, stratum = self._runs.counts.T
        if not len(games):
            return None
        archetype, band = np.divmod(stratum // np.maximum(games, 1), STRIDE)
        lost_won = self._decks[archetype, band] + 0.5
        rate = lost_won[:, 1] / lost_won.sum(axis=1)
        return Runs(won.astype(float), games.astype(float), rate)


STRIDE = 1 << 20


def _count(table: Counts, cards: Cards, cell: Codes) -> None:
    """Add copies to a table, by card and by the cell of their game."""
    key = cards.card * (table.size // len(table))
    key += cell.take(cards.game)
    flat = table.reshape(-1)
    if table.size <= FEW_CELLS:
        flat += np.bincount(key, minlength=table.size)
    else:
        np.add.at(flat, key, 1)


def _larger(table: Counts, shape: tuple[int, ...]) -> Counts:
    larger = np.zeros((*shape, 2), dtype=np.int64)
    larger[tuple(slice(0, size) for size in table.shape)] = table
    return larger


def _repeated(keys: Keys) -> Flags:
    """Tell which keys stand earlier among these."""
    again = np.zeros(len(keys), dtype=bool)
    ascending = np.sort(keys)
    if (ascending[1:] != ascending[:-1]).all():
        return again
    order = np.argsort(keys, kind="stable")
    again[order[1:]] = keys[order[1:]] == keys[order[:-1]]
    return again
