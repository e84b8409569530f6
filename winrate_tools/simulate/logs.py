"""A world's games written down one by one, in any layout that a log can have."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from io import StringIO
from typing import Literal

import numpy as np

from winrate_tools.simulate.draft import Decks, draft
from winrate_tools.simulate.games import Games, play_games
from winrate_tools.simulate.truth import Truth, draw_truth
from winrate_tools.simulate.world import World

Layout = Literal["long", "list", "wide"]
FIRST = ("game", "deck", "archetype", "skill", "won")


@dataclass(frozen=True, slots=True, eq=False)
class Log:
    """Every game of a world.

    Attributes
    ----------
    world : World
        Its parameters.
    truth : Truth
        Its cards.
    decks : Decks
        What was played with.
    games : Games
        The games.
    """

    world: World
    truth: Truth
    decks: Decks
    games: Games


def simulate_log(world: World, seed: int, *, truth: Truth | None = None) -> Log:
    """Draft, build and play a whole world, and keep its games.

    Parameters
    ----------
    world : World
        Parameters.
    seed : int
        Seed, at least 0.
    truth : Truth, optional
        Cards and archetypes to use in place of drawn ones.

    Returns
    -------
    Log
        The games whose counts `simulate` gives for the same arguments.

    Examples
    --------
    >>> log = simulate_log(World(drafts=10), seed=1)
    >>> len(log.games.won) == int(log.games.deck_games.sum())
    True
    """
    streams = [np.random.default_rng([seed, stream]) for stream in range(3)]
    truth = truth or draw_truth(world, streams[0])
    decks = draft(world, truth, streams[1])
    return Log(world, truth, decks, play_games(world, truth, decks, streams[2]))


def log_text(log: Log, layout: Layout = "list", *, hands: bool = True) -> str:
    """Write a log as CSV.

    Parameters
    ----------
    log : Log
        The games.
    layout : str, optional
        ``long`` for a row a game and copy, ``list`` for a list of cards in one cell, ``wide``
        for a column a card.
    hands : bool, optional
        Whether it says which copies were held.

    Returns
    -------
    str
        With a header line.

    Examples
    --------
    >>> log = simulate_log(World(drafts=1), seed=1)
    >>> log_text(log, "long").splitlines()[0]
    'game,deck,archetype,skill,won,card,held'
    """
    text = StringIO()
    write = csv.writer(text, lineterminator="\n").writerow
    write([*FIRST, *_headers(log, layout, hands=hands)])
    for game, first in enumerate(_first_columns(log)):
        cards = log.decks.cards[log.games.deck[game]]
        for rest in _cells(log, layout, cards.tolist(), log.games.held[game]):
            write([*first, *(rest if hands else rest[: (len(rest) + 1) // 2])])
    return text.getvalue()


def _headers(log: Log, layout: Layout, *, hands: bool) -> list[str]:
    names = {"long": ["card"], "list": ["cards"], "wide": list(log.truth.card)}[layout]
    held = [f"{name} held" for name in names] if layout == "wide" else ["held"]
    return [*names, *held] if hands else names


def _first_columns(log: Log) -> Iterator[list[object]]:
    band = np.searchsorted(log.world.skill_cuts, log.decks.skill)
    for game, (deck, won) in enumerate(zip(log.games.deck, log.games.won, strict=True), 1):
        archetype = log.world.archetypes[log.decks.archetype[deck]].name
        yield [game, deck + 1, archetype, log.world.bands[band[deck]], "yes" if won else "no"]


def _cells(
    log: Log, layout: Layout, cards: Sequence[int], held: np.ndarray
) -> Iterator[list[object]]:
    names = [log.truth.card[card] for card in cards]
    if layout == "long":
        for name, was_held in zip(names, held.tolist(), strict=True):
            yield [name, int(was_held)]
    elif layout == "list":
        yield [
            "|".join(names),
            "|".join(name for name, at in zip(names, held, strict=True) if at),
        ]
    else:
        count = [np.bincount(cards, w, log.world.cards).astype(int) for w in (None, held)]
        yield [*count[0].tolist(), *count[1].tolist()]
