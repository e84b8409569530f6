"""How strong cards are against how drafters use them, with the traps named."""

from collections.abc import Iterator

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards.card_words import chance_below, estimate
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.frame import (
    WIDTH,
    Scale,
    across,
    framed,
    grouped,
    rules,
    text,
    upright,
)
from winrate_tools.report.figures.labels import Box, labels, written
from winrate_tools.report.figures.marks import LEGEND_WIDTH, dots, legend, shapes

NAME = "use"
TITLE = "How strong cards are, and how sought after"
TOP, HEIGHT, LEFT, FOOT = 48, 380, 44, 44


def used(pool: PoolVerdict) -> list[CardVerdict]:
    """Return the cards of which it is known how drafters use them; games alone do not tell."""
    return [card for card in pool.cards if card.usage is not None and pool.shows_use]


def traps(pool: PoolVerdict) -> list[CardVerdict]:
    """Return the cards that are weak, yet sought after, the most sought after first."""
    found = [card for card in used(pool) if "trap" in card.reasons]
    return sorted(found, key=lambda card: -(card.usage or 0))


def picture(pool: PoolVerdict) -> Picture:
    """Draw the picture and put its words beside it."""
    return Picture(NAME, TITLE, caption(pool), alt(pool), svg(pool))


def caption(pool: PoolVerdict) -> str:
    """Say how to read the picture."""
    leaning = " Estimates lean on use where games are few." if pool.usage_columns else ""
    return (
        "Each mark is a card: its best estimate against how much drafters want it, more or "
        "less than their usual card; 1 is how far cards usually lie off it (a standard "
        "deviation). Right and low, under the line of "
        f"{words.exact_percent(pool.line)}, lie the traps: cards that people take early or "
        "play a lot and that cost them games. Left and high lie good cards that nobody wants "
        f"yet.{leaning}"
    )


def alt(pool: PoolVerdict) -> str:
    """Say what there is to be seen."""
    cards, found = used(pool), traps(pool)
    named = "; ".join(
        f"{card.card} ({estimate(card, pool)}, {chance_below(card, pool)})" for card in found
    )
    heading = "Traps, with best estimate and chance of being below the line"
    told = f"{heading}: {named}." if found else "No card is a trap."
    return f"{words.plural(len(cards), 'card')} whose use is known. {told}"


def svg(pool: PoolVerdict) -> str:
    """Draw the picture.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool in which the use of at least one card is known.

    Returns
    -------
    str
        One ``<svg>``; every card is a ``<use>`` whose title is its name.
    """
    cards = used(pool)
    x, y = scales(pool)
    place = {card.card: (x(card.usage or 0), y(card.estimate)) for card in cards}
    named = [(card.card, *place[card.card]) for card in traps(pool)]
    room = Box(LEFT, TOP, WIDTH, TOP + HEIGHT)
    along = ((float(at), y(pool.line)) for at in range(LEFT, WIDTH, 8))
    avoided = [*place.values(), *along]
    parts = [
        shapes(NAME),
        *legend(),
        across("line", LEGEND_WIDTH + 12, LEGEND_WIDTH + 36, 10),
        text(LEGEND_WIDTH + 42, 14, f"line {words.exact_percent(pool.line)}"),
        text(0, TOP - 8, "best estimate", "head"),
        *_axes(x, y, pool),
        written(labels(named, room, avoided)),
        *dots(NAME, [(card, *place[card.card], card.card) for card in cards]),
    ]
    return framed(NAME, TITLE, alt(pool), TOP + HEIGHT + FOOT, parts)


def scales(pool: PoolVerdict) -> tuple[Scale, Scale]:
    """Return the scales of use, from left to right, and of estimates, upwards."""
    cards = used(pool)
    use = [0.0, *(card.usage or 0.0 for card in cards)]
    rates = [pool.line, *(card.estimate for card in cards)]
    wide, high = 0.05 * (max(use) - min(use)) + 0.1, 0.06 * (max(rates) - min(rates)) + 0.005
    return (
        Scale(LEFT, WIDTH - 8, min(use) - wide, max(use) + wide),
        Scale(TOP + HEIGHT, TOP, max(0, min(rates) - high), min(1, max(rates) + high)),
    )


def _axes(x: Scale, y: Scale, pool: PoolVerdict) -> Iterator[str]:
    bottom, rates, uses = TOP + HEIGHT, y.ticks(8), x.ticks(8)
    yield rules(
        "rule",
        across=((LEFT, WIDTH, y(rate)) for rate in rates),
        upright=((TOP, bottom, x(use)) for use in uses if use),
    )
    yield upright("axis", x(0), TOP, bottom)
    yield grouped(
        "soft end",
        (text(LEFT - 6, y(rate) + 4, f"{words.plain(100 * rate)}%") for rate in rates),
    )
    yield grouped("soft middle", (text(x(use), bottom + 15, words.plain(use)) for use in uses))
    yield across("line", LEFT, WIDTH, y(pool.line))
    middle = "use, in standard deviations"
    yield text((LEFT + WIDTH) / 2, bottom + 34, middle, "head middle")
    yield text(LEFT, bottom + 34, "◂ taken late, hardly played")
    yield text(WIDTH, bottom + 34, "taken early, played a lot ▸", "end")
