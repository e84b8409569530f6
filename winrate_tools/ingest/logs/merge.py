"""Tables of counts added up: the parts of one tally, made on any number of machines."""

from collections.abc import Sequence
from typing import Any, TypeVar

import numpy as np

from winrate_tools.alike import folded
from winrate_tools.errors import TableError
from winrate_tools.tables import COUNTS, LABELS, STRATA, ArchetypeTable, CardTable, Numbers

Table = TypeVar("Table", CardTable, ArchetypeTable)
Places = Sequence[int]


def merged_cards(tables: Sequence[CardTable]) -> CardTable:
    """Add tables of cards up, row by row of the same card, archetype and skill band.

    Rows come in order of first appearance. Means, such as a mean pick, are left out.

    Raises
    ------
    TableError
        If the tables differ in their counts or strata.

    Examples
    --------
    >>> parts = [CardTable(["Fox", "Moth"], [4, 2], [1, 2]), CardTable(["Moth"], [3], [1])]
    >>> merged = merged_cards(parts)
    >>> merged.card, merged.games.tolist(), merged.wins.tolist()
    (('Fox', 'Moth'), [4.0, 5.0], [1.0, 3.0])
    """
    _demand_alike(tables, (*COUNTS, *STRATA))
    place = _grouped(tables, ("card", *STRATA))
    columns: dict[str, Any] = {
        name: _firsts(tables, name, place) for name in LABELS if _is_known(tables, name)
    }
    columns |= {name: _sum(tables, name, place) for name in COUNTS if _is_known(tables, name)}
    names = _firsts(tables, "card", place)
    games, wins = columns.pop("games"), columns.pop("wins")
    return CardTable([str(name) for name in names], games, wins, **columns)


def merged_archetypes(tables: Sequence[ArchetypeTable]) -> ArchetypeTable:
    """Add tables of archetypes up, as `merged_cards` adds tables of cards.

    Raises
    ------
    TableError
        If only some tables have skill bands.
    """
    _demand_alike(tables, ("skill_band",))
    place = _grouped(tables, ("archetype", "skill_band"))
    bands = tables[0].skill_band and _firsts(tables, "skill_band", place)
    factions = [table.factions for table in tables]
    return ArchetypeTable(
        [str(name) for name in _firsts(tables, "archetype", place)],
        _sum(tables, "games", place),
        _sum(tables, "wins", place),
        skill_band=bands,
        factions=_firsts(tables, "factions", place) if any(factions) else None,
    )


def _is_known(tables: Sequence[Table], name: str) -> bool:
    return any(getattr(table, name) is not None for table in tables)


def _demand_alike(tables: Sequence[Table], names: Sequence[str]) -> None:
    for name in names:
        have = [table for table in tables if getattr(table, name) is not None]
        if have and len(have) < len(tables):
            lacks = next(table for table in tables if getattr(table, name) is None)
            word = name.replace("_", " ")
            msg = (
                f"{have[0].source.name} has {word} and {lacks.source.name} has not; tables "
                "that are to be added up must come of the same kind of tally"
            )
            raise TableError(msg)


def _grouped(tables: Sequence[Table], keys: Sequence[str]) -> Places:
    """Return each row's group over all tables, in order of first appearance."""
    columns = [[cell and folded(cell) for cell in _column(tables, key)] for key in keys]
    groups: dict[tuple[str | None, ...], int] = {}
    return [groups.setdefault(key, len(groups)) for key in zip(*columns, strict=True)]


def _column(tables: Sequence[Table], name: str) -> list[str | None]:
    cells: list[str | None] = []
    for table in tables:
        column = getattr(table, name)
        cells += [None] * len(table) if column is None else list(column)
    return cells


def _firsts(tables: Sequence[Table], name: str, place: Places) -> list[str | None]:
    """Return each group's first known label."""
    labels: list[str | None] = [None] * (max(place) + 1)
    for group, cell in zip(place, _column(tables, name), strict=True):
        labels[group] = labels[group] or cell
    return labels


def _sum(tables: Sequence[Table], name: str, place: Places) -> Numbers:
    counts = np.concatenate([getattr(table, name) for table in tables])
    return np.bincount(place, counts).astype(np.float64)
