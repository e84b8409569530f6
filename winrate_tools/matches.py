"""Checked tables of the user's own matches: one that exists makes sense."""

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from winrate_tools.alike import folded
from winrate_tools.errors import CountError
from winrate_tools.kinds import demand_kinds
from winrate_tools.tables import Source, shown


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
    opponent_cards : tuple of str
        As `cards`, of the opponent's deck.

    Raises
    ------
    CountError
        If a field holds anything but what it is said to hold.

    Examples
    --------
    >>> match = Match("Ada", "Bo", 2, 1, archetype="Kites")
    >>> match.games, match.score
    (3, '2-1')
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
    opponent_cards: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        demand_kinds(self, CountError, self.player)

    @property
    def games(self) -> int:
        """Number of games, draws among them."""
        return self.games_won + self.games_lost + self.draws

    @property
    def score(self) -> str:
        """The games as players say them: won, lost, and drawn if any."""
        drawn = f"-{self.draws}" if self.draws else ""
        return f"{self.games_won}-{self.games_lost}{drawn}"

    def seen_by_opponent(self) -> "Match":
        """Return the same match as the opponent would tell it.

        Examples
        --------
        >>> Match("Ada", "Bo", 2, 1).seen_by_opponent().score
        '1-2'
        """
        seat = self.had_first_seat
        return Match(
            self.opponent,
            self.player,
            self.games_lost,
            self.games_won,
            self.draws,
            self.opponent_archetype,
            self.archetype,
            self.date,
            self.opponent_cards,
            None if seat is None else not seat,
            self.cards,
        )

    def agrees(self, told: "Match") -> bool:
        """Tell whether what the opponent told can be the same match.

        Parameters
        ----------
        told : Match
            The opponent's row.

        Returns
        -------
        bool
            True if names, date and games are the same, and nothing that both know differs.

        Examples
        --------
        >>> Match("Ada", "Bo", 2, 1).agrees(Match("Bo", "Ada", 1, 2, archetype="Kites"))
        True
        """
        other = told.seen_by_opponent()
        same = ("player", "opponent", "games_won", "games_lost", "draws", "date")
        known = ("archetype", "opponent_archetype", "had_first_seat")
        return all(getattr(self, name) == getattr(other, name) for name in same) and all(
            None in {getattr(self, name), getattr(other, name)}
            or getattr(self, name) == getattr(other, name)
            for name in known
        )

    def joined(self, told: "Match") -> "Match":
        """Fill in what only the opponent's row of the same match knows.

        Examples
        --------
        >>> mine, theirs = Match("Ada", "Bo", 2, 1), Match("Bo", "Ada", 1, 2, archetype="Kites")
        >>> mine.joined(theirs).opponent_archetype
        'Kites'
        """
        other = told.seen_by_opponent()
        seat = self.had_first_seat
        return replace(
            self,
            archetype=self.archetype or other.archetype,
            opponent_archetype=self.opponent_archetype or other.opponent_archetype,
            cards=self.cards or other.cards,
            had_first_seat=other.had_first_seat if seat is None else seat,
            opponent_cards=self.opponent_cards or other.opponent_cards,
        )


@dataclass(frozen=True, slots=True)
class MatchTable:
    """The matches of one table of players.

    Attributes
    ----------
    matches : tuple of Match
        In the order of the file.
    source : Source
        Where the table came from.
    places : tuple of str
        Where each row stands, such as ``"home.csv:12"``; () for tables made in memory.

    Raises
    ------
    CountError
        If a name is blank or spelt in two ways, a player meets themself, or a count makes no
        sense.

    Examples
    --------
    >>> table = MatchTable([Match("Ada", "Bo", 2, 1), Match("Bo", "Cy", 0, 2)])
    >>> table.players
    ('Ada', 'Bo', 'Cy')
    """

    matches: tuple[Match, ...]
    source: Source
    places: tuple[str, ...]

    def __init__(
        self,
        matches: Sequence[Match],
        source: Source | None = None,
        *,
        places: Sequence[str] = (),
    ) -> None:
        object.__setattr__(self, "matches", matches)
        object.__setattr__(self, "source", Source() if source is None else source)
        object.__setattr__(self, "places", places)
        demand_kinds(self, CountError)
        for match in self.matches:
            _demand_sound(match)
        _demand_one_spelling(self.players)

    def __repr__(self) -> str:
        """Say what the table holds, in a line."""
        pairs = [f"{one.player} against {one.opponent}" for one in self.matches]
        return shown(self, self.source, pairs)

    @property
    def players(self) -> tuple[str, ...]:
        """Everybody who played, in order of first appearance."""
        pairs = [(match.player, match.opponent) for match in self.matches]
        return tuple(dict.fromkeys(name for pair in pairs for name in pair))


def _demand_sound(match: Match) -> None:
    if not (match.player.strip() and match.opponent.strip()):
        msg = "every match needs a player and an opponent, got a blank name"
        raise CountError(msg)
    if folded(match.player) == folded(match.opponent):
        msg = f"{match.player!r} cannot play against themself"
        raise CountError(msg)
    for name in ("games_won", "games_lost", "draws"):
        count = getattr(match, name)
        if count < 0:
            msg = f"{match.player!r}: {name} must be a whole number from 0, got {count}"
            raise CountError(msg)


def _demand_one_spelling(players: Sequence[str]) -> None:
    first: dict[str, str] = {}
    for name in players:
        if (other := first.setdefault(folded(name), name)) != name:
            msg = f"a player must have one spelling throughout, got {other!r} and {name!r}"
            raise CountError(msg)
