"""From a table of matches to arrays: who met whom with what, before a change and since."""

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.decide.plan.matching import hint
from winrate_tools.errors import CountError, SettingError
from winrate_tools.matches import Match, MatchTable
from winrate_tools.stats.home.pairs import UNKNOWN, Contests

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
HALF = 0.5
"""What a draw counts."""


@dataclass(frozen=True, slots=True)
class Change:
    """One archetype that is no longer what strangers played.

    Attributes
    ----------
    archetype : str
        Name.
    date : datetime.date or None
        First day of the new version, None for all matches.
    forecast, low, high : float or None
        What was forecast of it, at an even table, and the central range of `level`.
    level : float
        Probability that the range was meant to hold.
    """

    archetype: str
    date: dt.date | None = None
    forecast: float | None = None
    low: float | None = None
    high: float | None = None
    level: float = 0.8


@dataclass(frozen=True, eq=False)
class HomeCounts:
    """The matches of a table against its lists of players, archetypes and changes.

    Strengths stand in the order players, the first seat, archetypes, what each change did.

    Attributes
    ----------
    matches : tuple of Match
        As they were read.
    players, archetypes : tuple of str
        The lists.
    changes : tuple of Change
        Each about one of the archetypes.
    contests : Contests
        The same matches, as places in the lists.
    """

    matches: tuple[Match, ...]
    players: tuple[str, ...]
    archetypes: tuple[str, ...]
    changes: tuple[Change, ...]
    contests: Contests

    @cached_property
    def changed(self) -> tuple[int, ...]:
        """Places of the archetypes that were changed."""
        return tuple(self.archetypes.index(change.archetype) for change in self.changes)

    @cached_property
    def is_new(self) -> Flags:
        """Which matches were played since each change, shape (R, D)."""
        return np.array(
            [
                [change.date is None or _day(match) >= change.date for change in self.changes]
                for match in self.matches
            ],
            dtype=np.bool_,
        ).reshape(len(self.matches), len(self.changes))

    @cached_property
    def rows(self) -> Numbers:
        """What each strength adds to the log-odds of each match, shape (R, P)."""
        rows = self.contests.rows(len(self.players), len(self.archetypes))
        places = [len(self.players) + 1 + place for place in self.changed]
        return np.column_stack([rows, rows[:, places] * self.is_new])

    @cached_property
    def current(self) -> Numbers:
        """How strengths as they are now are made of all, shape (P - changes, P)."""
        size = len(self.players) + 1 + len(self.archetypes)
        made = np.zeros((size, size + len(self.changes)))
        made[:, :size] = np.eye(size)
        for n, place in enumerate(self.changed):
            made[len(self.players) + 1 + place, size + n] = 1.0
        return made

    @cached_property
    def met(self) -> Numbers:
        """Games that each player had against each other one."""
        games = np.zeros((len(self.players),) * 2)
        np.add.at(games, (self.contests.player, self.contests.opponent), self.contests.games)
        return games

    @cached_property
    def decks(self) -> Numbers:
        """How often each player held each archetype: days, or matches without a day."""
        held = np.zeros((len(self.players), len(self.archetypes)))
        for player, archetype, _ in set(self._held()):
            held[player, archetype] += 1
        return held

    def _held(self) -> Iterable[tuple[int, int, object]]:
        sides = (
            (self.contests.player, self.contests.archetype),
            (self.contests.opponent, self.contests.opponent_archetype),
        )
        for who, what in sides:
            for n, (player, archetype) in enumerate(zip(who, what, strict=True)):
                if archetype != UNKNOWN:
                    yield int(player), int(archetype), self.matches[n].date or n

    @cached_property
    def nights(self) -> int | None:
        """Days on which matches were played, None where dates are missing."""
        days = {match.date for match in self.matches}
        return None if None in days else len(days)


