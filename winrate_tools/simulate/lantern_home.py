"""The home table of Lantern Fair: five friends, ten nights, after their pool was rebuilt."""

import datetime as dt
from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np
from scipy.special import expit, logit

from winrate_tools.simulate.lantern_world import FAILING, SEED, WORLD, Fair
from winrate_tools.tables import Numbers

PLAYERS = {"Marta": 0.4, "Joris": 0.15, "Ines": 0.05, "Tobias": -0.2, "Wren": -0.4}
"""Each player's true skill, in log-odds against an average one of the five."""
MENDED = -0.02
"""What the rebuilt archetype is worth, in log-odds against the average one."""
FIRST_NIGHT = dt.date(2026, 1, 9)
NIGHTS, MATCHES = 10, 7
"""Draft nights, a week apart, and matches of each."""
FIRST_SEAT = 0.1
"""What the first seat is worth in each game of the match, in log-odds."""
DRAW = 0.02
"""Share of games that nobody wins."""
NOTED_FROM, NOTED = 5, 5
"""Night from which on the cards held are written down, and how many."""
GAMES_TO_WIN, MOST_GAMES = 2, 3

HEADING = (
    *("date", "player", "opponent", "games_won", "games_lost", "draws"),
    *("archetype", "opponent_archetype", "first_seat", "cards"),
)


def home_rows(fair: Fair) -> list[Sequence[object]]:
    """List the matches of the home table, heading first; the same at every call.

    Parameters
    ----------
    fair : Fair
        The fair, for what its archetypes and cards are worth.

    Returns
    -------
    list of sequence
        Rows of a CSV file.

    Examples
    --------
    >>> from winrate_tools.simulate.lantern_world import lantern_fair
    >>> rows = home_rows(lantern_fair())
    >>> len(rows), rows[1][1:5]
    (71, ('Tobias', 'Wren', 2, 1))
    """
    rng = np.random.default_rng([SEED, 2])
    strength = home_strengths(fair)
    nights = (_night(night, fair, strength, rng) for night in range(NIGHTS))
    return [HEADING, *(row for night in nights for row in night)]


def home_strengths(fair: Fair) -> Numbers:
    """Tell what each archetype is worth at the home table.

    Parameters
    ----------
    fair : Fair
        The fair, played.

    Returns
    -------
    ndarray of float, shape (archetypes,)
        Log-odds against the average archetype: as among strangers, but for the rebuilt one.
    """
    play = fair.simulation.play
    strength: Numbers = logit(play.wins.sum(axis=1) / play.games.sum(axis=1))
    strength -= strength.mean()
    strength[_failing()] = MENDED
    return strength


def _failing() -> int:
    return [archetype.name for archetype in WORLD.archetypes].index(FAILING)


def _night(
    night: int, fair: Fair, strength: Numbers, rng: np.random.Generator
) -> Iterator[Sequence[object]]:
    """Play one night: everybody drafts an archetype, somebody always the rebuilt one."""
    others = [place for place in range(len(strength)) if place != _failing()]
    chosen = [_failing(), *rng.choice(others, len(PLAYERS) - 1, replace=False)]
    decks = dict(zip(PLAYERS, rng.permutation(chosen), strict=True))
    pairs = list(combinations(PLAYERS, 2))
    date = FIRST_NIGHT + dt.timedelta(weeks=night)
    for n in rng.permutation(len(pairs))[:MATCHES]:
        player, opponent = pairs[n] if rng.random() < 0.5 else pairs[n][::-1]
        cards = _cards(fair, decks[player], rng) if night >= NOTED_FROM else []
        is_first = bool(rng.random() < 0.5)
        lead = PLAYERS[player] - PLAYERS[opponent]
        lead += strength[decks[player]] - strength[decks[opponent]]
        lead += FIRST_SEAT * (1 if is_first else -1)
        lead += float(fair.simulation.truth.effect[cards].sum())
        won, lost, drawn = _match(float(expit(lead)), rng)
        names = [WORLD.archetypes[decks[one]].name for one in (player, opponent)]
        noted = "; ".join(fair.simulation.truth.card[card] for card in cards)
        seat = "yes" if is_first else "no"
        yield date, player, opponent, won, lost, drawn, *names, seat, noted


def _cards(fair: Fair, archetype: int, rng: np.random.Generator) -> list[int]:
    """Pick cards that the archetype plays."""
    truth = fair.simulation.truth
    fits = np.flatnonzero(WORLD.fits[archetype, truth.home] & ~truth.is_unplayed)
    return sorted(int(card) for card in rng.choice(fits, NOTED, replace=False))


def _match(chance: float, rng: np.random.Generator) -> tuple[int, int, int]:
    """Play games until one side has won twice or the evening's three are over."""
    won = lost = drawn = 0
    while max(won, lost) < GAMES_TO_WIN and won + lost + drawn < MOST_GAMES:
        if rng.random() < DRAW:
            drawn += 1
        elif rng.random() < chance:
            won += 1
        else:
            lost += 1
    return won, lost, drawn
