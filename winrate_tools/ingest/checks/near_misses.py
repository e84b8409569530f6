"""Rare labels that are very like a frequent one: most likely slips of the pen."""

import difflib
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import Labels
from winrate_tools.ingest.roles.view import View, word

RARE = 0.01
"""Share of the rows below which a label may be a slip."""
OFTEN = 10
"""How many times as often the label it is like must stand."""
LIKE = 0.85
"""Similarity ratio from which two labels are very like each other."""


def near_misses(view: View, labels: Mapping[str, Labels], rows: Sequence[int]) -> Iterator[str]:
    """Say which rare labels of a column are very like a frequent one.

    Parameters
    ----------
    view : View
        The file and its roles.
    labels : mapping of str to sequence of (str or None)
        Label columns, in one spelling each.
    rows : sequence of int
        Rows to look at, in file order.

    Yields
    ------
    str
        A note for each such label, with the first line that it stands on.
    """
    for role, column in labels.items():
        count = Counter(column[row] for row in rows if column[row] is not None)
        rare = {label for label, n in count.items() if label and n < RARE * len(rows)}
        for label in sorted(rare):
            often = [known for known, n in count.items() if n >= OFTEN * count[label]]
            meant = likest(label, [known for known in often if known])
            if meant is None:
                continue
            line = view.line_of(next(row for row in rows if column[row] == label))
            yield (
                f"{word(role)} {label!r} stands in {_rows(count[label])} only (first on "
                f"{line}) and is taken for one of its own: did you mean {meant!r}?"
            )


def missing_beside(labels: Collection[str], known: Collection[str]) -> Iterator[str]:
    """Say which archetypes of cards a table of archetypes lacks, and which it may mean.

    Parameters
    ----------
    labels : collection of str
        Archetypes of the table of cards.
    known : collection of str
        Those of the table of archetypes.

    Yields
    ------
    str
        A note for each one that is not there and very like one that is.

    Examples
    --------
    >>> list(missing_beside(["Kites", "Moorlicht"], ["Kites", "Moorlichter"]))
    ["archetype 'Moorlicht' is not in the table of archetypes: did you mean 'Moorlichter'?"]
    """
    there = {folded(name) for name in known}
    for label in dict.fromkeys(labels):
        meant = likest(label, known) if folded(label) not in there else None
        if meant is not None:
            missing = f"archetype {label!r} is not in the table of archetypes"
            yield f"{missing}: did you mean {meant!r}?"


def likest(label: str, known: Collection[str]) -> str | None:
    """Return the known label that is very like another, numbers in both being the same.

    Examples
    --------
    >>> likest("Moorlicher", ["Irrwische", "Moorlichter"])
    'Moorlichter'
    >>> likest("Rank of ten 1", ["Rank of ten 2"])
    """
    same = {folded(one): one for one in known if _numbers(one) == _numbers(label)}
    close = difflib.get_close_matches(folded(label), same, n=1, cutoff=LIKE)
    return same[close[0]] if close else None


def _numbers(label: str) -> list[str]:
    """Return what parts of a series differ by: digits, and single letters."""
    return [part for part in label.split() if any(map(str.isdigit, part)) or len(part) == 1]


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"
