"""What a table of cards lacks for sound verdicts, told before anything is fitted."""

from typing import NamedTuple

import numpy as np

from winrate_tools.decide.cards.verdicts import Caution
from winrate_tools.settings import Settings
from winrate_tools.stats.cards import prior
from winrate_tools.stats.cards.usage import usage
from winrate_tools.stats.crossed import rows
from winrate_tools.tables import CardTable

MOST_UNLABELLED = rows.MOST_UNLABELLED


class Holdings(NamedTuple):
    """What a table holds that verdicts can use.

    Attributes
    ----------
    cards : int
        Cards with games of known results.
    usage : bool
        Whether it shows how drafters treat the cards.
    factions : bool
        Whether it names two factions or more.
    strata : tuple of str
        By what games can be told apart: ``"archetype"``, ``"skill_band"``.
    is_compared : bool
        Whether held games can be compared with unheld ones.
    """

    cards: int
    usage: bool
    factions: bool
    strata: tuple[str, ...]
    is_compared: bool


def holdings(table: CardTable) -> Holdings:
    """Find what a table holds that verdicts can use.

    Parameters
    ----------
    table : CardTable
        Rows by card, or by card within archetype, skill band or both.

    Returns
    -------
    Holdings
        A column of which too little is known to be used counts as absent.

    Examples
    --------
    Both rows are of one archetype, so nothing can be told apart by it:

    >>> table = CardTable(["Ash", "Bee"], [90, 80], [40, 50], archetype=["Kites", "Kites"])
    >>> holdings(table)
    Holdings(cards=2, usage=True, factions=False, strata=(), is_compared=False)
    """
    totals = table.totals()
    found = rows.rows_of(table, totals, Settings())
    return Holdings(
        int(((totals.games > 0) & ~np.isnan(totals.wins)).sum()),
        bool(usage(totals).columns),
        len(set(totals.faction or ()) - {None}) > 1,
        found.strata,
        found.has_unheld,
    )


def lacking(held: Holdings) -> tuple[Caution, ...]:
    """Tell what verdicts will want.

    Examples
    --------
    >>> lacking(Holdings(200, True, True, ("archetype",), False))
    ('no skill bands',)
    """
    found: dict[Caution, bool] = {
        "few cards": held.cards < prior.FEWEST_CARDS,
        "no usage": not held.usage,
        "no factions": not held.factions and "archetype" not in held.strata,
        "no skill bands": "skill_band" not in held.strata and not held.is_compared,
    }
    return tuple(caution for caution, holds in found.items() if holds)
