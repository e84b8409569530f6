"""Archetypes against their two lines, and beside each what its cards do for it."""

from collections.abc import Iterator

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool, ArchetypeVerdict
from winrate_tools.report import words
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.bars import Mark, Row, alike, apart, dots, glyphs, ranges
from winrate_tools.report.figures.frame import (
    LETTER,
    WIDTH,
    Scale,
    framed,
    grouped,
    room_for,
    rules,
    text,
    upright,
)
from winrate_tools.report.forms.fitting import shortened

NAME = "archetypes"
TITLE = "Archetypes against their lines"
ROW, TOP, FOOT = 24, 68, 26
NAMES_FROM, LONGEST_NAME, GAP = 16, 30, 40
MARKS = {
    "underpowered": Mark("cut", "▼"),
    "overpowered": Mark("keep", "▲"),
    "balanced": Mark("even", "="),
    "unsettled": Mark("wait", "○"),
}
EVEN = MARKS["balanced"]
LEGEND = {"underpowered": 0, "overpowered": 110, "balanced": 208, "unsettled": 286}


def picture(pool: ArchetypePool) -> Picture:
    """Draw the picture and put its words beside it."""
    return Picture(NAME, TITLE, caption(pool), alt(pool), svg(pool))


def caption(pool: ArchetypePool) -> str:
    """Say how to read the picture."""
    name = words.range_name(pool.sure)
    low, high = words.exact_percent(pool.low_line), words.exact_percent(pool.high_line)
    left = (
        f"Best estimates of what archetypes win, each with its {name} range. A range wholly "
        f"below {low} is called underpowered (▼), one wholly above {high} overpowered (▲)."
    )
    if not _has_parts(pool):
        return left
    return (
        f"{left} On the right, the points that its cards add against the average archetype's, "
        f"with the {name} range; the rest is its plan and how its cards work together. The "
        "split rests on assumptions."
    )


def alt(pool: ArchetypePool) -> str:
    """Say what there is to be seen."""
    each = "; ".join(_in_words(one, pool) for one in pool.archetypes)
    low, high = words.exact_percent(pool.low_line), words.exact_percent(pool.high_line)
    return f"Lines at {low} and {high}. From the weakest: {each}."


def _in_words(one: ArchetypeVerdict, pool: ArchetypePool) -> str:
    shown = archetype_words.estimate(one, pool)
    return f"{one.archetype} {shown} ({archetype_words.range_of(one, pool)}), {one.verdict}"


def _has_part(one: ArchetypeVerdict) -> bool:
    return one.cards_part is not None


def _has_parts(pool: ArchetypePool) -> bool:
    return any(map(_has_part, pool.archetypes))


def svg(pool: ArchetypePool) -> str:
    """Draw the picture.

    Returns
    -------
    str
        One ``<svg>``, a row an archetype.
    """
    names = shortened([one.archetype for one in pool.archetypes], LONGEST_NAME)
    left = NAMES_FROM + LETTER * room_for(names, LONGEST_NAME) + 16
    bottom = TOP + ROW * len(names)
    middle = left + 0.6 * (WIDTH - left) if _has_parts(pool) else WIDTH
    x = Scale(left, middle - 12, *_reach(pool))
    parts = [*_legend(), *_strengths(pool, names, x, bottom)]
    if _has_parts(pool):
        parts += _cards_parts(
            pool, Scale(middle + GAP, WIDTH - 16, *_parts_reach(pool)), bottom
        )
    return framed(NAME, TITLE, alt(pool), bottom + FOOT, parts)


def _reach(pool: ArchetypePool) -> tuple[float, float]:
    ends = [end for one in pool.archetypes for end in (one.low, one.high)]
    ends += [pool.low_line, pool.high_line]
    return max(0.0, min(ends) - 0.01), min(1.0, max(ends) + 0.01)


def _parts_reach(pool: ArchetypePool) -> tuple[float, float]:
    ends = [end or 0.0 for one in pool.archetypes for end in (one.cards_low, one.cards_high)]
    return min(*ends, 0.0) - 0.005, max(*ends, 0.0) + 0.005


def _legend() -> Iterator[str]:
    for verdict, start in LEGEND.items():
        mark = MARKS[verdict]
        yield (
            f'<g class="{mark.tone}"><text class="mark" x="{start + 2}" y="14">{mark.glyph}'
            f'</text><text x="{start + 15}" y="14">{verdict}</text></g>'
        )


def _strengths(pool: ArchetypePool, names: list[str], x: Scale, bottom: float) -> Iterator[str]:
    yield text((x.start + x.end) / 2, TOP - 32, "best estimate, with the lines", "head middle")
    ticks = x.ticks(6)
    yield rules("rule", upright=((TOP, bottom, x(tick)) for tick in ticks))
    yield grouped(
        "soft middle",
        (text(x(tick), bottom + 16, f"{words.plain(100 * tick)}%") for tick in ticks),
    )
    lines = x(pool.low_line), x(pool.high_line)
    rows = list(_rows(pool, x, lines))
    for mark, found in alike(rows).items():
        yield grouped(mark.tone, (ranges(found), glyphs(found, 2)))
    yield from dots(f"{NAME}-strengths", rows)
    named = zip(rows, names, strict=True)
    yield grouped("names", (text(NAMES_FROM, row.y + 4, name) for row, name in named))
    for at, rate, end in ((lines[0], pool.low_line, "end"), (lines[1], pool.high_line, "")):
        yield upright("line", at, TOP - 6, bottom)
        yield text(at, TOP - 12, words.exact_percent(rate), f"head {end}".strip())


def _rows(pool: ArchetypePool, x: Scale, lines: tuple[float, float]) -> Iterator[Row]:
    for place, one in enumerate(pool.archetypes):
        low, high = (
            apart(apart(x(end), lines[0], side[0]), lines[1], side[1])
            for end, side in zip((one.low, one.high), archetype_words.sides(one), strict=True)
        )
        yield Row(MARKS[one.verdict], TOP + ROW * (place + 0.5), low, x(one.estimate), high)


def _cards_parts(pool: ArchetypePool, x: Scale, bottom: float) -> Iterator[str]:
    yield text((x.start + x.end) / 2, TOP - 32, "its cards' part, in points", "head middle")
    ticks = x.ticks(4)
    yield rules("rule", upright=((TOP, bottom, x(tick)) for tick in ticks if tick))
    yield upright("axis", x(0), TOP, bottom)
    shown = {tick: words.plain(100 * tick) for tick in ticks}
    yield grouped(
        "soft middle",
        (
            text(x(tick), bottom + 16, f"+{number}" if tick > 0 else number)
            for tick, number in shown.items()
        ),
    )
    rows = [
        Row(
            EVEN,
            TOP + ROW * (place + 0.5),
            x(one.cards_low),
            x(one.cards_part),
            x(one.cards_high),
        )
        for place, one in enumerate(pool.archetypes)
        if one.cards_part is not None
        and one.cards_low is not None
        and one.cards_high is not None
    ]
    yield grouped(EVEN.tone, (ranges(rows),))
    yield from dots(f"{NAME}-parts", rows)