def home_counts(
    table: MatchTable, known: Sequence[str] | None, changes: Sequence[Change] = ()
) -> HomeCounts:
    """Find everybody and everything of a table of matches in one list each.

    Parameters
    ----------
    table : MatchTable
        The matches.
    known : sequence of str or None
        Archetypes that strangers played; None where nothing is known of any.
    changes : sequence of Change, optional
        What was changed; an archetype that strangers never played is a change too.

    Raises
    ------
    CountError
        If there is no game, or a match names an archetype that is not known.
    SettingError
        If a change is named twice, is about an archetype that nobody knows, or has a date
        while a match has none.

    Examples
    --------
    >>> table = MatchTable([Match("Ada", "Bo", 2, 1, archetype="kites")])
    >>> counts = home_counts(table, ["Kites", "Moths"])
    >>> counts.players, counts.decks.tolist(), counts.nights
    (('Ada', 'Bo'), [[1.0, 0.0], [0.0, 0.0]], None)
    """
    matches = tuple(match for match in table.matches if match.games)
    if not matches:
        msg = "at least one game was wanted, got none"
        raise CountError(msg)
    _demand_changes(matches, changes)
    said = [name for match in matches for name in _archetypes(match)]
    names = _known(said, known, changes)
    changes = tuple(_settled(change, names) for change in changes)
    players = table.players
    contests = Contests(
        player=np.array([players.index(match.player) for match in matches]),
        opponent=np.array([players.index(match.opponent) for match in matches]),
        wins=np.array([match.games_won + HALF * match.draws for match in matches]),
        games=np.array([match.games for match in matches], dtype=np.float64),
        archetype=_places([match.archetype for match in matches], names),
        opponent_archetype=_places([match.opponent_archetype for match in matches], names),
        seat=np.array([_seat(match.had_first_seat) for match in matches]),
    )
    return HomeCounts(matches, players, tuple(names), changes, contests)


def _day(match: Match) -> dt.date:
    return match.date or dt.date.max


def _seat(had: bool | None) -> float:
    return 0.0 if had is None else 1.0 if had else -1.0


def _archetypes(match: Match) -> list[str]:
    both = (match.archetype, match.opponent_archetype)
    return [name for name in both if name is not None]


def _demand_changes(matches: Sequence[Match], changes: Sequence[Change]) -> None:
    names = [folded(change.archetype) for change in changes]
    if twice := [name for name in names if names.count(name) > 1]:
        msg = f"each archetype may be named as changed once, got {twice[0]!r} twice"
        raise SettingError(msg)
    dated = [change for change in changes if change.date is not None]
    undated = [match for match in matches if match.date is None]
    if dated and undated:
        match = undated[0]
        msg = (
            f"{dated[0].archetype!r} was changed on {dated[0].date}, and nobody knows whether "
            f"{match.player!r} met {match.opponent!r} before that: date every match, or give "
            "no date for the change"
        )
        raise SettingError(msg)


def _known(
    said: Sequence[str], known: Sequence[str] | None, changes: Sequence[Change]
) -> list[str]:
    """List the archetypes: strangers' and new ones, or those that matches name.

    One alone is none: it always wins half of its games.
    """
    new = [change.archetype for change in changes]
    at: dict[str, str] = {}
    for name in (*(said if known is None else known), *new):
        at.setdefault(folded(name), name)
    names = list(at.values())
    _demand_played(said, known or (), new)
    if known is not None:
        _demand_known(said, names)
    if len(names) == 1 and new:
        msg = f"{names[0]!r} is the only archetype here: there is none to hold it against"
        raise SettingError(msg)
    return names if len(names) > 1 else []


def _demand_known(said: Sequence[str], names: Sequence[str]) -> None:
    known = {folded(name) for name in names}
    for name in said:
        if folded(name) not in known:
            meant = hint(name, names, "known are")
            msg = (
                f"matches name the archetype {name!r}, which strangers never played; {meant}"
                f"{'' if meant.endswith('?') else '.'} Mend the matches, or, if it is new, say "
                f"that it was changed: --changed {name!r}, in Python changed={{{name!r}: None}}"
            )
            raise CountError(msg)


def _demand_played(said: Sequence[str], known: Sequence[str], new: Sequence[str]) -> None:
    """Refuse a change of what neither strangers nor matches name."""
    played: dict[str, str] = {}
    for name in (*known, *said):
        played.setdefault(folded(name), name)
    for name in new:
        if not played:
            msg = (
                f"{name!r} is said to have changed, and neither the matches nor strangers name "
                "any archetype; what matches say of cards stands under Cards"
            )
            raise SettingError(msg)
        if folded(name) not in played:
            meant = hint(name, played.values(), "known are")
            msg = f"nobody ever played the archetype {name!r} that was changed; {meant}"
            raise SettingError(msg)


def _settled(change: Change, names: Sequence[str]) -> Change:
    """Give a change the spelling of the list."""
    spelling = {folded(name): name for name in names}
    return replace(change, archetype=spelling[folded(change.archetype)])


def _places(said: Sequence[str | None], names: Sequence[str]) -> npt.NDArray[np.intp]:
    at = {folded(name): place for place, name in enumerate(names)}
    return np.array([at.get(folded(name or ""), UNKNOWN) for name in said])
