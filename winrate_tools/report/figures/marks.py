"""A shape for each verdict beside its colour, and the legend that names them."""

from collections.abc import Iterable, Iterator

from winrate_tools.decide.cards.rules import Verdict
from winrate_tools.decide.cards.verdicts import CardVerdict
from winrate_tools.report.figures.frame import pixels, said

CLASSES: dict[Verdict, str] = {"cut": "cut", "keep": "keep", "more games": "wait"}
GLYPHS: dict[Verdict, str] = {"cut": "▼", "keep": "▲", "more games": "○"}
SHAPES: dict[Verdict, str] = {
    "cut": '<path id="{}" fill="currentColor" d="M-4-3.5h8l-4 7z"/>',
    "keep": '<path id="{}" fill="currentColor" d="M-3.5 3h7l-3.5-6.5z"/>',
    "more games": '<circle id="{}" fill="none" stroke="currentColor" r="3"/>',
}
LEGEND: dict[Verdict, int] = {"cut": 0, "more games": 48, "keep": 140}
"""How far from its start each entry of a legend stands."""
LEGEND_WIDTH = 196


def shapes(figure: str) -> str:
    """Define the shapes that a figure's dots use."""
    kinds = (shape.format(_shape(figure, verdict)) for verdict, shape in SHAPES.items())
    return f"<defs>{''.join(kinds)}</defs>"


def legend(x: float = 0, y: float = 14) -> Iterator[str]:
    """Name the marks, from left to right."""
    for verdict, start in LEGEND.items():
        yield (
            f'<g class="{CLASSES[verdict]}"><text class="mark" x="{pixels(x + start + 2)}" '
            f'y="{pixels(y)}">{GLYPHS[verdict]}</text>'
            f'<text x="{pixels(x + start + 15)}" y="{pixels(y)}">{verdict}</text></g>'
        )


def dots(figure: str, placed: Iterable[tuple[CardVerdict, float, float, str]]) -> Iterator[str]:
    """Draw cards as dots, those that are called last, so that they lie on top.

    Parameters
    ----------
    figure : str
        Its name, with which the ids of its shapes begin.
    placed : iterable of (CardVerdict, float, float, str)
        Cards, their pixels across and down, and what is said of them on hovering.

    Yields
    ------
    str
        One group for each verdict.
    """
    cards = list(placed)
    for verdict in ("more games", "keep", "cut"):
        uses = (
            f'<use href="#{_shape(figure, verdict)}" x="{pixels(x)}" y="{pixels(y)}">'
            f"<title>{said(words)}</title></use>"
            for card, x, y, words in cards
            if card.verdict == verdict
        )
        yield f'<g class="{CLASSES[verdict]}">{"".join(uses)}</g>'


def markers() -> str:
    """Define every shape as what marks the corners of a line, once for a whole page."""
    return "".join(
        f'<g class="{CLASSES[verdict]}"><marker id="dot-{CLASSES[verdict]}">'
        f"{shape.format('dot')}</marker></g>"
        for verdict, shape in SHAPES.items()
    ).replace(' id="dot"', "")


def _shape(figure: str, verdict: Verdict) -> str:
    return f"{figure}-{CLASSES[verdict]}"
