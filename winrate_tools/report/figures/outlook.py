"""How many verdicts more games would settle."""

from collections.abc import Iterable

from winrate_tools.decide.cards.outlook import Outlook
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.frame import Scale, framed, grouped, pixels, rules, text
from winrate_tools.report.figures.labels import Box

NAME = "outlook"
TITLE = "What more games would settle"
UNDONE = "; where fewer than now, verdicts that rest on the pool come undone"
TOP, ROW, LEFT, RIGHT, FOOT = 28, 30, 92, 480, 24
KEYS = {
    "settled now": Box(0, 5, 22, 15),
    "newly settled": Box(112, 5, 134, 15),
    "still open": Box(236, 5, 258, 15),
}
"""What the legend names, and where."""


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
    undone = UNDONE if any(step.settled < now.settled for step in later) else ""
    return (
        f"{now.settled:.0f} of {words.plural(len(pool.cards), 'card')} have a verdict now. "
        f"Expected {told}{undone}."
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

    Returns
    -------
    str
        One ``<svg>`` with a bar for each multiple of the games.
    """
    x = Scale(LEFT, RIGHT, 0, len(pool.cards))
    bottom = TOP + ROW * len(pool.outlook)
    bars = [(ahead, TOP + ROW * row) for row, ahead in enumerate(pool.outlook)]
    settled = [_box(x.start, x(ahead.settled - ahead.newly), y) for ahead, y in bars]
    newly = [_box(x(ahead.settled - ahead.newly), x(ahead.settled), y) for ahead, y in bars]
    parts = [
        _boxes("axis", [KEYS["still open"], *(_box(x.start, x.end, y) for _, y in bars)]),
        grouped(
            "wait",
            (
                _boxes("fill", [KEYS["settled now"], *settled]),
                _boxes("fill faint", [KEYS["newly settled"], *newly]),
            ),
        ),
        *(text(key.right + 6, key.bottom - 1, name) for name, key in KEYS.items()),
        grouped("end", (text(LEFT - 8, y + 17, _games(ahead)) for ahead, y in bars)),
        *(text(RIGHT + 8, y + 17, _said(ahead)) for ahead, y in bars),
    ]
    ticks = x.ticks(6)
    parts.append(
        grouped("soft middle", (text(x(at), bottom + 14, words.plain(at)) for at in ticks))
    )
    parts.append(rules("axis", upright=((bottom - 4, bottom, x(at)) for at in ticks)))
    return framed(NAME, TITLE, alt(pool), bottom + FOOT, parts)


def _games(ahead: Outlook) -> str:
    return "games so far" if ahead.times == 1 else f"{ahead.times:,} times"


def _said(ahead: Outlook) -> str:
    if ahead.times == 1:
        return f"{ahead.settled:.0f} settled"
    return f"{words.expected(ahead.settled)} settled, {words.expected(ahead.newly)} of them new"


def _box(left: float, right: float, y: float) -> Box:
    return Box(left, y + 4, right, y + 24)


def _boxes(classes: str, boxes: Iterable[Box]) -> str:
    """Draw boxes as one shape, without those that are too narrow to be seen."""
    drawn = (
        f"M{pixels(box.left)} {pixels(box.top)}H{pixels(box.right)}V{pixels(box.bottom)}"
        f"H{pixels(box.left)}z"
        for box in boxes
        if pixels(box.left) != pixels(box.right)
    )
    return f'<path class="{classes}" d="{"".join(drawn)}"/>'
