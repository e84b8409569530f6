"""The same card twice: refused, or added up where the user says so."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import Labels
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.apart import apart_words, columns_apart
from winrate_tools.ingest.roles.asking import paste_line
from winrate_tools.ingest.roles.view import View
from winrate_tools.sums import added_up, first_known
from winrate_tools.tables import STRATA, Numbers

MANY = 0.1
"""Share of repeated rows from which on they are no slip, if a column tells them apart."""
FIX = "delete one line, or add both up with --sum-duplicates"
FIX_WITH_STRATA = (
    "delete one line, add both up with --sum-duplicates, or name the column that tells them "
    "apart with {}"
)


def find_duplicates(
    card: Sequence[str], labels: Mapping[str, Labels], rows: Sequence[int]
) -> dict[int, int]:
    """Map each row that repeats a card, archetype and skill band to the first with these.

    Parameters
    ----------
    card : sequence of str
        Names.
    labels : dict of str to sequence of (str or None)
        Label columns, in one spelling each; the strata among them count.
    rows : sequence of int
        Rows to look at, in file order.

    Examples
    --------
    >>> find_duplicates(["Ash Vine", "Tin Moth", "ASH  VINE"], {}, range(3))
    {2: 0}
    """
    one = {name: folded(name) for name in set(card)}
    strata = [labels[role] for role in STRATA if role in labels]
    keys = list(zip([one[name] for name in card], *strata, strict=True))
    first: dict[tuple[str | None, ...], int] = {}
    repeats: dict[int, int] = {}
    for row in rows:
        start = first.setdefault(keys[row], row)
        if start != row and card[row]:
            repeats[row] = start
    return repeats


def report_duplicates(
    view: View, repeats: dict[int, int], labels: Mapping[str, Labels]
) -> Iterator[Finding]:
    """Say of each repeated card on which lines it stands, or what tells them all apart.

    Yields
    ------
    Finding
        One a repeat; a single one, which leaving out rows does not mend, where many rows
        repeat a name and unused columns tell them apart.
    """
    kind = view.sheet.kind
    if untold := untold_strata(view, repeats, labels):
        yield untold
        return
    fix = fix_of_repeats(kind.strata, view.where)
    for row, first in repeats.items():
        message = f"{view.card[row]!r} is listed twice, first on {view.line_of(first)}"
        yield view.finding(row, kind.name, message, fix)


def fix_of_repeats(strata: Collection[str], where: Collection[str]) -> str:
    """Say what to do about a name that is listed twice.

    Examples
    --------
    >>> fix_of_repeats(["archetype", "skill_band"], {"card", "archetype"})[-20:]
    '--map skill_band=...'
    """
    options = " or ".join(f"--map {role}=..." for role in strata if role not in where)
    return FIX_WITH_STRATA.format(options) if options else FIX


def untold_strata(
    view: View, repeats: dict[int, int], labels: Mapping[str, Labels]
) -> Finding | None:
    """Say which unused columns tell rows apart, where many of them repeat a name.

    Returns
    -------
    Finding or None
        What leaving out rows does not mend; None where repeats are few, or stay repeats.
    """
    if len(repeats) < MANY * len(view.card):
        return None
    sheet, row_name = view.sheet, view.sheet.kind.name
    strata = [labels[role] for role in sheet.kind.strata if role in labels]
    keys = list(zip(map(folded, view.card), *strata, strict=True))
    apart = columns_apart(sheet, keys, view.where)
    if not apart:
        return None
    message = (
        f"{len(repeats):,} of {len(view.card):,} rows repeat an earlier {row_name}, this one "
        f"the first; {apart_words(sheet, apart, view.where)}"
    )
    fix = paste_line(sheet, apart)
    found = sheet.grid.finding(next(iter(repeats)), view.where[row_name], message, fix)
    return replace(found, fatal=True)


def add_up(
    numbers: dict[str, Numbers], labels: Mapping[str, Labels], repeats: dict[int, int]
) -> tuple[dict[str, Numbers], Mapping[str, Labels]]:
    """Add repeated rows to the first of their kind, as `winrate_tools.sums.added_up` does."""
    if not repeats:
        return numbers, labels
    rows = len(numbers["games"])
    code = np.arange(rows)
    code[list(repeats)] = list(repeats.values())
    first = sorted(set(repeats.values()))
    summed = added_up(numbers, code, rows)
    numbers = {role: values.copy() for role, values in numbers.items()}
    for role, values in numbers.items():
        values[first] = summed[role][first]
    return numbers, {role: first_known(told, code, rows) for role, told in labels.items()}
