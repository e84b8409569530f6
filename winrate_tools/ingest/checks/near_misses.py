"""Rare labels that are very like a frequent one: most likely slips of the pen."""

import difflib
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import Labels
from winrate_tools.ingest.checks.findings import counted
from winrate_tools.ingest.roles.view import View, word

RARE = 0.01
"""Share of the rows below which a label may be a slip."""
OFTEN = 10
"""How many times as often the label it is like must stand."""
LIKE = 0.85
"""Similarity ratio from which two labels are very like each other."""


def near_misses(view: View, labels: Mapping[str, Labels], rows: Sequence[int]) -> Iterator[str]:
    """Say which rare labels of a column are very like a frequent one, and where they stand."""
    for role, column in labels.items():
        count = Counter(label for row in rows if (label := column[row]))
        for label, meant in slips(count, len(rows)):
            line = view.line_of(next(row for row in rows if column[row] == label))
            yield slip_note(role, label, count[label], line, meant)


def slips(count: Mapping[str, int], rows: int) -> Iterator[tuple[str, str]]:
    """Pair rare labels, of which so many rows have each, with the frequent ones they are like.

    Examples
    --------
    >>> list(slips({"Moorlichter": 300, "Moorlicher": 1, "Kites": 2}, 303))
    [('Moorlicher', 'Moorlichter')]
    """
    for label in sorted(label for label, n in count.items() if n < RARE * rows):
        often = [known for known, n in count.items() if n >= OFTEN * count[label]]
        meant = likest(label, often)
        if meant is not None:
            yield label, meant


def slip_note(role: str, label: str, count: int, line: str, meant: str) -> str:
    """Say where a rare label stands, and which one it may be meant for."""
    return (
        f"{word(role)} {label!r} stands in {counted(count, 'row')} only (first on {line}) and "
        f"is taken for one of its own: did you mean {meant!r}?"
    )


def missing_beside(labels: Collection[str], known: Collection[str]) -> Iterator[str]:
    """Say which archetypes of cards a table of archetypes lacks, and which it may mean.

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
