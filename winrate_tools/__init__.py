"""Decide from win-rate data what to cut from a fixed pool of draft cards.

The public surface, loaded when first asked for:

>>> import winrate_tools as wt
>>> cards = wt.CardTable(["Ash Vine", "Tin Moth"], games=[900, 900], wins=[360, 540])
>>> ranking = wt.rank(cards, baseline=0.5, margin=0.02)
>>> ranking.verdict.cards[0].card
'Ash Vine'
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from winrate_tools.answers import Answer
    from winrate_tools.errors import WinrateError
    from winrate_tools.goals import Goals
    from winrate_tools.ingest.tables.archetypes import read_archetypes
    from winrate_tools.ingest.tables.candidates import read_candidates
    from winrate_tools.ingest.tables.cards import read_cards
    from winrate_tools.ingest.tables.matches import read_matches
    from winrate_tools.ingest.tables.pools import read_pool
    from winrate_tools.ingest.tally_logs import tally_logs
    from winrate_tools.jobs.archetypes import archetypes
    from winrate_tools.jobs.changes import changes
    from winrate_tools.jobs.packs import packs
    from winrate_tools.jobs.plan import plan
    from winrate_tools.jobs.power import power
    from winrate_tools.jobs.update import update
    from winrate_tools.matches import Match, MatchTable
    from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable
    from winrate_tools.ranking import Ranking, rank, write_report
    from winrate_tools.settings import Settings
    from winrate_tools.tables import ArchetypeTable, CardTable

__version__ = "0.1.0"
__all__ = [
    "Answer",
    "ArchetypeTable",
    "Candidate",
    "CandidateTable",
    "CardTable",
    "Goals",
    "Match",
    "MatchTable",
    "PoolCard",
    "PoolTable",
    "Ranking",
    "Settings",
    "WinrateError",
    "archetypes",
    "changes",
    "packs",
    "plan",
    "power",
    "rank",
    "read_archetypes",
    "read_candidates",
    "read_cards",
    "read_matches",
    "read_pool",
    "tally_logs",
    "update",
    "write_report",
]

_HOMES = {
    "answers": ["Answer"],
    "errors": ["WinrateError"],
    "goals": ["Goals"],
    "ingest.tables.archetypes": ["read_archetypes"],
    "ingest.tables.candidates": ["read_candidates"],
    "ingest.tables.cards": ["read_cards"],
    "ingest.tables.matches": ["read_matches"],
    "ingest.tables.pools": ["read_pool"],
    "ingest.tally_logs": ["tally_logs"],
    "jobs.archetypes": ["archetypes"],
    "jobs.changes": ["changes"],
    "jobs.packs": ["packs"],
    "jobs.plan": ["plan"],
    "jobs.power": ["power"],
    "jobs.update": ["update"],
    "matches": ["Match", "MatchTable"],
    "pools": ["Candidate", "CandidateTable", "PoolCard", "PoolTable"],
    "ranking": ["Ranking", "rank", "write_report"],
    "settings": ["Settings"],
    "tables": ["ArchetypeTable", "CardTable"],
}
"""Where each public name lives."""


def __getattr__(name: str) -> Any:
    """Load a public name from its home, so that importing the package costs nothing."""
    home = next((home for home, names in _HOMES.items() if name in names), None)
    if home is None:
        msg = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(msg)
    return getattr(import_module(f"{__name__}.{home}"), name)


def __dir__() -> list[str]:
    """List the public names, so that a notebook completes them before they are loaded."""
    return __all__
