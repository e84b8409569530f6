r"""How much of each card archetypes play, and what a change of the pool makes of their decks.

A card of the pool is counted :math:`h_{ki}` times a copy in an average game of archetype
:math:`k`. With :math:`y_i` copies the archetype's cards average

.. math:: T_k(y) = C_k \sum_i h_{ki} y_i \theta_i \big/ \sum_i h_{ki} y_i

with :math:`C_k` cards counted in a game, whatever the pool: decks stay as large. Strength is
:math:`T_k` less its mean over all games.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.archetypes.archetype_counts import COUNTED
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.pools import PoolCard

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
FEW_GAMES = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Play:
    """What K archetypes play of n items.

    Attributes
    ----------
    archetype : tuple of str
        Names.
    held : ndarray of shape (K, n)
        How often one copy in the pool is counted in an average game of each.
    counted : ndarray of shape (K,)
        Cards counted in a game.
    share : ndarray of shape (K,)
        Shares of all games, sum 1.
    """

    archetype: tuple[str, ...]
    held: Numbers
    counted: Numbers
    share: Numbers

    def homes(self, item: int) -> tuple[str, ...]:
        """Name the archetypes that play an item at least as often as the average game does."""
        held = self.held[:, item]
        plays = (held > 0) & (held >= self.share @ held)
        return tuple(name for name, does in zip(self.archetype, plays, strict=True) if does)

    def strengths(self, copies: Counts, effects: Numbers) -> Numbers:
        """Return what cards make of each archetype's strength.

        Parameters
        ----------
        copies : ndarray of int, shape (n,)
            The pool.
        effects : ndarray of shape (D, n)
            Draws of the items' effects on the log-odds.

        Returns
        -------
        ndarray of shape (D, K)
            Log-odds; the mean over all games is 0.
        """
        weight = self.held * copies
        whole = np.maximum(weight.sum(axis=1), FEW_GAMES)
        mean = effects @ (weight / whole[:, None]).T * self.counted
        return np.asarray(mean - (mean @ self.share)[:, None])

    def pulls(self, copies: Counts, effects: Numbers) -> Numbers:
        """Return what one more copy of each item adds to an archetype's cards, to first order.

        Parameters
        ----------
        copies : ndarray of int, shape (n,)
            The pool as it is.
        effects : ndarray of shape (n,)
            The items' effects on the log-odds.

        Returns
        -------
        ndarray of shape (K, n)
            Log-odds, before the mean over all games is taken off: an archetype is not helped
            by what others lose.
        """
        weight = self.held * copies
        whole = np.maximum(weight.sum(axis=1), FEW_GAMES)
        about = effects - (weight @ effects / whole)[:, None]
        return np.asarray((self.counted / whole)[:, None] * self.held * about)


def play_of(stock: Stock, archetypes: ArchetypePool | None) -> Play:
    """Read off the games what archetypes play, and of new cards what like cards are played.

    Returns
    -------
    Play
        A card without games is played as the cards of its slot and faction are on average,
        in the archetypes that it names if it names any. No archetypes if the table of cards
        does not tell them apart.
    """
    cells = _games(stock, archetypes)
    if archetypes is None or not cells.any():
        none = np.zeros(0)
        return Play((), np.zeros((0, len(stock.cards))), none, none)
    names = tuple(one.archetype for one in archetypes.archetypes)
    decks = np.array([one.games for one in archetypes.archetypes], dtype=np.float64)
    counted = _counted(cells, decks, archetypes)
    per_game = cells * (counted / np.maximum(cells.sum(axis=1), 1))[:, None]
    seen = (stock.before > 0) & (cells.sum(axis=0) > 0)
    held = np.where(seen, per_game / np.maximum(stock.before, 1), 0.0)
    for i in np.flatnonzero(~seen):
        held[:, i] = _like(stock.cards[i], stock, held, seen, names)
    share = np.array([one.play_share for one in archetypes.archetypes])
    return Play(names, held, counted, share / share.sum())


def _games(stock: Stock, archetypes: ArchetypePool | None) -> Numbers:
    """Gather the cards' games by archetype, shape (K, n)."""
    judged = () if archetypes is None else archetypes.archetypes
    row = {folded(one.archetype): k for k, one in enumerate(judged)}
    cells = np.zeros((len(row), len(stock.cards)))
    for i, verdict in enumerate(stock.verdicts):
        for home in verdict.homes if verdict else ():
            if (k := row.get(folded(home.archetype))) is not None:
                cells[k, i] += home.games
    return cells


def _counted(cells: Numbers, decks: Numbers, archetypes: ArchetypePool) -> Numbers:
    """Divide cards' games by decks' where both are of the same games, else take the usual."""
    usual = COUNTED[archetypes.measure]
    counted = cells.sum(axis=1) / np.maximum(decks, 1)
    same = (usual / 2 <= counted) & (counted <= 2 * usual) & (archetypes.counted is None)
    return np.asarray(np.where(same, counted, usual))


def _like(
    card: PoolCard, stock: Stock, held: Numbers, seen: Flags, names: tuple[str, ...]
) -> Numbers:
    """Average what the played cards most like one are played."""
    slot = np.array([other.slot == card.slot for other in stock.cards])
    faction = np.array([_same(other.faction, card.faction) for other in stock.cards])
    like = next((group for group in (seen & slot & faction, seen & slot) if group.any()), seen)
    supported = {folded(name) for name in card.archetypes}
    named = np.array([not supported or folded(name) in supported for name in names])
    return np.asarray(held[:, like].mean(axis=1) * named)


def _same(one: str | None, other: str | None) -> bool:
    return one is not None and other is not None and folded(one) == folded(other)
