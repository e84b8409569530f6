"""Which column holds what: told, proven by arithmetic, named by plain words, or asked."""

from collections.abc import Mapping
from dataclasses import dataclass

from winrate_tools.columns import CARD_ROLES, Column
from winrate_tools.ingest.asking import guess, unclear
from winrate_tools.ingest.sheet import Sheet
from winrate_tools.ingest.triples import Triple, find_triples
from winrate_tools.ingest.vocabulary import close_role, loose_role, plain_role, role_of

LOSSES = Column("losses", "count", "Losses", "Games lost, out of the games of the row.")
ROLES = {**CARD_ROLES, LOSSES.name: LOSSES}
"""Roles of a card table as it is read; losses stand in for games where these are missing."""

COUNTS_OF_A_RATE = ("wins", "games", "win_rate")
NEARLY_ALL = 0.9
TOLD = "named by you"
REMEMBERED = "remembered from an earlier time"

Found = dict[str, tuple[int, str]]
Claims = dict[str, list[int]]


@dataclass(frozen=True, slots=True)
class Assignment:
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
    """Find the columns of a card table.

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
        In the glossary's order; card, games (or losses) and wins or win rate among them.

    Raises
    ------
    MappingError
        If a required role stays open or several readings are plausible.
    """
    settled = {role: (n, TOLD) for role, n in told.items()}
    settled |= {role: (n, REMEMBERED) for role, n in (remembered or {}).items()}
    found = {role: (number, why) for role, (number, why) in settled.items() if number}
    barred = set(settled) - set(found)
    claims = _claims(sheet, found, barred)
    if not barred & set(COUNTS_OF_A_RATE):
        found |= _by_arithmetic(sheet, found, claims)
    found |= _by_words(sheet, found, claims)
    for source in (_loose, _close):
        found |= source(sheet, found, barred)
    if "card" not in found:
        found |= _card_by_distinctness(sheet, found)
    _demand(sheet, found)
    return tuple(
        Assignment(
            role, found[role][0], sheet.grid.label(found[role][0]),
            sheet.samples(found[role][0]), found[role][1],
        )
        for role in ROLES
        if role in found
    )  # fmt: skip


def _claims(sheet: Sheet, found: Found, barred: set[str]) -> Claims:
    """Collect the columns whose header is a plain word for a role."""
    claims: Claims = {}
    taken = {number for number, _ in found.values()}
    for number in sheet.numbers:
        role = plain_role(sheet.grid.headers[number - 1])
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
        known = {"card": found["card"][0]} if "card" in found else {}
        answers = [{"wins": wins, "games": games} for wins, games in sorted(pairs)]
        cards = known or _card_for_asking(sheet, found, claims)
        what = f"{len(answers)} sets of columns could be wins and games"
        raise unclear(sheet, what, answers, cards)
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


def _loose(sheet: Sheet, found: Found, barred: set[str]) -> Found:
    claims: Claims = {}
    for number in _free(sheet, found):
        role = loose_role(sheet.grid.headers[number - 1])
        if role and role not in {*found, *barred}:
            claims.setdefault(role, []).append(number)
    return _by_words(sheet, found, claims)


def _close(sheet: Sheet, found: Found, barred: set[str]) -> Found:
    claims: dict[str, list[tuple[int, str]]] = {}
    for number in _free(sheet, found):
        close = close_role(sheet.grid.headers[number - 1])
        if close and close[0] not in {*found, *barred} and _suits(sheet, number, close[0]):
            claims.setdefault(close[0], []).append((number, close[1]))
    for role, near in claims.items():
        if len(near) > 1:
            raise _tie(sheet, role, [number for number, _ in near], found)
    return {
        role: (number, f'its header "{sheet.grid.headers[number - 1]}" is close to "{word}"')
        for role, [(number, word)] in claims.items()
    }


def _suits(sheet: Sheet, number: int, role: str) -> bool:
    """Tell whether a column holds text or numbers as a role wants it."""
    return sheet.holds_numbers(number) == (ROLES[role].kind not in {"name", "label"})


def _free(sheet: Sheet, found: Found) -> list[int]:
    taken = {number for number, _ in found.values()}
    return [n for n in sheet.numbers if n not in taken and sheet.grid.headers[n - 1]]


def _tie(sheet: Sheet, role: str, numbers: list[int], found: Found) -> Exception:
    word = ROLES[role].heading.lower()
    known = {name: n for name, (n, _) in found.items() if name in {"card", "wins", "games"}}
    answers = [{role: number} for number in numbers]
    return unclear(sheet, f"{len(numbers)} columns could be {word}", answers, known)


def _card_by_distinctness(sheet: Sheet, found: Found) -> Found:
    texts = _texts(sheet, found)
    distinct = [n for n in texts if _distinct_share(sheet, n) >= NEARLY_ALL]
    if len(distinct) == 1:
        cells = [cell.casefold() for cell in sheet.grid.column(distinct[0]) if cell]
        why = f"text, {len(set(cells))} of {len(cells)} values differ"
        return {"card": (distinct[0], why)}
    if len(texts) == 1:
        return {"card": (texts[0], "the only column of text")}
    return {}


def _texts(sheet: Sheet, found: Found) -> list[int]:
    taken = {number for number, _ in found.values()}
    return [
        n
        for n in sheet.numbers
        if n not in taken and not sheet.holds_numbers(n) and sheet.samples(n, 1)
    ]


def _distinct_share(sheet: Sheet, number: int) -> float:
    cells = [cell.casefold() for cell in sheet.grid.column(number) if cell]
    return len(set(cells)) / len(sheet.grid.rows)


def _card_for_asking(sheet: Sheet, found: Found, claims: Claims) -> dict[str, int]:
    if claims.get("card"):
        return {"card": claims["card"][0]}
    card = _card_by_distinctness(sheet, found)
    texts = [card["card"][0]] if card else _texts(sheet, found)
    return {"card": texts[0]} if texts else {}


def _demand(sheet: Sheet, found: Found) -> None:
    missing = [] if "card" in found else ["card"]
    if "games" not in found and not {"wins", "losses"} <= set(found):
        missing.append("games")
    if not {"wins", "win_rate"} & set(found):
        missing.append("wins")
    if missing:
        settled = {role: number for role, (number, _) in found.items()}
        what = f"cannot tell which column holds {' and '.join(missing)}"
        raise unclear(sheet, what, guess(sheet, settled), {})
