"""Unused columns that may well hold what no column was found for."""

from collections.abc import Collection, Iterator, Mapping
from itertools import permutations

import numpy as np

from winrate_tools.ingest.cells.choices import YES_NO
from winrate_tools.ingest.roles.asking import paste_line
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.tables import Numbers

YES_OR_NO = frozenset({"protected", "first_seat"})
"""Roles whose cells say yes or no."""
YES_NO_WORDS = frozenset(word for words in YES_NO for word in words.split(", "))
USE = ("mean_pick", "drafted", "played")
"""Roles that tell how drafters use a card."""
MOST_TRIED = 12
"""Columns of whole numbers of which two are looked for."""
MOST_LABELS = 0.5
"""Share of the rows that a column of labels may have different labels."""


def overlooked(sheet: Sheet, where: Mapping[str, int]) -> Iterator[str]:
    """Say what no column was found for, and which unused columns may be meant.

    Yields
    ------
    str
        At most one sentence for labels and one for how drafters use cards, which end in
        options to paste; none where there is a column, or no unused one may be it.
    """
    yield from _labels_overlooked(sheet, where)
    yield from _use_overlooked(sheet, where)


def _use_overlooked(sheet: Sheet, where: Mapping[str, int]) -> Iterator[str]:
    """Speak of use only where nothing tells of it."""
    if not {*USE} <= {*sheet.kind.roles} - {*where}:
        return
    free = [n for n in sheet.numbers if n not in where.values() and sheet.holds_numbers(n)]
    columns = {n: column for n in free if (column := _plain_numbers(sheet, n)) is not None}
    meant = dict(_meant_use(columns))
    if meant:
        yield (
            "no column was found for mean pick, drafted, played; unused columns of numbers: "
            f"{', '.join(map(sheet.grid.label, columns))}. If some of them are meant, say so, "
            f"perhaps: {paste_line(sheet, meant)}"
        )


def _plain_numbers(sheet: Sheet, number: int) -> Numbers | None:
    """Return the numbers of a column if they may count or average anything."""
    column = sheet.read(number)
    known = column.values[~np.isnan(column.values)]
    counts_rows = bool((np.diff(known) == 1).all())
    return None if column.percent.any() or counts_rows or (known < 0).any() else column.values


def _meant_use(columns: Mapping[int, Numbers]) -> Iterator[tuple[str, int]]:
    """Guess fractions from 1 to be mean picks, and whole numbers to be copies."""
    whole = [n for n, values in columns.items() if (np.nan_to_num(values) % 1 == 0).all()]
    picks = [n for n, values in columns.items() if n not in whole and np.nanmin(values) >= 1]
    if picks:
        yield "mean_pick", picks[0]
    for drafted, played in permutations(whole[:MOST_TRIED], 2):
        if (np.nan_to_num(columns[played]) <= np.nan_to_num(columns[drafted])).all():
            yield from (("drafted", drafted), ("played", played))
            return


def _labels_overlooked(sheet: Sheet, where: Mapping[str, int]) -> Iterator[str]:
    kind = sheet.kind
    wanted = [*kind.attributes, *(role for role in kind.roles if role in YES_OR_NO)]
    missing = [role for role in wanted if role not in {*where, "slot"}]
    columns = {n: _labels(sheet, n) for n in sheet.numbers if n not in where.values()}
    columns = {
        n: found
        for n, found in columns.items()
        if 1 < len(found) <= MOST_LABELS * len(sheet.grid.rows)
    }
    meant = dict(_meant(columns, missing))
    if not meant:
        return
    yield (
        f"no column was found for {', '.join(missing)}; unused: "
        f"{', '.join(map(sheet.grid.label, columns))}. If one of them is meant, say so, for "
        f"example: {paste_line(sheet, meant)}"
    )


def _labels(sheet: Sheet, number: int) -> frozenset[str]:
    if sheet.holds_numbers(number):
        return frozenset()
    return frozenset(cell.casefold() for cell in sheet.grid.column(number) if cell)


def _meant(
    columns: Mapping[int, Collection[str]], missing: Collection[str]
) -> Iterator[tuple[str, int]]:
    """Guess a column of yes and no to be what is asked so, and the first of the others."""
    yes_no = [n for n, labels in columns.items() if YES_NO_WORDS.issuperset(labels)]
    others = [n for n in columns if n not in yes_no]
    asked = [role for role in missing if role in YES_OR_NO]
    labels = [role for role in missing if role not in YES_OR_NO]
    if others and labels:
        yield labels[0], others[0]
    if yes_no and asked:
        yield asked[0], yes_no[0]
