"""Ranges as bars, seen on the side of a line that their verdict says."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from winrate_tools.report.figures.frame import grouped, pixels, rules

CLEAR = 1.0
"""Pixels between a line and the end of a bar that does not touch it."""


class Mark(NamedTuple):
    """How a verdict is told apart: its class, which has a colour, and its shape."""

    tone: str
    glyph: str


class Row(NamedTuple):
    """A range on the row at a height, and what it says; pixels."""

    mark: Mark
    y: float
    low: float
    centre: float
    high: float


def apart(end: float, line: float, side: int | None) -> float:
    """Place the end of a bar so that it is seen on its own side of a line.

    Parameters
    ----------
    end, line : float
        Pixels.
    side : int or None
        -1 for left of the line, 1 for right of it, None for wherever it is.

    Returns
    -------
    float
        At most `CLEAR` from where it was, if it was on that side.

    Examples
    --------
    >>> apart(99.9, 100.0, -1), apart(80.0, 100.0, -1), apart(99.9, 100.0, None)
    (99.0, 80.0, 99.9)
    """
    if side is None:
        return end
    return max(end, line + CLEAR) if side > 0 else min(end, line - CLEAR)


def ranges(rows: Iterable[Row], classes: str = "range") -> str:
    """Draw the ranges of rows that look alike as one line."""
    return rules(classes, across=((row.low, row.high, row.y) for row in rows))


def alike(rows: Iterable[Row]) -> dict[Mark, list[Row]]:
    """Gather rows by their marks, in the order in which marks first appear."""
    found: dict[Mark, list[Row]] = {}
    for row in rows:
        found.setdefault(row.mark, []).append(row)
    return found


def glyphs(rows: Sequence[Row], x: float) -> str:
    """Write the glyphs of rows that look alike as one text, each on its own row."""
    starts, heights = (
        " ".join(map(pixels, values))
        for values in ([x] * len(rows), [row.y + 3 for row in rows])
    )
    written = "".join(row.mark.glyph for row in rows)
    return f'<text class="mark" x="{starts}" y="{heights}">{written}</text>'


def dots(name: str, rows: Iterable[Row]) -> Iterator[str]:
    """Draw estimates as dots that are hollow: what they are drawn with, and the ground on it.

    Parameters
    ----------
    name : str
        Id of all dots.
    rows : iterable of Row

    Yields
    ------
    str
        A line for each look, of which only the round ends are seen; and its use, in the
        colour of the ground.
    """
    lines = "".join(
        f'<path class="{mark.tone}" d="{"".join(map(_point, found))}"/>'
        for mark, found in alike(rows).items()
    )
    yield grouped("dot", [f'<g id="{name}">{lines}</g>'])
    yield f'<use class="hole" href="#{name}"/>'


def _point(row: Row) -> str:
    return f"M{pixels(row.centre)} {pixels(row.y)}h0"
