"""Every card's estimate with its range against the line, the weakest of each group first."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate
from typing import NamedTuple

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words
from winrate_tools.report.cards.sentences import counts_sentence
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.bars import Mark, Row, alike, apart, dots, glyphs, ranges
from winrate_tools.report.figures.frame import (
    LETTER,
    WIDTH,
    Scale,
    across,
    framed,
    grouped,
    pixels,
    room_for,
    rules,
    said,
    text,
    upright,
)
from winrate_tools.report.figures.marks import CLASSES, GLYPHS, LEGEND_WIDTH, legend
from winrate_tools.report.forms.fitting import shortened

NAME = "estimates"
TITLE = "Every card against the line"
ROW = 14
TOP, HEADER, GAP, FOOT = 46, 20, 8, 22
NAMES_FROM, LONGEST_NAME = 16, 34
SCALE = "scale"
"""Drawn once, and used above every group."""
DOTS = f"{NAME}-dots"
TICKS = 12
WIDER = (0.95, 0.99, 0.998)
MOVES = 0.08
"""How far the line may be moved either way without leaving the picture."""
EXTREME = 0.005
"""Ranges up to the central 99 in 100 have room in the picture."""


class Bar(NamedTuple):
    """One card, with its place in the pool and its wider range."""

    place: int
    card: CardVerdict
    low: float
    high: float


class Group(NamedTuple):
    """Cards that stand together under a heading."""

    title: str
    bars: tuple[Bar, ...]


def wide_level(sure: float) -> float:
    """Return what the thin line holds: more than the range that agrees with the verdict.

    Examples
    --------
    >>> wide_level(0.9), wide_level(0.99)
    (0.95, 0.99)
    """
    return next((level for level in WIDER if level > 2 * sure - 1 + 1e-6), 2 * sure - 1)


def groups(pool: PoolVerdict) -> tuple[Group, ...]:
    """Gather the cards by faction, else by the archetype of most games, else all together.

    Returns
    -------
    tuple of Group
        In the order of the names, cards without a label last; of each, the weakest first.
    """
    tail = (1 - wide_level(pool.sure)) / 2
    ends = pool.beliefs.rates([tail, 1 - tail])

    def bar(place: int) -> Bar:
        card, (low, high) = pool.cards[place], ends[place]
        return Bar(place, card, min(float(low), card.low), max(float(high), card.high))

    return tuple(Group(label, tuple(map(bar, rows))) for label, rows in rows_of(pool))


def rows_of(pool: PoolVerdict) -> list[tuple[str, list[int]]]:
    """Say which cards stand in which of the `groups`, by their places in the pool."""
    has_factions = any(card.faction for card in pool.cards)
    found: dict[str, list[int]] = {}
    for place, card in enumerate(pool.cards):
        label = card.faction if has_factions else card.homes and card.homes[0].archetype
        found.setdefault(label or "", []).append(place)
    order = sorted(found, key=lambda label: (label == "", label))
    return [(label or _rest(found), found[label]) for label in order]


def _rest(found: dict[str, list[int]]) -> str:
    return "No label" if len(found) > 1 else "All cards"


def picture(pool: PoolVerdict) -> Picture:
    """Draw the picture and put its words beside it."""
    return Picture(NAME, TITLE, caption(pool), alt(pool), svg(pool))


def caption(pool: PoolVerdict) -> str:
    """Say how to read the picture."""
    wide = words.range_name((1 + wide_level(pool.sure)) / 2)
    return (
        f"A dot is the best estimate of a card's win rate. The chance that the true one lies "
        f"on the thick bar is {words.range_name(pool.sure)}, on the thin one {wide}. A thick "
        f"bar left of the line of {words.exact_percent(pool.line)} is a cut (▼), one right of "
        "it a keep (▲); one that touches the line needs more games (○), and so does a card "
        "without any."
    )


def alt(pool: PoolVerdict) -> str:
    """Say what there is to be seen."""
    line = words.exact_percent(pool.line)
    low, high = (words.percent(pool.cards[i].estimate) for i in (0, -1))
    return (
        f"{counts_sentence(pool)} Estimates run from {low} ({pool.cards[0].card}) to {high} "
        f"({pool.cards[-1].card}); the line is at {line}."
    )


def domain(pool: PoolVerdict) -> tuple[float, float]:
    """Return the lowest and highest win rate with a place in the picture."""
    ends = pool.beliefs.rates([EXTREME, 1 - EXTREME])
    lows = [pool.line - MOVES, *ends[:, 0], *(card.low for card in pool.cards)]
    highs = [pool.line + MOVES, *ends[:, 1], *(card.high for card in pool.cards)]
    return max(0.0, float(min(lows)) - 0.005), min(1.0, float(max(highs)) + 0.005)


def svg(pool: PoolVerdict) -> str:
    """Draw the picture.

    Returns
    -------
    str
        One ``<svg>``. What changes with the line stands in ``rows``, a group for each look:
        its wide lines, its ranges and its marks; and in the dots, a line for each look. The
        names are in the order of the rows, each four pixels below the middle of its own.
    """
    together = groups(pool)
    names = shortened([card.card for card in pool.cards], LONGEST_NAME)
    left = NAMES_FROM + LETTER * room_for(names, LONGEST_NAME) + 14
    x = Scale(left, WIDTH - 16, *domain(pool))
    rows = sum(len(group.bars) for group in together)
    bottom = TOP + rows * ROW + len(together) * (HEADER + GAP)
    data = (
        f' data-x0="{pixels(x.start)}" data-x1="{pixels(x.end)}" data-r0="{x.low:.6f}" '
        f'data-r1="{x.high:.6f}"'
    )
    at = round(x(pool.line), 1)
    bars = list(_rows(together, x, at))
    parts = [
        *_legend(pool),
        rules("rule", upright=((TOP, bottom, x(tick)) for tick in x.ticks(TICKS))),
        _headings(together),
        *_bars(bars, x),
        _names(bars, names),
        upright("line", at, TOP - 6, bottom),
        text(at, TOP - 10, f"line {words.exact_percent(pool.line)}", "line-label"),
        *_scales(x, [*(top - 5 for top in _tops(together)), bottom + 12]),
    ]
    return framed(NAME, TITLE, alt(pool), bottom + FOOT, parts, data)


def _legend(pool: PoolVerdict) -> Iterator[str]:
    wide = words.range_name((1 + wide_level(pool.sure)) / 2)
    yield from legend()
    yield f'<g class="wait">{across("range", LEGEND_WIDTH + 12, LEGEND_WIDTH + 36, 10)}</g>'
    yield text(LEGEND_WIDTH + 42, 14, words.range_name(pool.sure))
    yield f'<g class="wait">{across("wide", LEGEND_WIDTH + 112, LEGEND_WIDTH + 136, 10)}</g>'
    yield text(LEGEND_WIDTH + 142, 14, wide)


def _tops(together: Sequence[Group]) -> list[float]:
    """Say where the rows of each group begin."""
    heights = (HEADER + GAP + ROW * len(group.bars) for group in together)
    return [y + HEADER for y in accumulate(heights, initial=float(TOP))][: len(together)]


def _scales(x: Scale, heights: Iterable[float]) -> Iterator[str]:
    """Draw the scale once, and use it wherever it is wanted."""
    ticks = (text(x(tick), 0, f"{words.plain(100 * tick)}%") for tick in x.ticks(TICKS))
    yield f'<defs><g id="{SCALE}">{"".join(ticks)}</g></defs>'
    yield grouped("soft middle", (f'<use href="#{SCALE}" y="{pixels(y)}"/>' for y in heights))


def _headings(together: Sequence[Group]) -> str:
    tops = zip(together, _tops(together), strict=True)
    return grouped("head", (text(0, top - 5, group.title) for group, top in tops))


def _rows(together: Sequence[Group], x: Scale, line: float) -> Iterator[tuple[Bar, Row]]:
    """Yield every card's bar with the row that its range is drawn on."""
    for group, top in zip(together, _tops(together), strict=True):
        for place, bar in enumerate(group.bars):
            low, high = ends(bar.card, x, line)
            y = top + ROW * (place + 0.5)
            yield bar, Row(_mark(bar.card), y, low, x(bar.card.estimate), high)


