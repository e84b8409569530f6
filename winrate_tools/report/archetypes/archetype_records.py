"""Judged archetypes as records for other programs: CSV and JSON, with every digit."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, fields

from winrate_tools.columns import ARCHETYPE_COLUMNS
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool, ArchetypeVerdict
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.cards.records import object_json, rows_csv, with_origins
from winrate_tools.settings import Settings
from winrate_tools.tables import Source

USED = ("margin", "sure", "measure", "allowance", "design_effect", "seed")
"""Settings that bear on archetypes, here and at home."""


def archetypes_csv(pool: ArchetypePool) -> str:
    """Write archetypes as CSV, the weakest first, columns as in the glossary.

    Returns
    -------
    str
        CSV with a header line; unknown is blank.
    """
    return rows_csv(archetype_rows(pool))


def archetype_rows(pool: ArchetypePool) -> list[dict[str, object]]:
    """Lay out archetypes by column, `winrate_tools.columns.ARCHETYPE_COLUMNS`."""
    return [{name: getattr(one, name) for name in ARCHETYPE_COLUMNS} for one in pool.archetypes]


def archetypes_json(
    pool: ArchetypePool,
    sources: Sequence[Source],
    settings: Settings,
    *,
    origins: Mapping[str, str],
    version: str,
) -> str:
    """Write archetypes as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``seed``, ``sources``, ``settings`` with
        origins, ``pool``, ``archetypes`` with every digit and, as ``shown``, with the digits
        that a report prints, and ``warnings``.
    """
    summary = {field.name: getattr(pool, field.name) for field in fields(pool)}
    for name in ("archetypes", "warnings", "seed"):
        del summary[name]
    return object_json(
        version=version,
        seed=pool.seed,
        sources=[asdict(source) for source in sources],
        settings=with_origins(settings, USED, origins),
        pool=summary,
        archetypes=[{**asdict(one), "shown": shown(one, pool)} for one in pool.archetypes],
        warnings=list(pool.warnings),
    )


def shown(one: ArchetypeVerdict, pool: ArchetypePool) -> dict[str, str]:
    """Return the digits that every report prints of an archetype."""
    return {
        "estimate": archetype_words.estimate(one, pool),
        "range": archetype_words.range_of(one, pool),
        "chance": archetype_words.chance(one, pool),
        "cards_part": archetype_words.signed(one.cards_part),
        "own_part": archetype_words.signed(one.own_part),
        "games_needed": archetype_words.games_needed(one),
    }
