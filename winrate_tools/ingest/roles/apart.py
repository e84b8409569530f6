"""Which unused columns of text tell rows apart that repeat a name."""

from collections.abc import Collection, Hashable, Mapping, Sequence
from itertools import combinations

from winrate_tools.ingest.text.sheet import Sheet

STILL_ALIKE = 0.01
"""Share of the repeated rows that may go on repeating once columns tell the others apart."""


def columns_apart(
    sheet: Sheet, keys: Sequence[Hashable], where: Mapping[str, int]
) -> dict[str, int]:
    """Find one or two unused columns of text that tell rows of the same key apart.

    Parameters
    ----------
    sheet : Sheet
        The file.
    keys : sequence of hashable, shape (rows,)
        What tells the rows apart so far: the name of each, with the strata that are known.
    where : mapping of str to int
        Roles that are settled, role to column number.

    Returns
    -------
    dict of str to int
        Stratum to column number, the finer column first; empty where rows do not repeat, or
        no columns of fewer labels than there are keys tell them apart.
    """
    roles = [role for role in sheet.kind.strata if role not in where]
    repeats = len(keys) - len(set(keys))
    if not (roles and repeats):
        return {}
    labels = _labels(sheet, set(where.values()), most=len(set(keys)))
    found = (
        chosen
        for size in range(1, len(roles) + 1)
        for chosen in combinations(labels, size)
        if _alike(keys, [labels[n] for n in chosen]) <= STILL_ALIKE * repeats
    )
    finest_first = sorted(next(found, ()), key=lambda n: -len(set(labels[n])))
    return dict(zip(roles, finest_first, strict=False))


def apart_words(sheet: Sheet, apart: Mapping[str, int], where: Collection[str]) -> str:
    """Say that columns tell the rows apart, and what one column may be instead."""
    named = " and ".join(map(sheet.grid.label, apart.values()))
    if len(apart) > 1:
        return f"{named} together tell the rows apart"
    others = [role for role in sheet.kind.strata if role not in {*where, *apart}]
    or_else = f", as {next(iter(apart))} or {others[0]}" if others else ""
    return f"{named} tells the rows apart{or_else}"


def _labels(sheet: Sheet, taken: Collection[int], most: int) -> dict[int, Sequence[str]]:
    """Read the unused columns of text that repeat their labels, those of few labels first."""
    texts = [n for n in sheet.numbers if n not in taken and not sheet.holds_numbers(n)]
    columns = {n: [cell.casefold() for cell in sheet.grid.column(n)] for n in texts}
    fit = {n: cells for n, cells in columns.items() if 1 < len(set(cells)) < most}
    return dict(sorted(fit.items(), key=lambda item: len(set(item[1]))))


def _alike(keys: Sequence[Hashable], columns: Sequence[Sequence[str]]) -> int:
    return len(keys) - len(set(zip(keys, *columns, strict=True)))
