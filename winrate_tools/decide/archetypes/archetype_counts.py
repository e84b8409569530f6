"""Archetypes' games and their cards, from whichever tables there are."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeCaution
from winrate_tools.errors import FitError
from winrate_tools.settings import Measure
from winrate_tools.tables import ArchetypeTable, CardTable

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]

COUNTED: dict[Measure, float] = {"held": 9.0, "opening": 4.0, "deck": 22.0}
"""Cards of the draft, lands and the like left out, that a game counts: common practice, no
source."""
CARDS_ERROR = 0.028
"""Standard deviation, on the log-odds, by which the win rate of an archetype's cards misses
that of its decks however many games there are: long games hold more cards than short ones.
Measured in simulated drafts."""
FEW_UNLABELLED = 0.2
"""Share of games without an archetype from which on the rest may not stand for all."""
NOWHERE = -1


@dataclass(frozen=True, slots=True)
class ArchetypeCounts:
    """Games and cards of K archetypes, in B skill bands, over n cards.

    Attributes
    ----------
    archetype : tuple of str
        Names, in order of first appearance.
    factions : tuple of (str or None)
        One entry an archetype.
    skill_bands : tuple of str
        Names; one blank name where no bands are known.
    games, wins : ndarray of shape (K, B)
        Games of decks, not always whole.
    counted : float or None
        Cards counted in a game, where games were worked out by it.
    error : float
        Standard deviation, on the log-odds, by which the counts misjudge strengths.
    copies : ndarray of shape (K, n) or None
        Copies of each card counted in an average game, the cards in the order of their
        totals; rows of archetypes without cards are NaN. None without cards by archetype.
    warnings : tuple of str
        What limits these counts.
    """

    archetype: tuple[str, ...]
    factions: tuple[str | None, ...]
    skill_bands: tuple[str, ...]
    games: Numbers
    wins: Numbers
    counted: float | None
    error: float
    copies: Numbers | None
    warnings: tuple[ArchetypeCaution, ...]


def archetype_counts(
    cards: CardTable | None, archetypes: ArchetypeTable | None, measure: Measure
) -> ArchetypeCounts:
    """Bring together what a table of cards and one of whole decks say.

    Parameters
    ----------
    cards : CardTable or None
        Rows by archetype, if its cards' part is asked for.
    archetypes : ArchetypeTable or None
        Games of whole decks. Without it an archetype's games are those of its cards divided
        by the cards counted in a game.
    measure : str
        Which games the cards' counts are of.

    Raises
    ------
    FitError
        If neither table names archetypes.

    Examples
    --------
    >>> cards = CardTable(["Ash", "Bee"], [90, 90], [40, 60], archetype=["Kites", "Moths"])
    >>> archetype_counts(cards, None, "held").games.ravel().tolist()
    [10.0, 10.0]
    """
    split = cards if cards is not None and cards.archetype is not None else None
    if archetypes is not None:
        return _of_decks(archetypes, split, COUNTED[measure])
    if split is None:
        msg = "archetypes must be named by the table of cards or by a table of their own"
        raise FitError(msg)
    return _of_cards(split, COUNTED[measure])


def _of_decks(table: ArchetypeTable, split: CardTable | None, usual: float) -> ArchetypeCounts:
    totals = table.totals()
    names = _spelt(totals.archetype, split)
    row = _places(table.archetype, names)
    bands, band = _bands(table.skill_band, len(table))
    games, wins = _grid(table, row, band, (len(totals), len(bands)))
    warnings: list[ArchetypeCaution] = [] if bands != ("",) else ["no skill bands"]
    copies = None
    if split is None:
        warnings.append("no cards")
    else:
        copies = _copies(split, names)
        copies, found = _per_game(copies, games.sum(axis=1), usual)
        warnings += found
        if {folded(name) for name in names} != _named(split):
            warnings.append("unmatched")
    return ArchetypeCounts(
        names,
        totals.factions or (None,) * len(totals),
        bands,
        games,
        wins,
        None,
        0.0,
        copies,
        tuple(warnings),
    )


def _of_cards(table: CardTable, usual: float) -> ArchetypeCounts:
    labels = table.archetype or ()
    names = tuple(_first_spellings(labels).values())
    row = _places(labels, names)
    bands, band = _bands(table.skill_band, len(table))
    games, wins = _grid(table, row, band, (len(names), len(bands)))
    warnings: list[ArchetypeCaution] = ["estimated games"]
    if bands == ("",):
        warnings.append("no skill bands")
    if np.nansum(table.games[row == NOWHERE]) > FEW_UNLABELLED * np.nansum(table.games):
        warnings.append("unlabelled")
    copies = _shares(_copies(table, names)) * usual
    return ArchetypeCounts(
        names,
        (None,) * len(names),
        bands,
        games / usual,
        wins / usual,
        usual,
        CARDS_ERROR,
        copies,
        tuple(warnings),
    )


def _spelt(names: Sequence[str], split: CardTable | None) -> tuple[str, ...]:
    """Spell archetypes as the cards do, where they name them."""
    known = _first_spellings((split.archetype if split else None) or ())
    return tuple(known.get(folded(name), name) for name in names)


def _first_spellings(labels: Sequence[str | None]) -> dict[str, str]:
    """Return each name as it is first spelt, in order of first appearance."""
    spelt: dict[str, str] = {}
    for label in filter(None, labels):
        spelt.setdefault(folded(label), label)
    return spelt


def _named(table: CardTable) -> set[str]:
    return {folded(label) for label in table.archetype or () if label}


def _places(labels: Sequence[str | None], names: Sequence[str]) -> Codes:
    """Return each row's place among the names, -1 for a label that is none of them."""
    at = {folded(name): i for i, name in enumerate(names)}
    return np.array([at.get(folded(label or ""), NOWHERE) for label in labels], dtype=np.intp)


