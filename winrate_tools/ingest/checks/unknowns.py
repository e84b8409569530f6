"""Cells of number columns that say in a word that the number is not known."""

from collections import Counter
from collections.abc import Iterator

from winrate_tools.ingest.cells.numbers import is_unknown
from winrate_tools.ingest.checks.findings import first_few
from winrate_tools.ingest.roles.view import View

NUMBERS = frozenset({"count", "rate", "number"})


def unknown_words(view: View) -> Iterator[str]:
    """Say for each column how many cells were taken as unknown, and as which word.

    Blank cells go without saying.
    """
    for role, number in view.where.items():
        if view.sheet.kind.roles[role].kind not in NUMBERS:
            continue
        count = Counter(view.sheet.grid.column(number))
        for cell in [cell for cell in count if not (cell and is_unknown(cell))]:
            del count[cell]
        yield from unknown_note(view.sheet.grid.label(number), count)


def unknown_note(label: str, count: Counter[str]) -> Iterator[str]:
    """Say of a column how many cells were taken as unknown, if any were, and as which word.

    Examples
    --------
    >>> list(unknown_note("Wins", Counter(["n/a", "?", "n/a"])))
    ["Wins: 3 cells taken as unknown: 'n/a' (2), '?' (1)"]
    """
    if count:
        cells_said = "1 cell" if count.total() == 1 else f"{count.total():,} cells"
        said = first_few([f"{word!r} ({n:,})" for word, n in count.most_common()])
        yield f"{label}: {cells_said} taken as unknown: {said}"
