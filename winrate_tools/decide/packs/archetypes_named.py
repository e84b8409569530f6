"""Whether the cards of a pool name archetypes often enough to count by them."""

from collections.abc import Iterable

from winrate_tools.pools import PoolCard

MOSTLY = 0.5
"""Share of the copies that must name an archetype before the others are said to have none."""


def archetypes_named(cards: Iterable[PoolCard]) -> bool | None:
    """Whether enough copies name archetypes to count by them; None where no card names any.

    Examples
    --------
    >>> archetypes_named([PoolCard("Moth", 1, archetypes=("Kites",)), PoolCard("Bell", 3)])
    False
    """
    held = [(card.copies, bool(card.archetypes)) for card in cards if card.copies]
    if not any(names for _, names in held):
        return None
    named = sum(copies for copies, names in held if names)
    return named >= MOSTLY * sum(copies for copies, _ in held)
