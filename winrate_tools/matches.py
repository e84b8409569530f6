"""Checked tables of the user's own matches: one that exists makes sense."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from winrate_tools.errors import CountError
from winrate_tools.tables import Source


@dataclass(frozen=True, slots=True)
class Match:
    """What two players' decks did against each other.

    Attributes
    ----------
    player, opponent : str
        Names; not the same.
    games_won, games_lost : int
        Of the player, from 0.
    draws : int
        Games that nobody won; half a win each way.
    archetype, opponent_archetype : str or None
        Of their decks, None where unknown.
    date : datetime.date or None
        When, None where unknown.
    cards : tuple of str
        Cards of the player's deck that were held or played, () where unknown.
    had_first_seat : bool or None
        Whether the player had the first seat, None where unknown.
    """

    player: str
    opponent: str
    games_won: int
    games_lost: int
    draws: int = 0
    archetype: str | None = None
    opponent_archetype: str | None = None
    date: dt.date | None = None
    cards: tuple[str, ...] = ()
    had_first_seat: bool | None = None


@dataclass(frozen=True, slots=True)
class MatchTable:
    """The matches of one table of players.

    Attributes
    ----------
    matches : tuple of Match
        In the order of the file.
    source : Source
        Where the table came from.

    Raises
    ------
    CountError
        If a name is blank, a player meets themself, or a count makes no sense.

    Examples
    --------
    >>> table = MatchTable([Match("Ada", "Bo", 2, 1), Match("Bo", "Cy", 0, 2)])
    >>> table.players
    ('Ada', 'Bo', 'Cy')
    """

    matches: tuple[Match, ...]
    source: Source

    def __init__(self, matches: Sequence[Match], source: Source | None = None) -> None:
        object.__setattr__(self, "matches", tuple(matches))
        object.__setattr__(self, "source", source or Source())
        for match in self.matches:
            _demand_sound(match)

    @property
    def players(self) -> tuple[str, ...]:
        """Everybody who played, in order of first appearance."""
        pairs = [(match.player, match.opponent) for match in self.matches]
        return tuple(dict.fromkeys(name for pair in pairs for name in pair))


def _demand_sound(match: Match) -> None:
    if not (match.player.strip() and match.opponent.strip()):
        msg = "every match needs a player and an opponent, got a blank name"
        raise CountError(msg)
    if match.player.casefold() == match.opponent.casefold():
        msg = f"{match.player!r} cannot play against themself"
        raise CountError(msg)
    for name in ("games_won", "games_lost", "draws"):
        if (count := getattr(match, name)) < 0:
            msg = f"{match.player!r}: {name} must be a whole number from 0, got {count}"
            raise CountError(msg)
