"""Checked tables: one that exists makes sense, so nothing downstream checks again."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Labels = tuple[str | None, ...]

COUNTS = ("games", "wins", "unheld_games", "unheld_wins", "drafted", "played")
NUMBERS = (*COUNTS, "mean_pick", "player_rate")
STRATA = ("archetype", "skill_band")
ATTRIBUTES = ("faction", "rarity", "role")
LABELS = (*STRATA, *ATTRIBUTES)
PAIRS = (("wins", "games"), ("unheld_wins", "unheld_games"), ("played", "drafted"))
PART_OF = {whole: part for part, whole in PAIRS}
MOST = 1e15
"""Largest count taken: whole numbers up to here are exact in double precision."""


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
        If a column's length, a bound or a pair of counts is broken; the message names the card.

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
        object.__setattr__(self, "card", tuple(card))
        object.__setattr__(self, "source", source or Source())
        given = {"games": games, "wins": wins, **columns}
        if unknown := sorted(set(given) - {*NUMBERS, *LABELS}):
            msg = f"no column {unknown[0]!r} in a card table; it has {', '.join(NUMBERS)}"
            raise TypeError(msg)
        for name in NUMBERS:
            object.__setattr__(self, name, _numbers(given.get(name)))
        for name in LABELS:
            object.__setattr__(self, name, _labels(given.get(name)))
        _check(self)

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


def _numbers(values: object) -> Numbers | None:
    if values is None:
        return None
    numbers = np.array(values, dtype=np.float64)
    numbers.setflags(write=False)
    return numbers


def _labels(values: object) -> Labels | None:
    return None if values is None else tuple(values)  # type: ignore[arg-type]


def _check(table: CardTable) -> None:
    for name in (*NUMBERS, *LABELS):
        column = getattr(table, name)
        if column is not None and np.shape(column) != (len(table.card),):
            msg = f"{name} must have one entry a row ({len(table.card)}), got {len(column)}"
            raise CountError(msg)
    if any(not name.strip() for name in table.card):
        msg = "every row needs a card name, got a blank one"
        raise CountError(msg)
    for name in COUNTS:
        _check_count(table, name)
    for part, whole in PAIRS:
        _check_pair(table, part, whole)
    _refuse(table, "mean_pick", lambda pick: (pick < 1) | np.isinf(pick), "at least 1")
    _refuse(table, "player_rate", lambda rate: (rate <= 0) | (rate >= 1), "between 0 and 1")


def _check_count(table: CardTable, name: str) -> None:
    def broken(count: Numbers) -> Flags:
        fraction = np.not_equal(count, np.floor(count)) & ~np.isnan(count)
        return (count < 0) | (count > MOST) | fraction

    _refuse(table, name, broken, "a whole number from 0")


def _refuse(
    table: CardTable, name: str, broken: Callable[[Numbers], Flags], wanted: str
) -> None:
    column = getattr(table, name)
    if column is None:
        return
    (places,) = np.nonzero(broken(column))
    if len(places):
        card, value = table.card[places[0]], column[places[0]]
        msg = f"{card!r}: {name} must be {wanted}, got {value:g}"
        raise CountError(msg)


def _check_pair(table: CardTable, part: str, whole: str) -> None:
    parts, wholes = getattr(table, part), getattr(table, whole)
    if parts is None or wholes is None:
        return
    (places,) = np.nonzero(parts > wholes)
    if len(places):
        i = places[0]
        msg = f"{table.card[i]!r}: {part} {parts[i]:.0f} is more than {whole} {wholes[i]:.0f}"
        raise CountError(msg)
    if (places := np.nonzero(~np.isnan(parts) & np.isnan(wholes))[0]).size:
        msg = f"{table.card[places[0]]!r}: {part} known without {whole}"
        raise CountError(msg)


def _totals(table: CardTable) -> CardTable:
    cards = list(dict.fromkeys(table.card))
    position = {card: i for i, card in enumerate(cards)}
    code = np.array([position[card] for card in table.card], dtype=np.intp)
    columns: dict[str, object] = {}
    for name in NUMBERS:
        column = getattr(table, name)
        if column is not None:
            weight = None if name in COUNTS else table.games
            column = _where_part_is_known(table, name, code)
            columns[name] = _by_card(code, len(cards), column, weight)
    for name in ATTRIBUTES:
        column = getattr(table, name)
        if column is not None:
            columns[name] = _first_known(code, len(cards), column)
    games, wins = columns.pop("games"), columns.pop("wins")
    return CardTable(cards, games, wins, source=table.source, **columns)  # type: ignore[arg-type]


def _where_part_is_known(table: CardTable, name: str, code: npt.NDArray[np.intp]) -> Numbers:
    """Return a column without the rows that would water down a rate: games of unknown wins."""
    column: Numbers = getattr(table, name)
    part = getattr(table, PART_OF.get(name, name))
    if part is None:
        return column
    unknown = np.isnan(part)
    return np.where(unknown & np.isin(code, code[~unknown]), np.nan, column)


def _by_card(
    code: npt.NDArray[np.intp], cards: int, column: Numbers, weight: Numbers | None
) -> Numbers:
    """Sum a column over each card's known rows, or average it where a weight is given."""
    known = ~np.isnan(column)
    weights = np.ones(len(column)) if weight is None else np.nan_to_num(weight) + 1e-9
    share = np.bincount(code[known], weights[known], cards)
    total = np.bincount(code[known], (weights * column)[known], cards)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(share > 0, total if weight is None else total / share, np.nan)


def _first_known(code: npt.NDArray[np.intp], cards: int, labels: Labels) -> list[str | None]:
    first: list[str | None] = [None] * cards
    for card, label in zip(code, labels, strict=True):
        if first[card] is None:
            first[card] = label
    return first
