"""Cells of number columns that say in a word that the number is not known."""

from collections import Counter
from collections.abc import Iterator

from winrate_tools.ingest.cells.numbers import is_unknown
from winrate_tools.ingest.checks.findings import first_few
from winrate_tools.ingest.roles.view import View

NUMBERS = frozenset({"count", "rate", "number"})


def unknown_words(view: View) -> Iterator[str]:
    """Say how many cells were taken as unknown, and as which word.

    Parameters
    ----------
    view : View
        The file and its roles.

    Yields
    ------
    str
        A note for each column with such cells; blank ones go without saying.
    """
    for role, number in view.where.items():
        if view.sheet.kind.roles[role].kind not in NUMBERS:
            continue
        cells = map(str.strip, view.sheet.grid.column(number))
        count = Counter(cell for cell in cells if cell and is_unknown(cell))
        if count:
            cells_said = "1 cell" if count.total() == 1 else f"{count.total():,} cells"
            said = first_few([f"{word!r} ({n:,})" for word, n in count.most_common()])
            yield f"{view.sheet.grid.label(number)}: {cells_said} taken as unknown: {said}"
