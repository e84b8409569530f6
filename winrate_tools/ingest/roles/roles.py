"""Which column holds what: told, proven by arithmetic, named by plain words, or asked."""

from collections.abc import Collection, Mapping
from typing import NamedTuple

from winrate_tools.errors import MappingError
from winrate_tools.ingest.roles.asking import guess, unclear
from winrate_tools.ingest.roles.kinds import CARDS
from winrate_tools.ingest.roles.recognition import holds_guesses, speaks_of_games, unlike
from winrate_tools.ingest.roles.triples import Triple, find_triples
from winrate_tools.ingest.roles.vocabulary import close_role, loose_role, plain_role, role_of
from winrate_tools.ingest.text.sheet import Sheet

COUNTS_OF_A_RATE = ("wins", "games", "win_rate")
NUMBER_KINDS = {"count", "rate", "number"}
NEARLY_ALL = 0.9
TOLD = "named by you"
REMEMBERED = "remembered from an earlier time"

Found = dict[str, tuple[int, str]]
Claims = dict[str, list[int]]


class Assignment(NamedTuple):
    """What one column was taken for.

    Attributes
    ----------
    role : str
        Name of the role.
    column : int
        Column number, from 1.
    header : str
        Its header, or ``column N`` where that is blank or repeated.
    samples : tuple of str
        Up to three of its values.
    why : str
        The evidence.
    """

    role: str
    column: int
    header: str
    samples: tuple[str, ...]
    why: str


def find_roles(
    sheet: Sheet, told: Mapping[str, int], remembered: Mapping[str, int] | None = None
) -> tuple[Assignment, ...]:
    """Find the columns of a table.

    Parameters
    ----------
    sheet : Sheet
        The file.
    told : mapping of str to int
        Column numbers that are settled; 0 leaves a role empty.
    remembered : mapping of str to int, optional
        The same, from an earlier time.

    Returns
    -------
    tuple of Assignment
        In the glossary's order; all that the kind of table needs among them.

    Raises
    ------
    MappingError
        If a required role stays open or several readings are plausible.
    """
    settled = {role: (n, TOLD) for role, n in told.items()}
    settled |= {role: (n, REMEMBERED) for role, n in (remembered or {}).items()}
    found = {role: (number, why) for role, (number, why) in settled.items() if number}
    rows = [row.cells for row in sheet.grid.rows]
    if sheet.kind.name not in found and unlike(sheet.grid.headers, rows, sheet.kind):
        raise unclear(sheet, f"{sheet.kind.called} was wanted", [], {})
    barred = set(settled) - set(found)
    claims = _claims(sheet, found, barred)
    if sheet.kind.counted and not barred & set(COUNTS_OF_A_RATE):
        found |= _by_arithmetic(sheet, found, claims)
    if sheet.kind is CARDS and "games" not in found:
        _demand_no_log(sheet, settled)
    found |= _by_words(sheet, found, claims)
    found |= _by_guesses(sheet, found, barred)
    for source in (_loose, _close):
        found |= source(sheet, found, barred)
    if sheet.kind.name not in found and not sheet.kind.repeats:
        found |= _name_by_distinctness(sheet, found)
    _demand(sheet, found)
    return tuple(
        Assignment(
            role, found[role][0], sheet.grid.label(found[role][0]),
            sheet.samples(found[role][0]), found[role][1],
        )
        for role in sheet.kind.roles
        if role in found
    )  # fmt: skip


def _demand_no_log(sheet: Sheet, told: Collection[str]) -> None:
    """Refuse a log, whose numbers of games would be added up as if they counted games."""
    if speaks_of_games(sheet.grid.headers, told):
        msg = (
            f"{sheet.grid.name}: a table of cards was wanted, and its headers are those of a "
            "log of games\n  such a one is for:\n    winrate-tools tally FILE\n"
            "  if it is a table of cards all the same, say which column holds their numbers of "
            "games, by header or number:\n--map games=HEADER"
        )
        raise MappingError(msg)


