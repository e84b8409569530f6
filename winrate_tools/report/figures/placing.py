"""Which picture stands in which section of the cut report."""

from collections.abc import Iterable

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report.document import Section
from winrate_tools.report.figures.gallery import gallery

PLACES = {"archetypes": "Archetypes", "use": "Traps", "outlook": "What cannot be said yet"}
GLANCE = "All cards at a glance"
BEFORE = "How to read the numbers"


def illustrated(sections: Iterable[Section], pool: PoolVerdict) -> tuple[Section, ...]:
    """Put every picture of a pool into the section that it belongs to.

    Returns
    -------
    tuple of Section
        The same, and before the explanations a section of the pictures that show all cards.
    """
    pictures = gallery(pool)
    general = tuple(one for one in pictures if one.name not in PLACES)
    found: list[Section] = []
    for section in sections:
        if section.title == BEFORE:
            found.append(Section(GLANCE, general))
        own = tuple(one for one in pictures if PLACES.get(one.name) == section.title)
        found.append(section._replace(blocks=(*section.blocks, *own)))
    return tuple(found)
