"""The three layouts of a log, each read into games: a row a card, a list, a column a card."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.logs.coded import NO_COUNT, Coded, CodedRows
from winrate_tools.ingest.logs.games import Cards, Games
from winrate_tools.ingest.logs.label_codes import BAD, UNKNOWN
from winrate_tools.ingest.logs.log_roles import LogRoles
from winrate_tools.ingest.logs.log_rows import LogRows, Trouble
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.tables import Flags

Codes = npt.NDArray[np.int64]
DENSE = 4_000_000
"""Games x cards that are laid out at once."""
NO_CARDS = "the cards of a deck were wanted, got none"


class Last(NamedTuple):
    """The last row of the block before: its game, outcome, archetype and band."""

    key: int
    won: int
    archetype: int
    band: int


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """What a block of a log holds.

    Attributes
    ----------
    games : Games
        All of them, undecided ones too.
    decided : ndarray of bool, shape (games,)
        Whether somebody won.
    row : ndarray of int, shape (games,)
        Row on which each game begins.
    troubles : list of Trouble
        The first of what is wrong.
    last : Last or None
        From where the next block goes on.
    """

    games: Games
    decided: Flags
    row: Codes
    troubles: list[Trouble]
    last: Last | None = None


def read_games(rows: CodedRows, roles: LogRoles, tally: Tally, last: Last | None) -> Reading:
    """Turn coded rows into games, which count only if nothing is wrong with any.

    Parameters
    ----------
    rows : CodedRows
        A block of the log, at least one row.
    roles : LogRoles
        What its columns hold.
    tally : Tally
        Gives labels their codes.
    last : Last or None
        Where the block before ended; None for the first.
    """
    log = LogRows(rows, roles, tally)
    if roles.layout == "long":
        return _long(log, last)
    deck, held = _listed(log) if roles.layout == "list" else _counted(log)
    if held is not None:
        _demand_in_deck(log, deck, held)
    every = np.arange(rows.rows)
    return _reading(log, every, deck, held, np.ones(rows.rows, dtype=bool))


def _reading(
    log: LogRows,
    row: Codes,
    deck: Cards,
    held: Cards | None,
    begins: Flags,
    last: Last | None = None,
) -> Reading:
    games = Games(
        won=log.won[row] == 1,
        archetype=log.archetype[row],
        band=log.band[row],
        deck=deck,
        held=held,
        key=None if log.key is None else log.key[row],
        run=None if log.run is None else log.run[row],
        begins=begins,
    )
    return Reading(games, log.won[row] >= 0, row, log.troubles, last)


def _listed(log: LogRows) -> tuple[Cards, Cards | None]:
    where = log.roles.where
    deck, entries = _list(log, where["cards"]), log.rows.lists[where["cards"]]
    if len(deck.card) == len(entries.codes):
        empty = entries.lengths() == 0
    else:
        empty = np.bincount(deck.game, minlength=log.rows.rows) == 0
    log.complain(empty, where["cards"], NO_CARDS)
    return deck, _list(log, where["held"]) if "held" in where else None


def _list(log: LogRows, column: int) -> Cards:
    lists, labels = log.rows.lists[column], log.tally.cards
    card = labels.codes(lists.texts).take(lists.codes)
    game = np.repeat(np.arange(log.rows.rows), lists.lengths())
    if card.min(initial=0) < 0:
        for entry in np.flatnonzero(card == BAD)[:1]:
            message = str(labels.trouble(lists.texts[lists.codes[entry]]))
            log.troubles.append(Trouble(int(game[entry]), column, message))
        known = card >= 0
        game, card = game[known], card[known]
    return Cards(game, card)


def _counted(log: LogRows) -> tuple[Cards, Cards | None]:
    roles, copies = log.roles, log.rows.copies
    wrong = copies == NO_COUNT
    if wrong.any():
        columns = [*roles.deck.values(), *roles.held.values()]
        row, at = (int(place[0]) for place in np.nonzero(wrong))
        log.troubles.append(
            Trouble(row, columns[at], "a number of copies was wanted, from 0 to 99")
        )
    deck = _copies(log, copies[:, : len(roles.deck)], roles.deck)
    empty = np.bincount(deck.game, minlength=log.rows.rows) == 0
    log.complain(empty, min(roles.deck.values()), NO_CARDS)
    if not roles.held:
        return deck, None
    return deck, _copies(log, copies[:, len(roles.deck) :], roles.held)


def _copies(log: LogRows, copies: npt.NDArray[np.uint8], cards: Mapping[str, int]) -> Cards:
    codes = log.tally.cards.codes(tuple(cards))
    copies = np.ascontiguousarray(copies).ravel()
    filled = filled_places(copies)
    if (many := copies[filled]).max(initial=0) > 1:
        filled = np.repeat(filled, many)
    game = filled // len(cards)
    return Cards(game, codes[filled - game * len(cards)])


def filled_places(copies: npt.NDArray[np.uint8]) -> Codes:
    """Find the counts that are not 0, four at a time, since most decks lack most cards.

    Examples
    --------
    >>> filled_places(np.array([0, 2, 0, 0, 0, 0, 0, 0, 1], dtype=np.uint8)).tolist()
    [1, 8]
    """
    spare = -len(copies) % 4
    fours = (np.pad(copies, (0, spare)) if spare else copies).view(np.uint32)
    some = np.flatnonzero(fours != 0)
    at = np.flatnonzero(fours[some].view(np.uint8) != 0)
    places: Codes = 4 * some[at >> 2] + (at & 3)
    return places


def _demand_in_deck(log: LogRows, deck: Cards, held: Cards) -> None:
    """Refuse games in which more copies of a card are held than the deck has."""
    cards = len(log.tally.cards.names)
    step = max(1, DENSE // max(cards, 1))
    for first in range(0, log.rows.rows, step):
        spare = _layout(deck, first, step, cards) - _layout(held, first, step, cards)
        if (spare < 0).any():
            game, card = (int(at[0]) for at in np.nonzero(spare < 0))
            name = log.tally.cards.names[card]
            message = f"cards of the deck were wanted, got more copies of {name!r} than it has"
            column = log.roles.where.get("held") or log.roles.held[name]
            log.troubles.append(Trouble(first + game, column, message))


def _layout(cards: Cards, first: int, games: int, width: int) -> Codes:
    start, end = np.searchsorted(cards.game, [first, first + games])
    key = (cards.game[start:end] - first) * width + cards.card[start:end]
    return np.bincount(key, minlength=games * width).reshape(games, width)


def _long(log: LogRows, last: Last | None) -> Reading:
    assert log.key is not None
    run, card, flags = _entries(log)
    begins = np.ones(log.rows.rows, dtype=bool)
    begins[1:] = log.key[1:] != log.key[:-1]
    if last is not None:
        begins[0] = int(log.key[0]) != last.key
    _demand_one_story(log, begins, last)
    starts = begins.copy()
    starts[0] = True
    game = (np.cumsum(starts) - 1).take(run)
    held = None if flags is None else Cards(game[flags == 1], card[flags == 1])
    row = np.flatnonzero(starts)
    end = Last(int(log.key[-1]), int(log.won[-1]), int(log.archetype[-1]), int(log.band[-1]))
    reading = _reading(log, row, Cards(game, card), held, begins[row], end)
    return replace(reading, row=np.searchsorted(run, row))


def _entries(log: LogRows) -> tuple[Codes, Codes, Codes | None]:
    """Return each entry's row, card, and whether it was held; a row has one, or is a run."""
    where = log.roles.where
    varying = {n: Coded(lists.codes, lists.texts) for n, lists in log.rows.lists.items()}
    run = np.arange(log.rows.rows)
    if varying:
        run = np.repeat(run, log.rows.lists[where["card"]].lengths())
    log.rows = replace(log.rows, columns={**log.rows.columns, **varying})
    card = log.labels("card", log.tally.cards)
    log.complain(card == UNKNOWN, where["card"], "a card was wanted, got a blank cell")
    if "held" not in where:
        return run, card, None
    flags = log.flags("held")
    log.complain(flags == UNKNOWN, where["held"], "yes or no was wanted, got neither")
    return run, card, flags


def _demand_one_story(log: LogRows, begins: Flags, last: Last | None) -> None:
    """Refuse games that are won on one row and lost on another, or change their archetype."""
    stories = (("won", log.won), ("archetype", log.archetype), ("skill", log.band))
    for (role, codes), before in zip(stories, last[1:] if last else (0, 0, 0), strict=True):
        changed = np.zeros(len(codes), dtype=bool)
        changed[1:] = codes[1:] != codes[:-1]
        changed[0] = last is not None and codes[0] != before
        if (wrong := changed & ~begins).any():
            message = f"the same {role} as on the game's row before was wanted"
            log.complain(wrong, log.roles.where[role], message)