def _claims(sheet: Sheet, found: Found, barred: set[str]) -> Claims:
    """Collect the columns whose header is a plain word for a role."""
    claims: Claims = {}
    taken = {number for number, _ in found.values()}
    for number in sheet.numbers:
        role = sheet.kind.role(plain_role(sheet.grid.headers[number - 1]))
        if role and number not in taken and role not in {*found, *barred}:
            claims.setdefault(role, []).append(number)
    if not {"games", "losses", "drafted"} & {*claims, *found} and "played" in claims:
        claims["games"] = claims.pop("played")
    return claims


def _by_arithmetic(sheet: Sheet, found: Found, claims: Claims) -> Found:
    triples = [t for t in find_triples(sheet) if _agrees(t, found, claims)]
    pairs = {(t.wins, t.games): _named(sheet, t) for t in reversed(triples)}
    if len(pairs) > 1:
        best = max(pairs.values())
        pairs = {pair: score for pair, score in pairs.items() if score == best}
    if len(pairs) > 1:
        row_name = sheet.kind.name
        known = {row_name: found[row_name][0]} if row_name in found else {}
        answers = [{"wins": wins, "games": games} for wins, games in sorted(pairs)]
        names = known or _name_for_asking(sheet, found, claims)
        what = f"{len(answers)} sets of columns could be wins and games"
        raise unclear(sheet, what, answers, names)
    if not pairs:
        return {}
    triple = next(t for t in triples if (t.wins, t.games) in pairs)
    return _from_triple(sheet, triple, found)


def _from_triple(sheet: Sheet, triple: Triple, found: Found) -> Found:
    label = sheet.grid.label
    why = (
        f"{triple.agree} of {triple.rows} rows: {label(triple.wins)} / {label(triple.games)}"
        f" = {label(triple.rate)} to {triple.unit}"
    )
    columns = zip(COUNTS_OF_A_RATE, (triple.wins, triple.games, triple.rate), strict=True)
    return {role: (number, why) for role, number in columns if role not in found}


def _agrees(triple: Triple, found: Found, claims: Claims) -> bool:
    """Tell whether a triple contradicts neither what is settled nor a plain header."""
    settled = {role: [number] for role, (number, _) in found.items()}
    spoken = {**claims, **settled}
    columns = {"wins": triple.wins, "games": triple.games, "win_rate": triple.rate}
    for role, number in columns.items():
        if role in spoken and number not in spoken[role]:
            return False
        if any(number in numbers for other, numbers in spoken.items() if other != role):
            return False
    return True


def _named(sheet: Sheet, triple: Triple) -> int:
    """Count the columns of a triple whose header names their role, if only loosely."""
    columns = {"wins": triple.wins, "games": triple.games, "win_rate": triple.rate}
    headers = {role: sheet.grid.headers[number - 1] for role, number in columns.items()}
    return sum(role_of(header) == role for role, header in headers.items())


def _by_words(sheet: Sheet, found: Found, claims: Claims) -> Found:
    added: Found = {}
    taken = {number for number, _ in found.values()}
    for role, numbers in claims.items():
        free = [number for number in numbers if number not in taken]
        if role in found or not free:
            continue
        if len(free) > 1:
            raise _tie(sheet, role, free, found)
        added[role] = (free[0], f'its header "{sheet.grid.headers[free[0] - 1]}" says so')
    return added


def _by_guesses(sheet: Sheet, found: Found, barred: set[str]) -> Found:
    """Take the one column whose cells are guesses for that, whatever its header."""
    if "guess" not in sheet.kind.roles or "guess" in {*found, *barred}:
        return {}
    taken = {number for number, _ in found.values()}
    free = [n for n in sheet.numbers if n not in taken]
    columns = [n for n in free if holds_guesses(sheet.grid.column(n))]
    if len(columns) != 1:
        return {}
    why = f"its cells are guesses: {', '.join(sheet.samples(columns[0]))}"
    return {"guess": (columns[0], why)}


