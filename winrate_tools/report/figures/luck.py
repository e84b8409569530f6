"""Raw win rates against games: what luck alone would scatter, and what lies outside it."""

from collections.abc import Iterator, Sequence
from math import exp, log, log10

import numpy as np

from winrate_tools.decide.cards.luck import funnel
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.document import Picture
from winrate_tools.report.figures.frame import (
    WIDTH,
    Scale,
    across,
    framed,
    grouped,
    pixels,
    rules,
    text,
)
from winrate_tools.report.figures.labels import Box, labels, written
from winrate_tools.report.figures.marks import dots, legend, shapes

NAME = "luck"
TITLE = "What luck alone would do to win rates"
TOP, HEIGHT, LEFT, FOOT = 48, 380, 44, 44
LEVELS = {0.8: "8 in 10", 0.99: "99 in 100"}
POINTS = 24


def played(pool: PoolVerdict) -> list[CardVerdict]:
    """Return the cards with a raw win rate."""
    return [card for card in pool.cards if card.games and card.win_rate is not None]


def centre(pool: PoolVerdict) -> float:
    """Return what an average card wins in these records, whoever the estimates are for."""
    return pool.sample_mean if pool.baseline_origin == "target" else pool.baseline


def picture(pool: PoolVerdict) -> Picture:
    """Draw the picture and put its words beside it."""
    return Picture(NAME, TITLE, caption(pool), alt(pool), svg(pool))


def caption(pool: PoolVerdict) -> str:
    """Say how to read the picture."""
    return (
        "Each mark is a card: its raw win rate against its games. If every card were average "
        f"({words.exact_percent(centre(pool))}), luck alone would put 8 in 10 between the "
        "inner curves and 99 in 100 between the outer ones. Few games scatter widely, which is "
        "why a low raw win rate is not yet a weak card. A card outside the curves differs by "
        "more than luck, be it by itself, by its company or by its players."
    )


def alt(pool: PoolVerdict) -> str:
    """Say what there is to be seen."""
    cards = played(pool)
    inner, outer = (_outside(cards, pool, level) for level in LEVELS)
    luck = (words.expected((1 - level) * len(cards)) for level in LEVELS)
    fewest, most = (
        min(card.games or 0 for card in cards),
        max(card.games or 0 for card in cards),
    )
    return (
        f"{words.plural(len(cards), 'card')} with {fewest:,} to {most:,} games. Outside the 8 "
        f"in 10 limits: {inner:,}, where luck alone would put {next(luck)}. Outside the 99 in "
        f"100 limits: {outer:,}, where luck alone would put {next(luck)}."
    )


def _outside(cards: Sequence[CardVerdict], pool: PoolVerdict, level: float) -> int:
    limits = funnel(
        [card.games or 0 for card in cards], centre(pool), pool.design_effect, level=level
    )
    return sum(
        not low <= (card.win_rate or 0) <= high
        for card, low, high in zip(cards, *limits, strict=True)
    )


def svg(pool: PoolVerdict) -> str:
    """Draw the picture.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool with at least one card that has games.

    Returns
    -------
    str
        One ``<svg>``; every card is a ``<use>`` whose title has its name and record.
    """
    cards = played(pool)
    x, y = scales(pool)
    placed = [
        (card, x(log(card.games or 1)), y(card.win_rate or 0), _record(card)) for card in cards
    ]
    cuts = [
        (card.card, across, down) for card, across, down, _ in placed if card.verdict == "cut"
    ]
    room = Box(LEFT, TOP, WIDTH, TOP + HEIGHT)
    parts = [
        shapes(NAME),
        *legend(),
        text(0, TOP - 8, "raw win rate", "head"),
        *_axes(x, y),
        *_curves(pool, x, y),
        *_names_of_curves(pool, x, y),
        written(labels(cuts, room, [place[1:3] for place in placed])),
        *dots(NAME, placed),
    ]
    return framed(NAME, TITLE, alt(pool), TOP + HEIGHT + FOOT, parts)


def _record(card: CardVerdict) -> str:
    rate = words.percent(card.win_rate or 0)
    return f"{card.card}: {rate} of {words.plural(card.games or 0, 'game')}"


def scales(pool: PoolVerdict) -> tuple[Scale, Scale]:
    """Return the scales of log games, from left to right, and of raw win rates, upwards."""
    cards = played(pool)
    games = [card.games or 1 for card in cards]
    rates = [*(card.win_rate or 0.0 for card in cards), centre(pool)]
    pad = 0.06 * (max(rates) - min(rates)) + 0.005
    return (
        Scale(LEFT, WIDTH - 8, log(min(games) / 1.25), log(max(games) * 1.25)),
        Scale(TOP + HEIGHT, TOP, max(0, min(rates) - pad), min(1, max(rates) + pad)),
    )


def _axes(x: Scale, y: Scale) -> Iterator[str]:
    bottom, rates, games = TOP + HEIGHT, y.ticks(8), _round_games(x)
    yield rules(
        "rule",
        across=((LEFT, WIDTH, y(rate)) for rate in rates),
        upright=((TOP, bottom, x(log(number))) for number in games),
    )
    yield grouped(
        "soft end",
        (text(LEFT - 6, y(rate) + 4, f"{words.plain(100 * rate)}%") for rate in rates),
    )
    yield grouped(
        "soft middle", (text(x(log(number)), bottom + 15, f"{number:,}") for number in games)
    )
    yield text((LEFT + WIDTH) / 2, bottom + 34, "games (log scale)", "head middle")


def _round_games(x: Scale) -> list[int]:
    """Return 1, 2 and 5 times powers of ten between the ends."""
    powers = range(int(log10(exp(x.high))) + 1)
    numbers = (step * 10**power for power in powers for step in (1, 2, 5))
    return [number for number in numbers if x.low <= log(number) <= x.high]


def _curves(pool: PoolVerdict, x: Scale, y: Scale) -> Iterator[str]:
    rate = centre(pool)
    yield across("base", LEFT, WIDTH, y(rate))
    games = np.exp(np.linspace(x.low, x.high, POINTS))
    for level in LEVELS:
        for limit in funnel(games, rate, pool.design_effect, level=level):
            seen = (limit >= y.low) & (limit <= y.high) & (limit > 0) & (limit < 1)
            points = [
                (x(log(n)), y(float(value)))
                for n, value in zip(games[seen], limit[seen], strict=True)
            ]
            drawn = " ".join(f"{pixels(across)},{pixels(down)}" for across, down in points)
            yield f'<polyline class="curve" points="{drawn}"/>'


def _names_of_curves(pool: PoolVerdict, x: Scale, y: Scale) -> Iterator[str]:
    """Name the upper curves where they come into the picture."""
    rate = centre(pool)
    yield text(LEFT + 4, y(rate) - 4, f"average card {words.exact_percent(rate)}", "soft over")
    for level, name in LEVELS.items():
        for step in np.linspace(x.low, x.high, POINTS)[2:]:
            [high] = funnel([exp(step)], rate, pool.design_effect, level=level).high
            if y(high) > TOP + 14:
                yield text(x(step), y(high) - 5, name, "soft over")
                break
