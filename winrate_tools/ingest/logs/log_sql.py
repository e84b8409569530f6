"""The counts of a log as one statement of SQL, for those who keep theirs in DuckDB."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from winrate_tools.ingest.logs.label_codes import CutBands
from winrate_tools.ingest.logs.log_roles import LogRoles
from winrate_tools.ingest.logs.log_words import NO, YES
from winrate_tools.ingest.text.grid import Grid

HANDS = """\
  sum(held) AS games, sum(held * won) AS wins,
  sum(deck - held) AS unheld_games, sum((deck - held) * won) AS unheld_wins"""
DECKS = """\
  sum(deck) AS games, sum(deck * won) AS wins"""


def log_sql(path: str, head: Grid, roles: LogRoles, skill_cuts: Sequence[float] = ()) -> str:
    """Write the statement that counts a log as `ingest.logs.logs.count_logs` does.

    Returns
    -------
    str
        One row a card, archetype and skill band. It takes every row for sound: what the tally
        would refuse, it counts, or leaves out.
    """
    keys = ", ".join(["card", *_strata(roles)])
    return (
        f"WITH log AS (\n  SELECT {_games(head, roles, skill_cuts)}\n"
        f"  FROM {_table(path, head)}\n"
        f"), copies AS (\n{_copies(roles)}\n)\n"
        f"SELECT {keys},\n{HANDS if roles.knows_hands else DECKS}\n"
        f"FROM copies WHERE won IS NOT NULL AND card <> ''\n"
        f"GROUP BY {keys} HAVING sum(deck) > 0 ORDER BY {keys};\n"
    )


def _games(head: Grid, roles: LogRoles, cuts: Sequence[float]) -> str:
    won = f"lower(trim({_column(head, roles.where['won'])}))"
    parts = [
        f"CASE WHEN {won} IN ({_words(YES)}) THEN 1 WHEN {won} IN ({_words(NO)}) THEN 0 END "
        "AS won"
    ]
    if "archetype" in roles.where:
        parts.append(_label(_column(head, roles.where["archetype"]), "archetype"))
    if "skill" in roles.where:
        skill = _column(head, roles.where["skill"])
        parts.append(_bands(skill, cuts) if cuts else _label(skill, "skill_band"))
    return ",\n    ".join([*parts, *_cards(head, roles)])


def _cards(head: Grid, roles: LogRoles) -> list[str]:
    """Carry the columns of cards on."""
    if roles.layout == "wide":
        numbers = [*roles.deck.values(), *roles.held.values()]
        return [
            f"coalesce(try_cast({_column(head, n)} AS INTEGER), 0) AS c{n}" for n in numbers
        ]
    names = [role for role in ("card", "cards", "held") if role in roles.where]
    return [f"{_column(head, roles.where[role])} AS {role}" for role in names]


def _copies(roles: LogRoles) -> str:
    """Select a row a copy, or a row a game and card with its copies."""
    held = "held" if roles.knows_hands else "NULL"
    if roles.layout == "long":
        was_held = f"(lower(trim({held})) IN ({_words(YES)}))::INTEGER AS held"
        return f"  SELECT {_kept(roles)}, trim(card) AS card, 1 AS deck, {was_held} FROM log"
    if roles.layout == "wide":
        each = [
            f"{{'card': {_text(card)}, 'deck': c{n}, 'held': {_held_name(roles, card)}}}"
            for card, n in roles.deck.items()
        ]
        inner = ",\n    ".join(each)
        return f"  SELECT {_kept(roles)}, unnest([{inner}], recursive := true) FROM log"
    parts = [("cards", 1, 0), *([("held", 0, 1)] if roles.knows_hands else [])]
    mark = _text(roles.mark)
    return "\n  UNION ALL\n".join(
        f"  SELECT {_kept(roles)}, trim(unnest(string_split({column}, {mark}))) AS card, "
        f"{deck} AS deck, {in_hand} AS held FROM log"
        for column, deck, in_hand in parts
    )


def _kept(roles: LogRoles) -> str:
    return ", ".join(["won", *_strata(roles)])


def _strata(roles: LogRoles) -> list[str]:
    sources = {"archetype": "archetype", "skill_band": "skill"}
    return [name for name, source in sources.items() if source in roles.where]


def _held_name(roles: LogRoles, card: str) -> str:
    return f"c{roles.held[card]}" if roles.held else "0"


def _label(column: str, name: str) -> str:
    return f"nullif(trim({column}), '') AS {name}"


def _bands(column: str, cuts: Sequence[float]) -> str:
    names = CutBands(cuts).names
    value = f"try_cast({column} AS DOUBLE)"
    whens = [
        f"WHEN {value} < {cut!r} THEN {_text(name)}"
        for cut, name in zip(cuts, names[:-1], strict=True)
    ]
    whens.append(f"WHEN {value} IS NOT NULL THEN {_text(names[-1])}")
    return f"CASE {' '.join(whens)} END AS skill_band"


def _table(path: str, head: Grid) -> str:
    if Path(path).suffix == ".parquet":
        return f"read_parquet({_text(path)})"
    skip = f", skip = {head.header_line - 1}" if head.header_line else ""
    return (
        f"read_csv({_text(path)}, delim = {_text(head.delimiter)}, header = true, "
        f"all_varchar = true{skip})"
    )


def _column(head: Grid, number: int) -> str:
    return f"{_name(head.headers[number - 1])}"


def _name(text: str) -> str:
    quoted = text.replace('"', '""')
    return f'"{quoted}"'


def _text(text: str) -> str:
    quoted = text.replace("'", "''")
    return f"'{quoted}'"


def _words(words: Iterable[str]) -> str:
    return ", ".join(_text(word) for word in sorted(words))
