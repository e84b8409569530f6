"""The same card twice: refused, or added up where the user says so."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from winrate_tools.ingest.cells.names import Labels, fold
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.view import View
from winrate_tools.tables import ATTRIBUTES, COUNTS, PAIRS, STRATA, Flags, Numbers

FIX = "delete one line, or add both up with --sum-duplicates"
FIX_WITH_STRATA = (
    "delete one line, add both up with --sum-duplicates, or name the column that tells them "
    "apart with {}"
)


def find_duplicates(
    card: Sequence[str], labels: Mapping[str, Labels], rows: Sequence[int]
) -> dict[int, int]:
    """Find rows that repeat an earlier card, archetype and skill band.

    Parameters
    ----------
    card : sequence of str
        Names.
    labels : dict of str to sequence of (str or None)
        Label columns, in one spelling each; the strata among them count.
    rows : sequence of int
        Rows to look at, in file order.

    Returns
    -------
    dict of int to int
        Later row to the first row with the same key.

    Examples
    --------
    >>> find_duplicates(["Ash Vine", "Tin Moth", "ASH  VINE"], {}, range(3))
    {2: 0}
    """
    folded = {name: fold(name) for name in set(card)}
    strata = [labels[role] for role in STRATA if role in labels]
    first: dict[tuple[str, ...], int] = {}
    repeats: dict[int, int] = {}
    for row in rows:
        key = (folded[card[row]], *(column[row] or "" for column in strata))
        if card[row] and first.setdefault(key, row) != row:
            repeats[row] = first[key]
    return repeats


def report_duplicates(view: View, repeats: dict[int, int]) -> Iterator[Finding]:
    """Say of each repeated card on which lines it stands."""
    kind = view.sheet.kind
    options = " or ".join(f"--map {role}=..." for role in kind.strata)
    fix = FIX_WITH_STRATA.format(options) if options else FIX
    for row, first in repeats.items():
        message = f"{view.card[row]!r} is listed twice, first on {view.line_of(first)}"
        yield view.finding(row, kind.name, message, fix)


def add_up(
    numbers: dict[str, Numbers], labels: Mapping[str, Labels], repeats: dict[int, int]
) -> tuple[dict[str, Numbers], Mapping[str, Labels]]:
    """Add repeated rows to the first of their kind.

    Counts are summed over the rows that know them, and games only over the rows that know
    their wins, if any does (likewise unheld games and drafted copies); other numbers are
    means weighted by games; a label is the first known one.
    """
    numbers = {role: values.copy() for role, values in numbers.items()}
    filled: dict[str, list[str | None]] = {
        role: list(column) for role, column in labels.items()
    }
    weight = np.nan_to_num(numbers["games"]) + EVEN
    for part, whole in PAIRS:
        if part in numbers and whole in numbers:
            numbers[whole][_rows_to_drop(np.isnan(numbers[part]), repeats)] = np.nan
    for row, first in repeats.items():
        for role, values in numbers.items():
            shares = (1.0, 1.0) if role in COUNTS else (weight[first], weight[row])
            values[first] = _joined(values[first], values[row], shares, role in COUNTS)
        weight[first] += weight[row]
        for role in ATTRIBUTES:
            if role in filled:
                filled[role][first] = filled[role][first] or filled[role][row]
    return numbers, dict(filled)


def _rows_to_drop(unknown: Flags, repeats: Mapping[int, int]) -> list[int]:
    """List rows that know no part, such as wins, beside rows of the same card that do."""
    group = {**repeats, **{first: first for first in repeats.values()}}
    told = {first for row, first in group.items() if not unknown[row]}
    return [row for row, first in group.items() if unknown[row] and first in told]


EVEN = 1e-9
"""Weight of a row without games, so that two such rows count alike."""


def _joined(one: float, other: float, shares: tuple[float, float], is_count: bool) -> float:
    if np.isnan(one) or np.isnan(other):
        return other if np.isnan(one) else one
    if is_count:
        return one + other
    return (one * shares[0] + other * shares[1]) / sum(shares)