def _mark(card: CardVerdict) -> Mark:
    empty = "" if card.games else " none"
    return Mark(f"{CLASSES[card.verdict]}{empty}", GLYPHS[card.verdict])


def _bars(bars: Sequence[tuple[Bar, Row]], x: Scale) -> Iterator[str]:
    """Draw what changes with the line: the lines and marks of each look, then all dots."""
    wide = {row.y: row._replace(low=x(bar.low), high=x(bar.high)) for bar, row in bars}
    rows = [row for _, row in bars]
    looks = (
        grouped(
            mark.tone,
            (ranges((wide[row.y] for row in found), "wide"), ranges(found), glyphs(found, 0)),
        )
        for mark, found in alike(rows).items()
    )
    yield grouped("rows", looks)
    yield from dots(DOTS, rows)


def _names(bars: Sequence[tuple[Bar, Row]], names: Sequence[str]) -> str:
    """Write every name on its row, from one place on."""
    written = (
        f'<text y="{pixels(row.y + 4)}">{said(names[bar.place])}</text>' for bar, row in bars
    )
    return f'<g class="names" transform="translate({NAMES_FROM} 0)">{"".join(written)}</g>'


def ends(card: CardVerdict, x: Scale, line: float) -> tuple[float, float]:
    """Place the ends of a card's range; it touches the line exactly where the verdict waits."""
    low, high = card_words.sides(card)
    return apart(x(card.low), line, low), apart(x(card.high), line, high)
