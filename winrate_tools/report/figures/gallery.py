"""All figures that a pool's data allow, in reading order."""

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report.document import Picture
from winrate_tools.report.figures import archetypes, estimates, luck, outlook, use

NAMES = tuple(kind.NAME for kind in (estimates, luck, archetypes, use, outlook))
"""Of all figures that there may be, in reading order."""


def gallery(pool: PoolVerdict) -> tuple[Picture, ...]:
    """Draw every figure that the data allow.

    Returns
    -------
    tuple of Picture
        In the order of `NAMES`.
    """
    found = [estimates.picture(pool)]
    if luck.played(pool):
        found.append(luck.picture(pool))
    if pool.archetypes is not None:
        found.append(archetypes.picture(pool.archetypes))
    if use.used(pool):
        found.append(use.picture(pool))
    return (*found, outlook.picture(pool))
