"""Inspect a table of whichever kind it is."""

from collections.abc import Callable
from typing import Any, Unpack

from winrate_tools.ingest.checks.inspection import TableInspection, open_grid
from winrate_tools.ingest.roles.kinds import (
    ARCHETYPES,
    CANDIDATES,
    CARDS,
    KINDS,
    MATCHES,
    POOL,
    Kind,
)
from winrate_tools.ingest.roles.memory import remembered_mapping
from winrate_tools.ingest.roles.recognition import recognised_rows
from winrate_tools.ingest.tables.archetypes import inspect_archetypes
from winrate_tools.ingest.tables.candidates import inspect_candidates
from winrate_tools.ingest.tables.cards import inspect_cards
from winrate_tools.ingest.tables.matches import inspect_matches
from winrate_tools.ingest.tables.pools import inspect_pool
from winrate_tools.ingest.tables.reading import Reading
from winrate_tools.ingest.text.source import TableSource, load
from winrate_tools.matches import MatchTable
from winrate_tools.pools import CandidateTable, PoolTable
from winrate_tools.tables import ArchetypeTable, CardTable

AnyTable = CardTable | ArchetypeTable | PoolTable | CandidateTable | MatchTable


def inspect_any(
    source: TableSource, *, kind: str | None = None, **reading: Unpack[Reading]
) -> tuple[Kind, TableInspection[AnyTable]]:
    r"""Tell the kind of a table by its columns and everything about it.

    Parameters
    ----------
    source, **reading
        As in `winrate_tools.ingest.tables.cards.read_cards`.
    kind : str, optional
        ``cards``, ``archetypes``, ``pool``, ``candidates`` or ``matches`` where the user
        says so.

    Returns
    -------
    tuple of (Kind, TableInspection)
        What it was read as, and what the reader found.

    Examples
    --------
    >>> kind, seen = inspect_any(b"card,copies\nAsh Vine,3\nTin Moth,1\n")
    >>> kind.title, seen.table.size
    ('pool', 4)
    """
    loaded = load(source, name=reading.get("name"))
    found = KINDS[kind] if kind else kind_of(loaded, **reading)
    return found, INSPECTORS[found.title](loaded, **reading)


INSPECTORS: dict[str, Callable[..., TableInspection[Any]]] = {
    CARDS.title: inspect_cards,
    ARCHETYPES.title: inspect_archetypes,
    POOL.title: inspect_pool,
    CANDIDATES.title: inspect_candidates,
    MATCHES.title: inspect_matches,
}


def kind_of(source: TableSource, **reading: Unpack[Reading]) -> Kind:
    r"""Tell the kind of a table by its columns: cards where nothing speaks for another kind.

    Parameters
    ----------
    source, **reading
        As in `winrate_tools.ingest.tables.cards.read_cards`.

    Examples
    --------
    >>> kind_of(b"player,opponent,score\nAda,Bo,2-1\n").title
    'matches'
    """
    loaded = load(source, name=reading.get("name"))
    grid = open_grid(loaded)[0]
    kept = None
    if reading.get("use_memory", True) and loaded.folder is not None:
        kept = remembered_mapping(loaded.folder, grid.headers)
    told = {*(reading.get("columns") or {}), *(kept or {})}
    return recognised_rows(grid.headers, [row.cells for row in grid.rows], told)
