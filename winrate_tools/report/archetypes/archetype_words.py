"""What is printed of an archetype: its numbers, true to its verdict."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal

from winrate_tools.decide.archetypes.archetype_verdicts import (
    ArchetypePool,
    ArchetypeVerdict,
    CardPull,
)
from winrate_tools.report import words

if TYPE_CHECKING:
    from winrate_tools.decide.home.home_verdicts import HomeArchetype, HomeUpdate

    Judged = ArchetypeVerdict | HomeArchetype
    Lines = ArchetypePool | HomeUpdate

Place = Literal["below", "between", "above"]
PLACES: tuple[Place, ...] = ("below", "between", "above")
SAID: dict[str, Place] = {
    "underpowered": "below",
    "overpowered": "above",
    "balanced": "between",
}
"""Where a verdict says that an archetype lies."""
Sides = tuple[int | None, int | None]


def names(archetypes: list[ArchetypeVerdict]) -> str:
    """Name archetypes one after another."""
    return ", ".join(one.archetype for one in archetypes)


def summary(pool: ArchetypePool, told: Callable[[list[ArchetypeVerdict]], str] = names) -> str:
    """Tell of the archetypes that stand out, in one sentence; by name if not told how."""
    parts = [
        f"{verdict}: {told(found)}"
        for verdict in ("underpowered", "overpowered")
        if (found := [one for one in pool.archetypes if one.verdict == verdict])
    ]
    said = "; ".join(parts) or "none is clearly underpowered or overpowered"
    return f"Of {words.plural(len(pool.archetypes), 'archetype')}, {said}."


def estimate(archetype: "Judged", pool: "Lines") -> str:
    """Print an estimate, on its side of the nearer line."""
    outside = {"underpowered": (-1, None), "overpowered": (None, 1)}
    return _beside(archetype.estimate, pool, outside.get(archetype.verdict, (None, None)))


def range_of(archetype: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Print a range; all of it lies beyond a line exactly where the verdict says so."""
    low, high = sides(archetype)
    return words.span(_beside(archetype.low, pool, low), _beside(archetype.high, pool, high))


def sides(archetype: ArchetypeVerdict) -> tuple[Sides, Sides]:
    """Say on which sides of the two lines the ends of a range have to be seen."""
    if not archetype.games:
        return (None, None), (None, None)
    low = 1 if archetype.verdict == "overpowered" else -1
    return (None, low), (-1 if archetype.verdict == "underpowered" else 1, None)


def _beside(rate: float, pool: "Lines", sides: Sides) -> str:
    """Print a rate beside the nearer line, on a given side of it where it is very near."""
    is_low = abs(rate - pool.low_line) <= abs(rate - pool.high_line)
    line, side = (pool.low_line, sides[0]) if is_low else (pool.high_line, sides[1])
    return words.near_line(rate, line, side)


def place(archetype: "Judged") -> Place:
    """Tell where an archetype is said to lie, or where it most likely does."""
    likeliest = max(PLACES, key=lambda where: getattr(archetype, f"chance_{where}"))
    return SAID.get(archetype.verdict, likeliest)


def bar(where: Place, pool: "Lines") -> float:
    """Return how sure a verdict has to be that says so."""
    return pool.balanced if where == "between" else pool.sure


def twentieths(archetype: "Judged", where: Place, pool: "Lines") -> int:
    """Round the chance of a place; with the same one no two verdicts differ."""
    chance, is_said = (
        getattr(archetype, f"chance_{where}"),
        SAID.get(archetype.verdict) == where,
    )
    return words.to_bar(chance, bar(where, pool), reached=is_said)


def chance(archetype: ArchetypeVerdict, pool: ArchetypePool) -> str:
    """Print the chance of the likeliest place, and the place."""
    if not archetype.games:
        return "no games"
    return likeliest(archetype, pool)


def likeliest(archetype: "Judged", pool: "Lines") -> str:
    """Print the chance of the likeliest place, and the place, games or none."""
    where = place(archetype)
    return f"{words.of_twenty(twentieths(archetype, where, pool))} {where}"


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
    """Print a difference of rates in points, with its sign, if it is known.

    Examples
    --------
    >>> signed(0.0149), signed(None)
    ('+1.5', '?')
    """
    return "?" if difference is None else words.signed(difference)


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
    """Print what a card does to an archetype."""
    return f"{card.card} {part(card.pull, card.low, card.high)}"
