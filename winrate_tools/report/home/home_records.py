"""A table's own games as records for other programs: CSV and JSON, with every digit."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

from winrate_tools.decide.home.home_verdicts import HomeUpdate
from winrate_tools.decide.home.journal import Review
from winrate_tools.report.archetypes.archetype_records import USED
from winrate_tools.report.cards.records import object_json, rows_csv, with_origins
from winrate_tools.settings import Settings
from winrate_tools.tables import Source

COLUMNS = (
    *("kind", "name", "games", "wins", "before", "before_low", "before_high"),
    *("before_verdict", "estimate", "low", "high", "chance_below", "chance_above"),
    *("verdict", "games_needed", "nights_needed"),
)
"""Columns of the CSV; blank where a kind of row has none."""


def home_csv(update: HomeUpdate) -> str:
    """Write players, archetypes and cards as CSV, a row each.

    Returns
    -------
    str
        CSV with a header line, `COLUMNS`; unknown is blank.
    """
    return rows_csv(home_rows(update))


def home_rows(update: HomeUpdate) -> list[dict[str, object]]:
    """Lay out players, archetypes and cards by column, `COLUMNS`; None where one has none."""
    rows = [{"kind": "player", "name": one.player, **asdict(one)} for one in update.players]
    rows += [
        {
            "kind": "archetype",
            "name": one.archetype,
            "before": one.strangers,
            "before_low": one.strangers_low,
            "before_high": one.strangers_high,
            "before_verdict": one.strangers_verdict,
            **asdict(one),
        }
        for one in update.archetypes
    ]
    rows += [{"kind": "card", "name": one.card, **asdict(one)} for one in update.cards]
    return [{name: row.get(name) for name in COLUMNS} for row in rows]


def home_json(
    update: HomeUpdate,
    journal: Sequence[Review],
    sources: Sequence[Source],
    settings: Settings,
    *,
    origins: Mapping[str, str],
    version: str,
) -> str:
    """Write what a table's games say as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``seed``, ``sources``, ``settings`` with
        origins, ``table``, ``players``, ``archetypes``, ``changes``, ``cards``, ``journal``
        and ``warnings``; dates as in ISO 8601.
    """
    apart = ("players", "archetypes", "changes", "cards", "warnings")
    whole = asdict(update)
    return object_json(
        version=version,
        seed=settings.seed,
        sources=[asdict(source) for source in sources],
        settings=with_origins(settings, USED, origins),
        table={
            field.name: _plain(whole[field.name])
            for field in fields(update)
            if field.name not in apart
        },
        players=whole["players"],
        archetypes=whole["archetypes"],
        changes=[_plain(change) for change in whole["changes"]],
        cards=whole["cards"],
        journal=[_plain(asdict(review)) for review in journal],
        warnings=list(update.warnings),
    )


def _plain(value: Any) -> Any:
    """Write days as text, at any depth."""
    if isinstance(value, Mapping):
        return {name: _plain(each) for name, each in value.items()}
    return value.isoformat() if isinstance(value, dt.date) else value
