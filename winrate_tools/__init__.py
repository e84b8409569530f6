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
    from winrate_tools.errors import WinrateError
    from winrate_tools.ingest.tables.archetypes import read_archetypes
    from winrate_tools.ingest.tables.read import read_cards
    from winrate_tools.ranking import Ranking, rank, write_report
    from winrate_tools.settings import Settings
    from winrate_tools.tables import ArchetypeTable, CardTable

__version__ = "0.1.0"
__all__ = [
    "ArchetypeTable",
    "CardTable",
    "Ranking",
    "Settings",
    "WinrateError",
    "rank",
    "read_archetypes",
    "read_cards",
    "write_report",
]

_HOMES = {
    "ArchetypeTable": "tables",
    "CardTable": "tables",
    "Ranking": "ranking",
    "Settings": "settings",
    "WinrateError": "errors",
    "rank": "ranking",
    "read_archetypes": "ingest.tables.archetypes",
    "read_cards": "ingest.tables.read",
    "write_report": "ranking",
}


def __getattr__(name: str) -> Any:
    """Load a public name from its home, so that importing the package costs nothing."""
    if name not in _HOMES:
        msg = f"module {__name__!r} has no attribute {name!r}"
        raise AttributeError(msg)
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
