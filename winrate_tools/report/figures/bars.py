"""Ranges as bars, seen on the side of a line that their verdict says."""

from typing import NamedTuple

from winrate_tools.report.figures.frame import pixels

CLEAR = 1.0
"""Pixels between a line and the end of a bar that does not touch it."""


class Mark(NamedTuple):
    """How a verdict is told apart: its class, which has a colour, and its shape."""

    tone: str
    glyph: str


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


def bar(low: float, centre: float, high: float) -> str:
    """Draw a range with its estimate, on the row it is put in."""
    return (
        f'<line class="range" x1="{pixels(low)}" x2="{pixels(high)}"/>'
        f'<circle class="dot" cx="{pixels(centre)}" r="3"/>'
    )
