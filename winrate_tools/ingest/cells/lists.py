"""Several names in one cell, parted by semicolons or bars."""

import re
from dataclasses import dataclass

from winrate_tools.ingest.cells.names import NO_LABEL, blanks_note, one_spelling, respelt, tidy
from winrate_tools.ingest.roles.view import View

BETWEEN = re.compile(r"[;|\n]")


@dataclass(frozen=True, slots=True)
class ListColumn:
    """Names of each cell in one spelling each, with what was respelt."""

    lists: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


def read_lists(view: View, role: str) -> ListColumn:
    """Read a column of lists, each name once a cell; a table without it has empty ones."""
    if role not in view.where:
        return ListColumn(((),) * len(view.card))
    cells = view.sheet.grid.column(view.where[role])
    written = [split_list(cell) for cell in cells]
    spelling = one_spelling([name for names in written for name in names])
    lists = tuple(tuple(dict.fromkeys(spelling[name] for name in names)) for names in written)
    parts = [part for cell in cells for part in BETWEEN.split(cell)]
    return ListColumn(lists, (*blanks_note(role, parts), *respelt(role, spelling)))


def split_list(cell: str) -> list[str]:
    """Part the names of a cell.

    Examples
    --------
    >>> split_list("Honey & Thyme; River Lights |Recipe Book")
    ['Honey & Thyme', 'River Lights', 'Recipe Book']
    """
    names = [tidy(part) for part in BETWEEN.split(cell)]
    return [name for name in names if name not in NO_LABEL]
