"""What a table can and cannot support, from what it holds."""

from winrate_tools.matches import MatchTable
from winrate_tools.pools import CandidateTable, PoolTable
from winrate_tools.report.document import Entry
from winrate_tools.report.support.card_support import card_support, games
from winrate_tools.report.support.match_support import match_support
from winrate_tools.report.support.pool_support import candidate_support, pool_support
from winrate_tools.tables import ArchetypeTable, CardTable

AnyTable = CardTable | ArchetypeTable | PoolTable | CandidateTable | MatchTable


def support(table: AnyTable) -> tuple[Entry, ...]:
    """Say what the data can and cannot support, and what finer tables would buy.

    Returns
    -------
    tuple of Entry
        What there is of each thing that matters.
    """
    match table:
        case PoolTable():
            return pool_support(table)
        case CandidateTable():
            return candidate_support(table)
        case MatchTable():
            return match_support(table)
        case ArchetypeTable():
            return _archetypes(table)
    return card_support(table)


def _archetypes(table: ArchetypeTable) -> tuple[Entry, ...]:
    totals = table.totals()
    skill = (
        "rows are split by skill band: a strong archetype is told from one of strong players."
        if table.skill_band
        else "one row an archetype. Without a split by skill band, an archetype that strong "
        "players choose looks better than it is."
    )
    return (
        Entry("Games", games(len(totals), totals.games, "archetype")),
        Entry("Skill", skill),
        Entry(
            "Cards",
            "none. Beside a table of cards by archetype, an archetype's own part could be told "
            "from its cards' part.",
        ),
    )
