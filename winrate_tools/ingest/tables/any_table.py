"""Inspect a table of whichever kind it is."""

from collections.abc import Callable, Mapping
from typing import Any

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
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.roles.memory import remembered_mapping
from winrate_tools.ingest.roles.recognition import recognised
from winrate_tools.ingest.tables.archetypes import inspect_archetypes
from winrate_tools.ingest.tables.candidates import inspect_candidates
from winrate_tools.ingest.tables.matches import inspect_matches
from winrate_tools.ingest.tables.pools import inspect_pool
from winrate_tools.ingest.tables.read import inspect_cards
from winrate_tools.ingest.text.source import CardSource, Load, load
from winrate_tools.matches import MatchTable
from winrate_tools.pools import CandidateTable, PoolTable
from winrate_tools.tables import ArchetypeTable, CardTable

AnyTable = CardTable | ArchetypeTable | PoolTable | CandidateTable | MatchTable


def inspect_any(
    source: CardSource,
    *,
    kind: str | None = None,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> tuple[Kind, TableInspection[AnyTable]]:
    r"""Tell the kind of a table by its columns and everything about it.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `winrate_tools.ingest.tables.read.read_cards`.
    kind : str, optional
        ``cards``, ``archetypes``, ``pool``, ``candidates`` or ``matches`` where the user
        says so.

    Returns
    -------
    tuple of (Kind, TableInspection)
        What it was read as, and what the reader found.

    Raises
    ------
    TableError
        If there is no such file or it is no table of rows and cells.
    SettingError
        If a role or the decimal mark is none.

    Examples
    --------
    >>> kind, seen = inspect_any(b"card,copies\nAsh Vine,3\nTin Moth,1\n")
    >>> kind.title, seen.table.size
    ('pool', 4)
    """
    loaded = load(source, name=name)
    found = KINDS[kind] if kind else _kind_of(loaded, columns or {}, use_memory)
    inspect = INSPECTORS[found.title]
    return found, inspect(
        loaded,
        columns=columns,
        decimal=decimal,
        skip_bad=skip_bad,
        sum_duplicates=sum_duplicates,
        use_memory=use_memory,
    )


INSPECTORS: dict[str, Callable[..., TableInspection[Any]]] = {
    CARDS.title: inspect_cards,
    ARCHETYPES.title: inspect_archetypes,
    POOL.title: inspect_pool,
    CANDIDATES.title: inspect_candidates,
    MATCHES.title: inspect_matches,
}


def _kind_of(loaded: Load, columns: Mapping[str, ColumnChoice], use_memory: bool) -> Kind:
    headers = open_grid(loaded)[0].headers
    kept = None
    if use_memory and loaded.folder is not None:
        kept = remembered_mapping(loaded.folder, headers)
    return recognised(headers, {*columns, *(kept or {})})
