"""What to ask when nobody can tell which column holds what."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice, product

import numpy as np

from winrate_tools.errors import MappingError
from winrate_tools.ingest.checks.findings import excerpt
from winrate_tools.ingest.roles.apart import apart_words, columns_apart
from winrate_tools.ingest.roles.kinds import Kind
from winrate_tools.ingest.roles.mapping import MOST_LISTED
from winrate_tools.ingest.roles.recognition import other_kind
from winrate_tools.ingest.text.sheet import Sheet

MOST_CANDIDATES = 9
MOST_PAIRS = 20_000
"""Pairs of columns that are tried before the reader asks without a proposal."""
ROLE_ORDER = ("wins", "games", "win_rate", "losses")
"""After the role that names the rows."""
_PLAIN_HEADER = re.compile(r"[\w %.#()/:+-]*[^\W\d][\w %.#()/:+-]*")


def unclear(
    sheet: Sheet,
    what: str,
    candidates: Sequence[Mapping[str, int]],
    known: Mapping[str, int],
    instead: Sequence[str] = (),
) -> MappingError:
    """Make the error that asks for a mapping.

    Parameters
    ----------
    sheet : Sheet
        The file.
    what : str
        What cannot be told, in words.
    candidates : sequence of mapping of str to int
        Possible answers, role to column number, likeliest first.
    known : mapping of str to int
        Roles that are settled.
    instead : sequence of str, optional
        Roles that would do in place of what cannot be told.

    Returns
    -------
    MappingError
        Its message lists the columns and the candidates, and ends in a line to paste.
    """
    other = other_kind(sheet.grid.headers, sheet.kind)
    lines = [f"{sheet.grid.name}: {_mistaken(sheet, what, other)}"]
    if other is not None:
        lines += ["  such a one is for:", f"    winrate-tools {other.use}"]
        candidates = candidates if other.counted and sheet.kind.counted else []
    lines += ["  columns:"]
    lines += [f"    {n}  {_describe(sheet, n)}" for n in sheet.numbers[:MOST_LISTED]]
    if len(sheet.numbers) > MOST_LISTED:
        lines.append(f"    and {len(sheet.numbers) - MOST_LISTED} more")
    candidates = candidates[:MOST_CANDIDATES]
    if len(candidates) > 1:
        lines.append("  it could be:")
        lines += [f"    {k}  {_words(sheet, one)}" for k, one in enumerate(candidates, 1)]
    answer = {**known, **candidates[0]} if candidates else known
    if apart := {role: answer[role] for role in sheet.kind.strata if role in answer}:
        lines.append(f"  {apart_words(sheet, apart, answer)}")
    lines += [
        f"  {role} alone would do in their place: --map {role}=HEADER" for role in instead
    ]
    if candidates:
        lines += ["  say which, for example:", paste_line(sheet, answer)]
    else:
        told = "" if other is None else f"if it is {sheet.kind.called} all the same, "
        lines += [f"  {told}say which columns hold what, by header or number:"]
        roles = sheet.kind.missing(())
        lines.append(" ".join(f"--map {role}=HEADER" for role in roles))
    return MappingError("\n".join(lines), candidates=tuple(candidates))


def _mistaken(sheet: Sheet, what: str, other: Kind | None) -> str:
    """Say what is open, and that the table looks like another one, if it does."""
    if other is None:
        return what
    wanted = f"{sheet.kind.called} was wanted"
    said = what if what == wanted else f"{what}; {wanted}"
    return f"{said}, and its headers are those of {other.called}"


def paste_line(sheet: Sheet, mapping: Mapping[str, int]) -> str:
    """Write a mapping as options for the command line."""
    order = (sheet.kind.name, *sheet.kind.needed, *ROLE_ORDER)
    roles = sorted(mapping, key=lambda role: (*order, role).index(role))
    return " ".join(f"--map {role}={_option(sheet, mapping[role])}" for role in roles)


def guess(sheet: Sheet, found: Mapping[str, int]) -> list[dict[str, int]]:
    """List answers that the numbers allow, at most 9 and likeliest first."""
    if not sheet.kind.counted:
        return _by_what_they_hold(sheet, found)
    free = [n for n in sheet.numbers if n not in found.values()]
    texts = [n for n in free if not sheet.holds_numbers(n)]
    texts.sort(key=lambda n: -len(set(sheet.grid.column(n))))
    row_name = sheet.kind.name
    names = [found[row_name]] if row_name in found else texts or free
    pairs = _pairs(sheet, found, [n for n in free if sheet.holds_numbers(n)])
    apart = {name: _apart(sheet, found, name) for name in names}
    answers = ({row_name: name, **pair, **apart[name]} for pair in pairs for name in names)
    return list(islice((one for one in answers if _all_differ(one)), MOST_CANDIDATES))


def _apart(sheet: Sheet, found: Mapping[str, int], name: int) -> dict[str, int]:
    """Find what tells rows apart if a column names them, beside the strata that are known."""
    strata = [found[role] for role in sheet.kind.strata if role in found]
    keys = list(zip(*(sheet.grid.column(n) for n in (name, *strata)), strict=True))
    return columns_apart(sheet, keys, {**found, sheet.kind.name: name})


def _by_what_they_hold(sheet: Sheet, found: Mapping[str, int]) -> list[dict[str, int]]:
    """List answers where texts fill roles of text and whole numbers those of counts."""
    free = [n for n in sheet.numbers if n not in found.values()]
    texts = [n for n in free if not sheet.holds_numbers(n)]
    counts = [n for n in free if sheet.holds_numbers(n) and _looks_whole(sheet, n)]
    needed = (sheet.kind.name, *sheet.kind.needed)
    columns = (
        [found[role]] if role in found
        else counts if sheet.kind.roles[role].kind == "count"
        else texts
        for role in needed
    )  # fmt: skip
    filled = islice(product(*columns), MOST_PAIRS)
    answers = (dict(zip(needed, numbers, strict=True)) for numbers in filled)
    return list(islice((one for one in answers if _all_differ(one)), MOST_CANDIDATES))


def _pairs(
    sheet: Sheet, found: Mapping[str, int], free: Sequence[int]
) -> Iterator[dict[str, int]]:
    if "win_rate" in found and "wins" not in found:
        games = [found["games"]] if "games" in found else free
        yield from ({"games": n, "win_rate": found["win_rate"]} for n in games)
        return
    wins = [found["wins"]] if "wins" in found else []
    games = [found["games"]] if "games" in found else []
    counts = [n for n in free if _looks_whole(sheet, n)]
    for part, whole in islice(product(wins or counts, games or counts), MOST_PAIRS):
        if _within(sheet, part, whole):
            yield {"wins": part, "games": whole}


def _looks_whole(sheet: Sheet, number: int) -> bool:
    values = sheet.read(number).values
    known = values[~np.isnan(values)]
    return bool(len(known)) and bool(np.mean(known == np.floor(known)) > 0.5)


def _within(sheet: Sheet, part: int, whole: int) -> bool:
    parts, wholes = sheet.read(part).values, sheet.read(whole).values
    known = ~np.isnan(parts) & ~np.isnan(wholes)
    return bool(known.any()) and bool(np.mean(parts[known] <= wholes[known]) > 0.9)


def _all_differ(answer: Mapping[str, int]) -> bool:
    return len(set(answer.values())) == len(answer)


def _describe(sheet: Sheet, number: int) -> str:
    samples = ", ".join(sheet.samples(number)) or "blank"
    return f"{excerpt(sheet.grid.headers[number - 1]) or '(no header)'}: {samples}"


def _words(sheet: Sheet, answer: Mapping[str, int]) -> str:
    return ", ".join(
        f"{role.replace('_', ' ')} = {sheet.grid.label(number)}"
        for role, number in answer.items()
    )


def _option(sheet: Sheet, number: int) -> str:
    """Name a column so that a shell and `resolve_mapping` read it back."""
    header = sheet.grid.label(number)
    if sheet.grid.headers[number - 1] == header and _PLAIN_HEADER.fullmatch(header):
        return f'"{header}"'
    return str(number)
