"""What limits the verdicts on archetypes, in sentences."""

from collections.abc import Callable

from winrate_tools.decide.archetypes.archetype_counts import COUNTED
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.report import words

CAUTIONS: dict[str, Callable[[ArchetypePool], str]] = {
    "estimated games": lambda pool: (
        f"Games of decks are not known. They were worked out from the cards' games, at "
        f"{words.plain(pool.counted or 0)} cards counted in a game, which is common practice "
        "and an assumption; a table of whole decks would do better."
    ),
    "unlabelled": lambda _: (
        "Many games have no archetype and were left out; the rest may not stand for all."
    ),
    "other games": lambda pool: (
        "The cards' games do not fit the decks' games, of which each should have about "
        f"{words.plain(COUNTED[pool.measure])}; only the shares of the cards were used. Take "
        "both tables from the same days."
    ),
    "unmatched": lambda _: (
        "The table of cards and the table of whole decks do not name the same archetypes."
    ),
    "no cards": lambda _: (
        "No table of cards says which archetype holds which cards, so nothing can be said "
        "about their part."
    ),
    "no skill bands": lambda _: (
        "Skill bands are not known: an archetype that good players favour looks stronger than "
        "it is."
    ),
}


def cautions(pool: ArchetypePool) -> tuple[str, ...]:
    """Say what limits the verdicts on archetypes.

    Returns
    -------
    tuple of str
        What each warning comes to, and what can be done.
    """
    return tuple(CAUTIONS[warning](pool) for warning in pool.warnings)