def _loose(sheet: Sheet, found: Found, barred: set[str]) -> Found:
    claims: Claims = {}
    for number in _free(sheet, found):
        role = sheet.kind.loose_role(loose_role(sheet.grid.headers[number - 1]))
        if role in sheet.kind.attributes and sheet.holds_numbers(number):
            continue
        if role and role not in {*found, *barred}:
            claims.setdefault(role, []).append(number)
    return _by_words(sheet, found, claims)


def _close(sheet: Sheet, found: Found, barred: set[str]) -> Found:
    claims: dict[str, list[tuple[int, str]]] = {}
    for number in _free(sheet, found):
        close = close_role(sheet.grid.headers[number - 1])
        role = sheet.kind.role(close[0]) if close else None
        if close is None or role is None or role in {*found, *barred}:
            continue
        if _suits(sheet, number, role):
            claims.setdefault(role, []).append((number, close[1]))
    for role, near in claims.items():
        if len(near) > 1:
            raise _tie(sheet, role, [number for number, _ in near], found)
    return {
        role: (number, f'its header "{sheet.grid.headers[number - 1]}" is close to "{word}"')
        for role, [(number, word)] in claims.items()
    }


def _suits(sheet: Sheet, number: int, role: str) -> bool:
    """Tell whether a column holds text or numbers as a role wants it."""
    return sheet.holds_numbers(number) == (sheet.kind.roles[role].kind in NUMBER_KINDS)


def _free(sheet: Sheet, found: Found) -> list[int]:
    taken = {number for number, _ in found.values()}
    return [n for n in sheet.numbers if n not in taken and sheet.grid.headers[n - 1]]


def _tie(sheet: Sheet, role: str, numbers: list[int], found: Found) -> Exception:
    word = sheet.kind.roles[role].heading.lower()
    known = {
        name: n for name, (n, _) in found.items() if name in {sheet.kind.name, "wins", "games"}
    }
    answers = [{role: number} for number in numbers]
    return unclear(sheet, f"{len(numbers)} columns could be {word}", answers, known)


def _name_by_distinctness(sheet: Sheet, found: Found) -> Found:
    texts = _texts(sheet, found)
    distinct = [n for n in texts if _distinct_share(sheet, n) >= NEARLY_ALL]
    if len(distinct) == 1:
        cells = [cell.casefold() for cell in sheet.grid.column(distinct[0]) if cell]
        why = f"text, {len(set(cells))} of {len(cells)} values differ"
        return {sheet.kind.name: (distinct[0], why)}
    if len(texts) == 1:
        return {sheet.kind.name: (texts[0], "the only column of text")}
    return {}


def _texts(sheet: Sheet, found: Found) -> list[int]:
    taken = {number for number, _ in found.values()}
    return [
        n
        for n in sheet.numbers
        if n not in taken
        and not sheet.holds_numbers(n)
        and sheet.samples(n, 1)
        and not _names_another_kind(sheet, n)
    ]


def _names_another_kind(sheet: Sheet, number: int) -> bool:
    """Tell whether a header says that a column lists what this kind of table does not."""
    role = plain_role(sheet.grid.headers[number - 1])
    return role is not None and sheet.kind.role(role) is None


def _distinct_share(sheet: Sheet, number: int) -> float:
    cells = [cell.casefold() for cell in sheet.grid.column(number) if cell]
    return len(set(cells)) / len(sheet.grid.rows)


def _name_for_asking(sheet: Sheet, found: Found, claims: Claims) -> dict[str, int]:
    row_name = sheet.kind.name
    if claims.get(row_name):
        return {row_name: claims[row_name][0]}
    name = _name_by_distinctness(sheet, found)
    texts = [name[row_name][0]] if name else _texts(sheet, found)
    return {row_name: texts[0]} if texts else {}


def _demand(sheet: Sheet, found: Found) -> None:
    missing = sheet.kind.missing(found)
    if missing:
        settled = {role: number for role, (number, _) in found.items()}
        others = [role for role, spared in sheet.kind.instead.items() if {*missing} & {*spared}]
        instead = f" (or {' or '.join(others)})" if others else ""
        what = f"cannot tell which column holds {' and '.join(missing)}{instead}"
        raise unclear(sheet, what, guess(sheet, settled), {}, others)
