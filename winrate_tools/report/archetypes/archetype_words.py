"""What is printed of an archetype: its numbers, true to its verdict."""

from typing import Literal

from winrate_tools.decide.archetypes.archetype_verdicts import (
    ArchetypePool,
    ArchetypeVerdict,
    CardPull,
)
from winrate_tools.report import words

NEAR = 1e-3
"""Closer to a line than this, a number is printed on the side its verdict says."""
Place = Literal["below", "between", "above"]
Sides = tuple[int | None, int | None]


def summary(pool: ArchetypePool) -> str:
    """Name the archetypes that stand out, in one sentence.

    Parameters
    ----------
    pool : ArchetypePool
        The judged archetypes.

    Returns
    -------
    str
    """
    parts = []
    for verdict in ("underpowered", "overpowered"):
        names = [one.archetype for one in pool.archetypes if one.verdict == verdict]
        if names:
            parts.append(f"{verdict}: {', '.join(names)}")
    found = "; ".join(parts) or "none is clearly underpowered or overpowered"
    return f"Of {words.plural(len(pool.archetypes), 'archetype')}, {found}."


def estimate(archetype: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Print an estimate, on its side of the nearer line."""
    outside = {"underpowered": (-1, None), "overpowered": (None, 1)}
    return _beside(archetype.estimate, pool, outside.get(archetype.verdict, (None, None)))


def range_of(archetype: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Print a range; all of it lies beyond a line exactly where the verdict says so."""
    low_sides: Sides = (None, 1 if archetype.verdict == "overpowered" else -1)
    high_sides: Sides = (-1 if archetype.verdict == "underpowered" else 1, None)
    if not archetype.games:
        low_sides = high_sides = (None, None)
    low = _beside(archetype.low, pool, low_sides)
    return f"{low[:-1]} to {_beside(archetype.high, pool, high_sides)}"


def _beside(rate: float, pool: ArchetypePool, sides: Sides) -> str:
    """Print a rate beside the nearer line, on a given side of it where it is very near."""
    is_low = abs(rate - pool.low_line) <= abs(rate - pool.high_line)
    line, side = (pool.low_line, sides[0]) if is_low else (pool.high_line, sides[1])
    return words.beside_line(rate, line, side if abs(rate - line) < NEAR else None)


def place(archetype: ArchetypeVerdict) -> Place:
    """Tell where an archetype is said to lie, or where it most likely does."""
    said: dict[str, Place] = {
        "underpowered": "below",
        "overpowered": "above",
        "balanced": "between",
    }
    chances: dict[Place, float] = {
        "below": archetype.chance_below,
        "above": archetype.chance_above,
        "between": archetype.chance_between,
    }
    likeliest = max(chances, key=lambda where: chances[where])
    return said.get(archetype.verdict, likeliest)


def twentieths(archetype: ArchetypeVerdict, pool: ArchetypePool) -> int:
    """Round the chance of that place; with the same one no two verdicts differ."""
    where = place(archetype)
    chance = getattr(archetype, f"chance_{where}")
    bar = pool.balanced if where == "between" else pool.sure
    return words.to_bar(chance, bar, reached=archetype.verdict != "unsettled")


def chance(archetype: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Print the chance of the likeliest place, and the place."""
    if not archetype.games:
        return "no games"
    return f"{words.of_twenty(twentieths(archetype, pool))} {place(archetype)}"


def games(archetype: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Print games, to two digits where they had to be worked out from cards' games."""
    return words.about(archetype.games) if pool.counted else words.count(archetype.games)


def games_needed(archetype: ArchetypeVerdict) -> str:
    """Print what would settle an archetype, short enough for a cell."""
    if archetype.verdict != "unsettled":
        return "settled"
    if archetype.games_needed is None:
        return "won't help"
    return words.about(archetype.games_needed)


def signed(difference: float | None) -> str:
    """Print a difference of rates in points, with its sign.

    Examples
    --------
    >>> signed(0.0149), signed(-0.02), signed(-0.0001), signed(None)
    ('+1.5', '-2.0', '0.0', '?')
    """
    if difference is None:
        return "?"
    size = words.percent(abs(difference))[:-1]
    return size if size == "0.0" else f"{'-' if difference < 0 else '+'}{size}"


def part(points: float | None, low: float | None, high: float | None) -> str:
    """Print a part of a difference with its range.

    Examples
    --------
    >>> part(0.009, 0.001, 0.017), part(None, None, None)
    ('+0.9 (+0.1 to +1.7)', '?')
    """
    if points is None:
        return signed(points)
    return f"{signed(points)} ({signed(low)} to {signed(high)})"


def pull(card: CardPull) -> str:
    """Print what a card does to an archetype, with the chance that it does it at all."""
    return f"{card.card} ({signed(card.pull)}, {words.in_twenty(card.chance)})"