def _bands(labels: Sequence[str | None] | None, rows: int) -> tuple[tuple[str, ...], Codes]:
    """Return the bands, unknown ones as one of their own, and each row's place among them."""
    said = [label or "" for label in labels] if labels else [""] * rows
    names = tuple(dict.fromkeys(said))
    at = {name: i for i, name in enumerate(names)}
    return names, np.array([at[name] for name in said], dtype=np.intp)


def _grid(
    table: CardTable | ArchetypeTable, row: Codes, band: Codes, shape: tuple[int, int]
) -> tuple[Numbers, Numbers]:
    """Add up games and wins by archetype and band, over the rows that know both."""
    known = ~np.isnan(table.wins) & (row != NOWHERE)
    cell, size = (row * shape[1] + band)[known], shape[0] * shape[1]
    counts = (np.bincount(cell, c[known], size) for c in (table.games, table.wins))
    games, wins = (np.asarray(count, dtype=np.float64).reshape(shape) for count in counts)
    return games, wins


def _copies(cards: CardTable, names: Sequence[str]) -> Numbers:
    """Add up each card's games by archetype, shape (K, n)."""
    order = {card: i for i, card in enumerate(dict.fromkeys(cards.card))}
    row = _places(cards.archetype or (), names)
    known = ~np.isnan(cards.games) & (row != NOWHERE)
    place = np.array([order[card] for card in cards.card], dtype=np.intp)
    cell = (row * len(order) + place)[known]
    total = np.bincount(cell, cards.games[known], len(names) * len(order))
    return np.asarray(total, dtype=np.float64).reshape(len(names), len(order))


def _shares(games: Numbers) -> Numbers:
    whole = games.sum(axis=1, keepdims=True)
    return np.asarray(games / np.where(whole > 0, whole, np.nan))


def _per_game(
    card_games: Numbers, deck_games: Numbers, usual: float
) -> tuple[Numbers, list[ArchetypeCaution]]:
    """Divide cards' games by decks' where both tables seem to be of the same games."""
    held = card_games.sum() / max(deck_games.sum(), 1.0)
    if not usual / 2 <= held <= 2 * usual:
        return _shares(card_games) * usual, ["other games"]
    known = (deck_games > 0) & (card_games.sum(axis=1) > 0)
    whole = np.where(known, deck_games, np.nan)[:, None]
    return np.asarray(card_games / whole), []
