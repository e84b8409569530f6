"""The rows of a table of cards, ready to be counted: what won where, against what."""

from collections.abc import Hashable, Sequence
from typing import NamedTuple, TypeVar

import numpy as np
import numpy.typing as npt

from winrate_tools.settings import Measure, Settings
from winrate_tools.tables import CardTable

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]
Counts = npt.NDArray[np.float64 | np.intp]
Label = TypeVar("Label", bound=Hashable)
MOST_UNLABELLED = 0.2
"""Share of games without a label from which on a stratum is not used at all."""
PRIOR_GAMES = 20.0
"""Games at the sample's rate that every stratum's rate starts with."""


class Rows(NamedTuple):
    """The rows whose results are known, one a card in a stratum.

    Attributes
    ----------
    card, stratum : ndarray of int, shape (m,)
        Each row's card, in the order of the totals, and its stratum.
    games, wins : ndarray of shape (m,)
        Counts that carry the level: all games of the decks where unheld games are known, so
        that they and the contrast have errors of their own; else those of the measure.
    held_games, held_wins : ndarray of shape (m,)
        The part of them in which the card came to hand; the same where nobody knows.
    labels : dict of str to list of (str or None)
        Each stratum column's labels.
    labelled : ndarray of bool, shape (m,)
        Whether a row has all its labels.
    strata : tuple of str
        The stratum columns used.
    has_unheld : bool
        Whether unheld games are known throughout.
    """

    card: Codes
    stratum: Codes
    games: Numbers
    wins: Numbers
    held_games: Numbers
    held_wins: Numbers
    labels: dict[str, list[str | None]]
    labelled: npt.NDArray[np.bool_]
    strata: tuple[str, ...]
    has_unheld: bool

    @property
    def mean(self) -> float:
        """Win rate of all rows together, strictly between 0 and 1."""
        games = self.games.sum()
        edge = 0.5 / (games + 1)
        return float(np.clip(self.wins.sum() / games, edge, 1 - edge))


def rows_of(table: CardTable, totals: CardTable, settings: Settings) -> Rows:
    """Pick a table's known rows, code them and add up those of one card in one stratum.

    Parameters
    ----------
    table, totals : CardTable
        A table of any detail, and its totals.
    settings : Settings
        Baseline, measure and allowance decide what is used: `player_rate` stands in for
        strata, and an allowance given by the user for the contrast.

    Returns
    -------
    Rows
    """
    known = np.flatnonzero(~np.isnan(table.wins))
    places = {card: i for i, card in enumerate(totals.card)}
    strata = () if settings.baseline == "player_rate" else _strata(table, known)
    columns = [[getattr(table, name)[i] for i in known] for name in strata]
    cell, cells = coded(
        list(zip([places[table.card[i]] for i in known], *columns, strict=True))
    )
    keys = [key for _, *key in cells]
    unheld = None if settings.allowance is not None else _unheld(table, known, settings.measure)
    part = np.zeros((2, len(known))) if unheld is None else np.array(unheld)
    whole = np.array([table.games[known], table.wins[known]])
    if settings.measure == "held":
        whole = whole + part
    (games, wins), (held_games, held_wins) = (
        np.array([np.bincount(cell, column) for column in columns])
        for columns in (whole, whole - part)
    )
    return Rows(
        card=np.array([card for card, *_ in cells], dtype=np.intp),
        stratum=coded([tuple(key) for key in keys])[0],
        games=games,
        wins=wins,
        held_games=held_games,
        held_wins=held_wins,
        labels={name: [key[k] for key in keys] for k, name in enumerate(strata)},
        labelled=np.array([None not in key for key in keys], dtype=np.bool_),
        strata=strata,
        has_unheld=unheld is not None,
    )


def held_rows(rows: Rows) -> Rows:
    """Return the same rows with held games only."""
    return rows._replace(games=rows.held_games, wins=rows.held_wins)


def _strata(table: CardTable, known: Codes) -> tuple[str, ...]:
    """Name the strata that label enough of the games to be used."""
    games, found = table.games[known], []
    for name in table.strata:
        labels = [getattr(table, name)[i] for i in known]
        bare = np.array([label is None for label in labels], dtype=np.bool_)
        many = len(set(labels) - {None}) > 1
        if many and games[bare].sum() <= MOST_UNLABELLED * games.sum():
            found.append(name)
    return tuple(found)


def _unheld(table: CardTable, known: Codes, measure: Measure) -> tuple[Numbers, Numbers] | None:
    """Return the games in which the cards stayed in the deck, if every row knows them.

    None also if no card can be compared: not one both came to hand and stayed in the deck.
    """
    if measure == "opening" or table.unheld_games is None or table.unheld_wins is None:
        return None
    games, wins = table.unheld_games[known], table.unheld_wins[known]
    held, won = table.games[known], table.wins[known]
    if measure == "deck":
        held, won = held - games, won - wins
    if np.isnan(games + wins).any() or not np.all((won >= 0) & (won <= held)):
        return None
    return (games, wins) if np.any((held > 0) & (games > 0)) else None


def expected_rate(rows: Rows) -> tuple[Numbers, Numbers]:
    """Return the win rate expected of an average card in each row, and the games behind it.

    A row without its labels is held against the whole sample.
    """
    games, wins = np.bincount(rows.stratum, rows.games), np.bincount(rows.stratum, rows.wins)
    rate = (wins + PRIOR_GAMES * rows.mean) / (games + PRIOR_GAMES)
    expected = np.where(rows.labelled, rate[rows.stratum], rows.mean)
    return expected, np.where(rows.labelled, games[rows.stratum], rows.games.sum())


def expected_alone(rows: Rows, name: str, cards: int) -> Numbers:
    """Log-odds, less the sample's, that one stratum alone leads one to expect of each card."""
    if name not in rows.strata:
        return np.zeros(cards)
    from scipy.special import logit

    code, names = coded(rows.labels[name])
    rate = np.bincount(code, rows.wins) / np.maximum(np.bincount(code, rows.games), 1)
    rate[[label is None for label in names]] = rows.mean
    games = np.bincount(rows.card, rows.games, cards)
    expected = np.bincount(rows.card, rows.games * rate[code], cards)
    share = np.where(games > 0, ratio(expected, games), rows.mean)
    edge = 0.5 / (rows.games.sum() + 1)
    return np.asarray(logit(np.clip(share, edge, 1 - edge)) - logit(rows.mean))


def coded(labels: Sequence[Label]) -> tuple[Codes, tuple[Label, ...]]:
    """Code labels by first appearance, and list them.

    Examples
    --------
    >>> codes, names = coded(["b", "a", "b"])
    >>> codes.tolist(), names
    ([0, 1, 0], ('b', 'a'))
    """
    names = tuple(dict.fromkeys(labels))
    places = {name: k for k, name in enumerate(names)}
    return np.array([places[name] for name in labels], dtype=np.intp), names


def ratio(above: Counts, below: Counts) -> Numbers:
    """Divide where there is something to divide by; 0 elsewhere."""
    return np.divide(above, below, out=np.zeros(len(below)), where=below > 0)
