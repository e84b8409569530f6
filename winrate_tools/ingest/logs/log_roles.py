"""What each column of a game log holds, and in which of three layouts its cards stand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from winrate_tools.errors import MappingError
from winrate_tools.ingest.checks.findings import excerpt, first_few
from winrate_tools.ingest.logs.log_words import LOG_ROLES, log_role, yes_or_no
from winrate_tools.ingest.roles.mapping import ColumnChoice, resolve_mapping
from winrate_tools.ingest.roles.recognition import recognised, spoken
from winrate_tools.ingest.roles.vocabulary import normalise
from winrate_tools.ingest.text.grid import Grid

Layout = Literal["long", "list", "wide"]
LIST_MARKS = ("\x1f", "|", ";", "\t", ",", "\n", "/")
"""What may part the cards of a list, the safest first."""
MOST_COPIES = 99
LONG = 18
"""Digits of a cell that counts nothing."""
FEW_ROWS = 20


@dataclass(frozen=True, slots=True)
class LogRoles:
    """How a log is to be read.

    Attributes
    ----------
    layout : str
        ``long`` for a row a game and card, ``list`` for a list of cards in one cell, ``wide``
        for a column a card.
    where : mapping of str to int
        Role to column number, from 1.
    mark : str
        What parts the cards of a list.
    deck, held : mapping of str to int
        Card to the column that counts its copies in the deck, and in hand; for ``wide`` only.
    notes : tuple of str
        What was assumed.
    """

    layout: Layout
    where: Mapping[str, int]
    mark: str = "|"
    deck: Mapping[str, int] = field(default_factory=dict)
    held: Mapping[str, int] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    @property
    def knows_hands(self) -> bool:
        """Whether the log says which cards were held."""
        return "held" in self.where or bool(self.held)


def find_log_roles(grid: Grid, columns: Mapping[str, ColumnChoice]) -> LogRoles:
    """Find out how a log is laid out, by its head and by what the user says of its columns.

    Raises
    ------
    MappingError
        If nobody can tell which column says who won, or where the cards are.
    SettingError
        If a role is unknown.
    """
    told = resolve_mapping(columns, grid, LOG_ROLES)
    where = {role: number for role, number in told.items() if number}
    where |= _by_words(grid, told, set(where.values()))
    if "won" not in told:
        _demand_no_table(grid, where.get("won"))
    if "won" not in where:
        raise _unclear(grid, "who won", "won")
    if "cards" not in where and "deck" in where and _mark(grid.column(where["deck"])):
        where["cards"] = where.pop("deck")
    if "cards" in where:
        mark = _mark(grid.column(where["cards"])) or LIST_MARKS[1]
        return LogRoles("list", _without(where, "card"), mark)
    if "card" in where:
        if "game" not in where:
            raise _unclear(grid, "which rows are of one game", "game")
        return LogRoles("long", where)
    return _wide(grid, _without(where, "held"))


def _demand_no_table(grid: Grid, won: int | None) -> None:
    """Refuse a table whose headers are those of one, unless some column says who won."""
    kind = recognised(grid.headers)
    if kind.missing(spoken(grid.headers, kind)):
        return
    cells = [] if won is None else grid.column(won)
    if 2 * sum(map(_says_who_won, cells)) <= len(cells):
        msg = (
            f"{grid.name}: a log of games was wanted, and its headers are those of "
            f"{kind.called}\n  such a one is for:\n    winrate-tools {kind.use}\n"
            "  if it is a log all the same, say which column says who won:\n--map won=HEADER"
        )
        raise MappingError(msg)


def _says_who_won(cell: str) -> bool:
    try:
        return yes_or_no(cell) is not None
    except ValueError:
        return False


def _by_words(grid: Grid, told: Mapping[str, int], taken: set[int]) -> dict[str, int]:
    claims: dict[str, list[int]] = {}
    for number, header in enumerate(grid.headers, 1):
        role = log_role(header)
        if role and role not in told and number not in taken:
            claims.setdefault(role, []).append(number)
    for role, numbers in claims.items():
        if len(numbers) > 1:
            listed = " and ".join(f"{n} ({grid.label(n)})" for n in numbers)
            msg = (
                f"{grid.name}: columns {listed} could both be {role}\n"
                f"  name one, for example:\n--map {role}={numbers[0]}"
            )
            raise MappingError(msg)
    return {role: numbers[0] for role, numbers in claims.items()}


def _without(where: Mapping[str, int], role: str) -> dict[str, int]:
    return {name: number for name, number in where.items() if name != role}


def _mark(cells: Sequence[str]) -> str | None:
    """Find what parts lists: the safest mark that stands in half of the filled cells."""
    filled = [cell for cell in cells if cell]
    return next(
        (m for m in LIST_MARKS if 2 * sum(m in cell for cell in filled) > len(filled)), None
    )


def _unclear(grid: Grid, what: str, role: str) -> MappingError:
    listed = first_few(
        [f"{n} {excerpt(grid.label(n))!r}" for n in range(1, len(grid.headers) + 1)], 40
    )
    number = _likely(grid) if role == "won" else 1
    return MappingError(
        f"{grid.name}: cannot tell which column says {what}; columns: {listed}\n"
        f"  name it by header or number, for example:\n--map {role}={number}"
    )


def _likely(grid: Grid) -> int:
    """Find a column that says yes and no, to name it as an example."""
    return next((n for n in range(1, len(grid.headers) + 1) if _says_both(grid.column(n))), 1)


def _says_both(cells: Sequence[str]) -> bool:
    try:
        return {True, False} <= {yes_or_no(cell) for cell in set(cells)}
    except ValueError:
        return False


def _wide(grid: Grid, where: dict[str, int]) -> LogRoles:
    taken = set(where.values())
    free = [
        n for n in range(1, len(grid.headers) + 1) if n not in taken and grid.headers[n - 1]
    ]
    counts = [n for n in free if _counts_copies(grid.column(n))]
    headers = {n: grid.headers[n - 1] for n in counts}
    plain = {normalise(header): n for n, header in headers.items()}
    held = {headers[plain[of]]: n for n in counts if (of := _held_of(headers[n])) in plain}
    deck = {headers[n]: n for n in counts if n not in set(held.values())}
    if len(deck) < 2:
        raise _unclear(grid, "which cards a deck holds", "cards")
    if held and (alone := [card for card in deck if card not in held]):
        msg = (
            f"{grid.name}: {len(held)} card columns have one that says how many were held, "
            f"{len(alone)} have none, first {alone[0]!r}; add the columns that lack"
        )
        raise MappingError(msg)
    unused = [grid.label(n) for n in free if n not in counts]
    notes = [f"{len(deck):,} columns were taken for cards, from {_ends(deck)}"]
    notes += [f"not used: {first_few(unused)}"] if unused else []
    return LogRoles("wide", where, deck=deck, held=held, notes=tuple(notes))


def _ends(deck: Mapping[str, int]) -> str:
    names = list(deck)
    return f"{names[0]!r} to {names[-1]!r}"


def _counts_copies(cells: Sequence[str]) -> bool:
    """Tell whether most cells count copies of a card: small whole numbers, none in some deck.

    What is in each of many decks is no card, but something like a number of turns.
    """
    fitting = [not cell or _is_few(cell) for cell in cells]
    is_rare = len(cells) <= FEW_ROWS or bool({"", "0"} & set(cells))
    return 2 * sum(fitting) > len(cells) and is_rare


def _is_few(cell: str) -> bool:
    return cell.isdecimal() and len(cell) < LONG and int(cell) <= MOST_COPIES


def _held_of(header: str) -> str | None:
    """Return the card of a header such as ``Ash Vine held`` or ``held: Ash Vine``."""
    words = normalise(header).split()
    if len(words) > 1 and "held" in {words[0], words[-1]}:
        return " ".join(words[1:] if words[0] == "held" else words[:-1])
    return None
