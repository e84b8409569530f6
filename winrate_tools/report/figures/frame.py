"""What every figure stands on: scales, ticks, the parts of a picture and its frame."""

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from math import ceil, floor, log10

from winrate_tools.report.forms.glyphs import visible, width

WIDTH, EDGE = 720, 6
LETTER = 6.2
"""Pixels that a column of small text takes, near enough."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Where values stand in a picture, evenly from one pixel to another.

    Attributes
    ----------
    start, end : float
        Pixels of the lowest and the highest value; the start may be the larger.
    low, high : float
        Those values, apart.

    Examples
    --------
    >>> Scale(100, 300, 0.4, 0.6)(0.55)
    250.0
    """

    start: float
    end: float
    low: float
    high: float

    def __call__(self, value: float) -> float:
        """Return the pixel of a value."""
        share = (value - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 9)

    def ticks(self, most: int = 8) -> list[float]:
        """Return round values inside, evenly spaced, at most so many."""
        return ticks(self.low, self.high, most)


def ticks(low: float, high: float, most: int) -> list[float]:
    """Choose round values from low to high: steps of 1, 2 or 5 times a power of ten.

    Examples
    --------
    >>> ticks(0.443, 0.621, 5)
    [0.45, 0.5, 0.55, 0.6]
    """
    power = 10.0 ** floor(log10((high - low) / most))
    step = next(s * power for s in (1, 2, 5, 10, 20) if (high - low) / (s * power) <= most)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [round(number * step, 12) for number in range(first, last + 1)]


def pixels(number: float) -> str:
    """Write a length to a tenth of a pixel.

    Examples
    --------
    >>> pixels(12.34), pixels(5.0), pixels(-0.01)
    ('12.3', '5', '0')
    """
    return f"{round(number, 1) + 0.0:.1f}".removesuffix(".0")


def said(text: str) -> str:
    """Write a text so that it stays one, whatever it holds.

    Examples
    --------
    >>> said('<b> & "q"')
    '&lt;b&gt; &amp; &quot;q&quot;'
    """
    return escape(visible(text))


def room_for(names: Iterable[str], most: int) -> int:
    """Return the columns that names take, at most so many."""
    return min(most, max(map(width, names), default=0))


def text(x: float, y: float, content: str, classes: str = "") -> str:
    """Place a text."""
    named = f' class="{classes}"' if classes else ""
    start = f' x="{pixels(x)}"' if x else ""
    return f'<text{named}{start} y="{pixels(y)}">{said(content)}</text>'


def across(classes: str, left: float, right: float, y: float) -> str:
    """Draw a line from left to right."""
    return (
        f'<line class="{classes}" x1="{pixels(left)}" x2="{pixels(right)}" '
        f'y1="{pixels(y)}" y2="{pixels(y)}"/>'
    )


def upright(classes: str, x: float, top: float, bottom: float) -> str:
    """Draw a line from top to bottom."""
    return (
        f'<line class="{classes}" x1="{pixels(x)}" x2="{pixels(x)}" '
        f'y1="{pixels(top)}" y2="{pixels(bottom)}"/>'
    )


def rules(
    classes: str,
    *,
    across: Iterable[tuple[float, float, float]] = (),
    upright: Iterable[tuple[float, float, float]] = (),
) -> str:
    """Draw many straight lines as one.

    Parameters
    ----------
    classes : str
        Of the line.
    across : iterable of (float, float, float)
        From left, to right, at a height.
    upright : iterable of (float, float, float)
        From top, to bottom, at a place across.

    Examples
    --------
    >>> rules("rule", across=[(0, 9, 5)], upright=[(1, 8, 4.25)])
    '<path class="rule" d="M0 5H9M4.2 1V8"/>'
    """
    lines = [f"M{pixels(left)} {pixels(y)}H{pixels(right)}" for left, right, y in across]
    lines += [f"M{pixels(x)} {pixels(top)}V{pixels(bottom)}" for top, bottom, x in upright]
    return f'<path class="{classes}" d="{"".join(lines)}"/>'


def grouped(classes: str, parts: Iterable[str]) -> str:
    """Put parts that look alike into one group."""
    return f'<g class="{classes}">{"".join(parts)}</g>'


def framed(
    name: str, title: str, alt: str, height: float, parts: Iterable[str], data: str = ""
) -> str:
    """Put the parts of a picture into one element that says what it is.

    Parameters
    ----------
    name : str
        One word; the ids inside begin with it.
    title, alt : str
        What it shows, and what there is to be seen.
    height : float
        Pixels.
    parts : iterable of str
        Elements, from the back to the front.
    data : str, optional
        Further attributes.
    """
    wide, high = WIDTH + 2 * EDGE, pixels(height + 2 * EDGE)
    opening = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="figure {name}" role="img" '
        f'aria-labelledby="{name}-title {name}-alt" viewBox="{-EDGE} {-EDGE} {wide} {high}" '
        f'width="{wide}" height="{high}"{data}>'
    )
    labels = (
        f'<title id="{name}-title">{said(title)}</title>'
        f'<desc id="{name}-alt">{said(alt)}</desc>'
    )
    return "\n".join((f"{opening}{labels}", *parts, "</svg>"))
