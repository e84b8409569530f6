"""A judged pool as records for other programs: CSV and JSON, with every digit."""

import csv
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, fields
from io import StringIO
from typing import TYPE_CHECKING

from winrate_tools.columns import RANKING_COLUMNS
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.settings import Settings

if TYPE_CHECKING:
    from winrate_tools.tables import Source

SCHEMA_VERSION = 1
SHOWN = ("estimate", "range", "chance_below", "chance_worst", "rank", "games_needed")
TEXTS = {"name", "label"}
FORMULA = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")
"""How a text begins that some spreadsheet computes, the wide signs among them."""
LINE_END = re.compile("\r\n?")
STEERING = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff]"
)
"""Controls, marks that turn the direction of text, and letters that take no place."""


def csv_text(cards: Sequence[CardVerdict]) -> str:
    """Write cards as CSV, one row a card, columns as in the glossary.

    Numbers are written with every digit, so that reading them back gives the same ones; a
    name that a spreadsheet would take for a formula gets an apostrophe in front.

    Returns
    -------
    str
        CSV with a header line; unknown is blank; reasons are parted by semicolons.
    """
    lines = StringIO()
    writer = csv.writer(lines, lineterminator="\n")
    writer.writerow(RANKING_COLUMNS)
    for card in cards:
        writer.writerow(
            _cell(getattr(card, name), column.kind) for name, column in RANKING_COLUMNS.items()
        )
    return lines.getvalue()


def _cell(value: object, kind: str) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return repr(float(value))
    text = "; ".join(value) if isinstance(value, tuple) else str(value)
    return guarded(text) if kind in TEXTS else LINE_END.sub("\n", text)


def guarded(text: str) -> str:
    r"""Write a text so that no spreadsheet computes it and nothing in it steers or hides.

    Readers take the apostrophe off again.

    Examples
    --------
    >>> guarded("=1+1"), guarded("Ash Vine")
    ("'=1+1", 'Ash Vine')
    >>> print(guarded("red\x1b[31m"))
    red\x1b[31m
    """
    text = STEERING.sub(_spelt, LINE_END.sub("\n", text))
    return f"'{text}" if text.lstrip("'").startswith(FORMULA) else text


def _spelt(found: re.Match[str]) -> str:
    return found[0].encode("unicode_escape").decode()


def json_text(
    pool: PoolVerdict,
    cards: Sequence[CardVerdict],
    source: "Source",
    settings: Settings,
    *,
    origins: Mapping[str, str],
    version: str,
    since: Mapping[str, object] | None = None,
) -> str:
    """Write a ranking as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``seed``, ``source``, ``settings`` with
        origins, ``pool``, ``cards`` with every digit and, as ``shown``, with the digits that a
        report prints, ``warnings``, and ``since`` where given. Pure ASCII, so that every stream
        can carry it.
    """
    from winrate_tools.decide.cards.spread import spread_range

    summary = {field.name: getattr(pool, field.name) for field in fields(pool)}
    for apart in ("cards", "warnings", "seed", "beliefs"):
        del summary[apart]
    summary["archetypes"] = None if pool.archetypes is None else asdict(pool.archetypes)
    summary["outlook"] = [asdict(ahead) for ahead in pool.outlook]
    summary["size"] = len(pool.cards)
    summary |= spread_range(pool)._asdict()
    return object_json(
        version=version,
        seed=pool.seed,
        source={**_plain(source), "roles": dict(source.roles)},
        settings=with_origins(settings, [field.name for field in fields(settings)], origins),
        pool=summary,
        cards=[{**asdict(card), "shown": shown(card, pool)} for card in cards],
        warnings=list(pool.warnings),
        **({} if since is None else {"since": since}),
    )


def _plain(source: "Source") -> dict[str, object]:
    return {"name": source.name, "sha256": source.sha256, "notes": list(source.notes)}


def with_origins(
    asked: object, names: Iterable[str], origins: Mapping[str, str]
) -> dict[str, object]:
    """Tell what was asked for, each name with its value and where that came from."""
    return {
        name: {"value": getattr(asked, name), "origin": origins.get(name, "default")}
        for name in names
    }


def rows_csv(rows: Sequence[Mapping[str, object]], columns: Sequence[str] = ()) -> str:
    """Write rows that share their keys as CSV, texts safe from being taken for formulas.

    Without any row, `columns` head the file.
    """
    lines = StringIO()
    writer = csv.writer(lines, lineterminator="\n")
    writer.writerow(rows[0] if rows else columns)
    writer.writerows([_cell(value, "label") for value in row.values()] for row in rows)
    return lines.getvalue()


def object_json(**content: object) -> str:
    """Write one object as JSON, with the schema's version in front."""
    record = {"schema_version": SCHEMA_VERSION, **content}
    return json.dumps(record, indent=1, allow_nan=False) + "\n"


def shown(card: CardVerdict, pool: PoolVerdict) -> dict[str, str]:
    """Return the digits that every report prints of a card."""
    from winrate_tools.report.cards.card_tables import FACTS

    return {fact: FACTS[fact][1](card, pool) for fact in SHOWN}
