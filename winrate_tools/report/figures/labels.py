"""Names beside dots, placed so that no two lie on each other."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from winrate_tools.report.figures.frame import LETTER, grouped, text
from winrate_tools.report.forms.glyphs import width

HEIGHT = 11.0
AWAY = 7.0
RADIUS = 3.5


class Box(NamedTuple):
    """A place in a picture, in pixels."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Tell whether two places share a pixel."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def is_inside(self, other: "Box") -> bool:
        """Tell whether another place holds all of this one."""
        return (
            other.left <= self.left
            and self.right <= other.right
            and other.top <= self.top
            and self.bottom <= other.bottom
        )


class Label(NamedTuple):
    """A name and where its baseline begins."""

    name: str
    x: float
    y: float


def labels(
    named: Sequence[tuple[str, float, float]], inside: Box, dots: Iterable[tuple[float, float]]
) -> list[Label]:
    """Place names beside their dots, the first ones first; a name without room is left out.

    A name lies on no other name and on no named dot, and on as few other dots as may be.

    Parameters
    ----------
    named : sequence of (str, float, float)
        Names with the centres of their dots.
    inside : Box
        Where labels may lie.
    dots : iterable of (float, float)
        Centres of all dots.

    Returns
    -------
    list of Label
        Those that have room right of their dot, left of it, above or below it.
    """
    avoided = [_around(x, y) for x, y in dots]
    taken = [_around(x, y) for _, x, y in named]
    placed: list[Label] = []
    for name, x, y in named:
        places = _places(x, y, LETTER * width(name))
        free = [
            box for box in places if box.is_inside(inside) and not any(map(box.meets, taken))
        ]
        if free:
            best = min(free, key=lambda box: sum(map(box.meets, avoided)))
            taken.append(best)
            placed.append(Label(name, best.left, best.bottom - 2.5))
    return placed


def written(placed: Iterable[Label]) -> str:
    """Write names where they were placed, over what lies there."""
    return grouped("over", (text(label.x, label.y, label.name) for label in placed))


def _around(x: float, y: float) -> Box:
    return Box(x - RADIUS, y - RADIUS, x + RADIUS, y + RADIUS)


def _places(x: float, y: float, wide: float) -> tuple[Box, ...]:
    half = HEIGHT / 2
    corners = (
        (x + AWAY, y - half),
        (x - AWAY - wide, y - half),
        (x - wide / 2, y - AWAY - HEIGHT + 2),
        (x - wide / 2, y + AWAY - 2),
        (x + AWAY - 2, y + 3),
        (x - AWAY + 2 - wide, y + 3),
    )
    return tuple(Box(left, top, left + wide, top + HEIGHT) for left, top in corners)
