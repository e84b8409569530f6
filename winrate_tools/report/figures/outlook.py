"""How many verdicts more games would settle."""

from collections.abc import Iterator

from winrate_tools.decide.cards.outlook import Outlook
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.frame import Scale, framed, grouped, pixels, rules, text

NAME = "outlook"
TITLE = "What more games would settle"
TOP, ROW, LEFT, RIGHT, FOOT = 28, 30, 92, 480, 24


def picture(pool: PoolVerdict) -> Picture:
    """Draw the picture and put its words beside it."""
    return Picture(NAME, TITLE, caption(pool), alt(pool), svg(pool))


def caption(pool: PoolVerdict) -> str:
    """Say how to read the picture."""
    cards = words.plural(len(pool.cards), "card")
    return (
        f"How many of {cards} can be expected to have a verdict if each had a multiple of its "
        "games so far, under the same assumptions. The dark part has its verdict now, the "
        "light part would be new, the empty part stays open. A few of today's verdicts may "
        "come undone, since some of them are wrong. Where the bars stop growing, more of the "
        "same games will not help."
    )


def ahead(pool: PoolVerdict) -> str:
    """Say in a sentence or two what more games would settle."""
    now, *later = pool.outlook
    told = "; ".join(
        f"with {step.times:,} times as many games, {words.expected(step.settled)}"
        for step in later
    )
    return (
        f"{now.settled:.0f} of {words.plural(len(pool.cards), 'card')} have a verdict now. "
        f"Expected {told}."
    )


def alt(pool: PoolVerdict) -> str:
    """Say what there is to be seen."""
    number = len(pool.cards)
    now, *later = pool.outlook
    steps = "; ".join(
        f"{ahead.times:,} times the games: {words.expected(ahead.settled)}, "
        f"{words.expected(ahead.newly)} of them open now"
        for ahead in later
    )
    return f"Of {words.plural(number, 'card')}, {now.settled:.0f} have a verdict now. {steps}."


def svg(pool: PoolVerdict) -> str:
    """Draw the picture.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool.

    Returns
    -------
    str
        One ``<svg>`` with a bar for each multiple of the games.
    """
    x = Scale(LEFT, RIGHT, 0, len(pool.cards))
    bottom = TOP + ROW * len(pool.outlook)
    parts = [
        '<g class="wait"><rect class="fill" x="0" y="5" width="22" height="10"/></g>',
        text(28, 14, "settled now"),
        '<g class="wait"><rect class="fill faint" x="112" y="5" width="22" height="10"/></g>',
        text(140, 14, "newly settled"),
        '<rect class="axis" x="236" y="5" width="22" height="10"/>',
        text(264, 14, "still open"),
    ]
    for row, ahead in enumerate(pool.outlook):
        parts += _bar(ahead, x, TOP + ROW * row)
    ticks = x.ticks(6)
    parts.append(
        grouped("soft middle", (text(x(at), bottom + 14, words.plain(at)) for at in ticks))
    )
    parts.append(rules("axis", upright=((bottom - 4, bottom, x(at)) for at in ticks)))
    return framed(NAME, TITLE, alt(pool), bottom + FOOT, parts)


def _bar(ahead: Outlook, x: Scale, y: float) -> Iterator[str]:
    kept, settled = x(ahead.settled - ahead.newly), x(ahead.settled)
    games = "games so far" if ahead.times == 1 else f"{ahead.times:,} times"
    yield text(LEFT - 8, y + 17, games, "end")
    yield _rect("axis", x.start, x.end, y)
    parts = _rect("fill", x.start, kept, y), _rect("fill faint", kept, settled, y)
    yield f'<g class="wait">{"".join(parts)}</g>'
    yield text(RIGHT + 8, y + 17, _said(ahead))


def _said(ahead: Outlook) -> str:
    if ahead.times == 1:
        return f"{ahead.settled:.0f} settled"
    return f"{words.expected(ahead.settled)} settled, {words.expected(ahead.newly)} of them new"


def _rect(classes: str, left: float, right: float, y: float) -> str:
    return (
        f'<rect class="{classes}" x="{pixels(left)}" y="{pixels(y + 4)}" '
        f'width="{pixels(right - left)}" height="20"/>'
    )
