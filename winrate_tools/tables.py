"""Checked tables: one that exists makes sense, so nothing downstream checks again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from winrate_tools import bounds, sums
from winrate_tools.errors import CountError
from winrate_tools.kinds import demand_kinds, number_column

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Labels = tuple[str | None, ...]

COUNTS, PAIRS, PART_OF = sums.COUNTS, sums.PAIRS, sums.PART_OF
NUMBERS = (*COUNTS, "mean_pick", "player_rate")
STRATA = ("archetype", "skill_band")
ATTRIBUTES = ("faction", "rarity", "role")
LABELS = (*STRATA, *ATTRIBUTES)
FIRST = 3
"""Names that a table shows of itself."""
MOST = bounds.MOST
"""Largest count taken."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where a table came from and what was said while reading it.

    Attributes
    ----------
    name : str
        File name without its folders, ``<stdin>`` or ``<memory>``.
    sha256 : str
        Hash of the bytes read, "" for tables made in memory.
    roles : mapping of str to str
        Role to the header (or 1-based number) of the column that fills it.
    notes : tuple of str
        Everything assumed, mended or left out on reading, one sentence each.
    """

    name: str = "<memory>"
    sha256: str = ""
    roles: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class CardTable:
    """Counts of games and wins, one row a card or a card within a stratum.

    Every column has one entry a row. Numbers are double precision with NaN for unknown, which
    is never the same as 0; labels are text with None for unknown; a column that the table does
    not have at all is None.

    Parameters
    ----------
    card : sequence of str
        Card names, not blank.
    games, wins : array_like of float
        Whole numbers, ``0 <= wins <= games``; wins are unknown where games are.
    archetype, skill_band, faction, rarity, role : sequence of (str or None), optional
        Labels.
    unheld_games, unheld_wins : array_like of float, optional
        Games where the card was in the deck but never in hand.
    mean_pick : array_like of float, optional
        Mean place at which drafters took the card, at least 1.
    drafted, played : array_like of float, optional
        Copies taken, and those of them that made a deck, ``0 <= played <= drafted``.
    player_rate : array_like of float, optional
        Usual win rate of the players behind the row, strictly between 0 and 1.
    source : Source, optional
        Where the table came from.

    Raises
    ------
    CountError
        If a column's kind, length, a bound or a pair of counts is broken; the message names
        the card where it is one card's.

    Examples
    --------
    >>> table = CardTable(card=["Ash Vine", "Tin Moth"], games=[200, 0], wins=[96, 0])
    >>> len(table)
    2
    >>> CardTable(card=["Ash Vine"], games=[10], wins=[11])
    Traceback (most recent call last):
    winrate_tools.errors.CountError: 'Ash Vine': wins 11 is more than games 10
    """

    card: tuple[str, ...]
    games: Numbers
    wins: Numbers
    archetype: Labels | None = None
    skill_band: Labels | None = None
    faction: Labels | None = None
    rarity: Labels | None = None
    role: Labels | None = None
    unheld_games: Numbers | None = None
    unheld_wins: Numbers | None = None
    mean_pick: Numbers | None = None
    drafted: Numbers | None = None
    played: Numbers | None = None
    player_rate: Numbers | None = None
    source: Source = field(default_factory=Source)

    def __init__(
        self,
        card: Sequence[str],
        games: npt.ArrayLike,
        wins: npt.ArrayLike,
        *,
        source: Source | None = None,
        **columns: Sequence[str | None] | npt.ArrayLike | None,
    ) -> None:
        object.__setattr__(self, "card", card)
        object.__setattr__(self, "source", Source() if source is None else source)
        given = {"games": games, "wins": wins, **columns}
        if unknown := sorted(set(given) - {*NUMBERS, *LABELS}):
            msg = f"no column {unknown[0]!r} in a card table; it has {', '.join(NUMBERS)}"
            raise TypeError(msg)
        for name in NUMBERS:
            object.__setattr__(self, name, _numbers(name, given.get(name)))
        for name in LABELS:
            object.__setattr__(self, name, given.get(name))
        _check(self)

    def __repr__(self) -> str:
        """Say what the table holds, in a line."""
        return shown(self, self.source, self.card, (*NUMBERS, *LABELS))

    def __len__(self) -> int:
        """Return the number of rows."""
        return len(self.card)

    @property
    def strata(self) -> tuple[str, ...]:
        """Names of the stratum columns that the table has."""
        return tuple(name for name in STRATA if getattr(self, name) is not None)

    def totals(self) -> "CardTable":
        """Add up the rows of each card.

        Counts are summed over the rows that know them, and games only over the rows that know
        their wins, if any does (likewise unheld games and drafted copies); `mean_pick` and
        `player_rate` are means weighted by games; attributes are the card's first known label.

        Returns
        -------
        CardTable
            One row a card, in order of first appearance, without strata.
        """
        if not self.strata and len(set(self.card)) == len(self.card):
            return self
        return _totals(self)


@dataclass(frozen=True, slots=True, eq=False)
class ArchetypeTable:
    """Counts of whole decks, one row an archetype or an archetype within a skill band.

    Numbers and labels are kept as in a `CardTable`.

    Parameters
    ----------
    archetype : sequence of str
        Archetype names, not blank.
    games, wins : array_like of float
        Games of decks: whole numbers, ``0 <= wins <= games``; wins are unknown where games are.
    skill_band, factions : sequence of (str or None), optional
        The players behind the row; the factions that the archetype joins.
    source : Source, optional
        Where the table came from.

    Raises
    ------
    CountError
        If a column's kind, length, a bound or a pair of counts is broken.

    Examples
    --------
    >>> table = ArchetypeTable(["Kites", "Kites"], [20, 30], [9, 16], skill_band=["new", "old"])
    >>> table.totals().wins.tolist()
    [25.0]
    """

    archetype: tuple[str, ...]
    games: Numbers
    wins: Numbers
    skill_band: Labels | None = None
    factions: Labels | None = None
    source: Source = field(default_factory=Source)

    def __init__(
        self,
        archetype: Sequence[str],
        games: npt.ArrayLike,
        wins: npt.ArrayLike,
        *,
        skill_band: Sequence[str | None] | None = None,
        factions: Sequence[str | None] | None = None,
        source: Source | None = None,
    ) -> None:
        object.__setattr__(self, "archetype", archetype)
        object.__setattr__(self, "games", _numbers("games", games))
        object.__setattr__(self, "wins", _numbers("wins", wins))
        object.__setattr__(self, "skill_band", skill_band)
        object.__setattr__(self, "factions", factions)
        object.__setattr__(self, "source", Source() if source is None else source)
        demand_kinds(self, CountError)
        bounds.demand_columns(self, "archetype", ("games", "wins", "skill_band", "factions"))
        for name in ("games", "wins"):
            bounds.demand_count(self, "archetype", name)
        bounds.demand_pair(self, "archetype", "wins", "games")

    def __repr__(self) -> str:
        """Say what the table holds, in a line."""
        return shown(
            self, self.source, self.archetype, ("games", "wins", "skill_band", "factions")
        )

    def __len__(self) -> int:
        """Return the number of rows."""
        return len(self.archetype)

    def totals(self) -> "ArchetypeTable":
        """Add up the rows of each archetype, as `CardTable.totals` does those of a card.

        Returns
        -------
        ArchetypeTable
            One row an archetype, in order of first appearance, without skill bands.
        """
        names, code = _coded(self.archetype)
        columns = {"games": self.games, "wins": self.wins}
        games, wins = sums.added_up(columns, code, len(names)).values()
        factions = self.factions and sums.first_known(self.factions, code, len(names))
        return ArchetypeTable(names, games, wins, factions=factions, source=self.source)


def shown(
    table: object, source: Source, names: Sequence[str], columns: Sequence[str] = ()
) -> str:
    """Say in a line what a table holds: rows, columns, and the first names.

    Examples
    --------
    >>> CardTable(["Ash Vine", "Tin Moth", "Ash Vine", "Fox", "Elk"], [9] * 5, [4] * 5)
    <CardTable <memory>: 5 rows of games, wins; Ash Vine, Tin Moth, Fox and 1 more>
    """
    once = list(dict.fromkeys(names))
    more = f" and {len(once) - FIRST:,} more" if len(once) > FIRST else ""
    held = ", ".join(name for name in columns if getattr(table, name) is not None)
    rows = f"{len(names):,} row{'' if len(names) == 1 else 's'}{' of ' if held else ''}{held}"
    first = ", ".join(once[:FIRST]) or "none"
    return f"<{type(table).__name__} {source.name}: {rows}; {first}{more}>"


def _numbers(name: str, values: object) -> Numbers | None:
    return bounds.numbers(number_column(name, values, CountError))


def _check(table: CardTable) -> None:
    demand_kinds(table, CountError)
    bounds.demand_columns(table, "card", (*NUMBERS, *LABELS))
    for name in COUNTS:
        bounds.demand_count(table, "card", name)
    for part, whole in PAIRS:
        bounds.demand_pair(table, "card", part, whole)
    for name, broken, wanted in RULES:
        bounds.demand(table, "card", name, broken, wanted)


RULES: tuple[tuple[str, Callable[[Numbers], Flags], str], ...] = (
    ("mean_pick", lambda pick: (pick < 1) | np.isinf(pick), "at least 1"),
    ("player_rate", lambda rate: (rate <= 0) | (rate >= 1), "between 0 and 1"),
)


def _totals(table: CardTable) -> CardTable:
    cards, code = _coded(table.card)
    numbers = {name: getattr(table, name) for name in NUMBERS}
    known = {name: column for name, column in numbers.items() if column is not None}
    columns: dict[str, object] = {**sums.added_up(known, code, len(cards))}
    for name in ATTRIBUTES:
        column = getattr(table, name)
        if column is not None:
            columns[name] = sums.first_known(column, code, len(cards))
    return CardTable(cards, source=table.source, **columns)  # type: ignore[arg-type]


def _coded(names: Sequence[str]) -> tuple[list[str], sums.Codes]:
    """Return the different names in order of first appearance, and each row's place there."""
    once = list(dict.fromkeys(names))
    position = {name: i for i, name in enumerate(once)}
    return once, np.array([position[name] for name in names], dtype=np.intp)
