"""An earlier ranking, read from the JSON that ``rank`` and ``report`` write."""

import json
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, get_args

from winrate_tools.alike import folded
from winrate_tools.cli.loading import demand_file
from winrate_tools.decide.cards.rules import Verdict
from winrate_tools.decide.cards.since import Earlier, EarlierCard
from winrate_tools.errors import Problem, SettingError, TableError
from winrate_tools.settings import Settings

SCHEMA_VERSION = 1
"""The schema that is read, as `winrate_tools.report.cards.records` writes it."""
ANEW = "write it anew: winrate-tools rank TABLE --json -o FILE.json"
OPTIONS = {"measure": "--measure", "target": "--for"}

Check = Callable[[Any], bool]


def is_number(value: Any) -> bool:
    """Tell whether a value of JSON is a number; true and false are none."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_count(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 0


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip())


CHANCE: tuple[str, Check] = ("a number from 0 to 1", lambda v: is_number(v) and 0 <= v <= 1)
COUNT: tuple[str, Check] = ("a count or null", lambda v: v is None or _is_count(v))
TEXT: tuple[str, Check] = ("a text", _is_text)
CARD: dict[str, tuple[str, Check]] = {
    "card": TEXT,
    "games": COUNT,
    "wins": COUNT,
    "estimate": CHANCE,
    "chance_below": CHANCE,
    "verdict": ("cut, keep or more games", lambda value: value in get_args(Verdict)),
}
POOL: dict[str, tuple[str, Check]] = {
    "line": ("a rate between 0 and 1", lambda v: is_number(v) and 0 < v < 1),
    "baseline": CHANCE,
    "margin": CHANCE,
    "sure": ("above 0.5 and below 1", lambda v: is_number(v) and 0.5 < v < 1),
    "measure": TEXT,
    "target": TEXT,
}
COUNTS = ("strata", "has_unheld", "usage_columns")


def earlier_ranking(path: str) -> Earlier:
    """Read and check the JSON that ``rank --json`` or ``report --json`` wrote.

    Raises
    ------
    SettingError
        If there is no such file, or its schema is another.
    TableError
        If it is no JSON, or no ranking of cards that makes sense.
    """
    demand_file(path)
    name = Path(path).name
    record = _object(_loaded(Path(path).read_bytes(), name), name, "the file")
    version = record.get("schema_version")
    if version != SCHEMA_VERSION:
        msg = (
            f"{name}: schema_version must be {SCHEMA_VERSION}, got {version!r}; use the "
            f"winrate_tools that wrote it, or {ANEW}"
        )
        raise SettingError(msg)
    if not isinstance(record.get("cards"), list) or "pool" not in record:
        msg = f"{name}: no ranking of cards in this file; {ANEW}"
        raise TableError(msg)
    return _earlier(record, name)


def demand_same_question(earlier: Earlier, settings: Settings, path: str) -> None:
    """Refuse to compare estimates of different things.

    Raises
    ------
    SettingError
        If other games counted, or the estimates were for other players.
    """
    for field, option in OPTIONS.items():
        then, now = getattr(earlier, field), getattr(settings, field)
        if "".join(then.split()) != "".join(now.split()):
            msg = (
                f"--since {path} judged with {option} {then!r}, this run with {now!r}: such "
                f"estimates cannot be compared; say {option} {then!r}, or name a ranking made "
                f"with {option} {now!r}"
            )
            raise SettingError(msg)


def demand_shared(shared: int, path: str) -> None:
    """Refuse to compare a pool with a ranking of none of its cards.

    Raises
    ------
    SettingError
        If no card stands in both.
    """
    if not shared:
        msg = f"--since {path} tells of none of this table's cards; name a ranking of this pool"
        raise SettingError(msg)


def _loaded(data: bytes, name: str) -> Any:
    try:
        return json.loads(data)
    except json.JSONDecodeError as error:
        line = error.doc.split("\n")[error.lineno - 1]
        place = f"{name}:{error.lineno}:{error.colno}"
        start = min(error.colno - 1, len(line))
        what = error.msg[:1].lower() + error.msg[1:]
        problem = Problem(place, what, line, start, min(start + 1, len(line)), ANEW)
        msg = f"{name}: this is no JSON"
        raise TableError(msg, [problem]) from error
    except (ValueError, RecursionError) as error:
        msg = f"{name}: this is no JSON that can be read; {ANEW}"
        raise TableError(msg) from error


def _earlier(record: Mapping[str, Any], name: str) -> Earlier:
    pool = _checked(_object(record["pool"], name, "pool"), POOL, name, "pool")
    cards = [
        _checked(_object(card, name, f"cards[{i}]"), CARD, name, f"cards[{i}]")
        for i, card in enumerate(record["cards"])
    ]
    _demand_sound(cards, name)
    source = _object(record.get("source", {}), name, "source")
    settings = _object(record.get("settings", {}), name, "settings")
    size = pool.get("size", len(cards))
    if not _is_count(size) or size < len(cards):
        _refuse(name, "pool.size", f"a count from {len(cards)}", size)
    return Earlier(
        name=str(source.get("name", name)),
        sha256=source.get("sha256"),
        version=str(record.get("version", "unknown")),
        **{field: pool[field] for field in POOL},
        settings={
            key: _object(value, name, f"settings.{key}").get("value")
            for key, value in settings.items()
        },
        counts={key: _frozen(pool.get(key)) for key in COUNTS},
        size=size,
        cards=tuple(EarlierCard(**{field: card[field] for field in CARD}) for card in cards),
    )


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _object(value: Any, name: str, where: str) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        _refuse(name, where, "an object", value)
    return dict(value)


def _checked(
    record: Mapping[str, Any],
    checks: Mapping[str, tuple[str, Check]],
    name: str,
    where: str,
) -> Mapping[str, Any]:
    for field, (wanted, holds) in checks.items():
        if field not in record:
            _refuse(name, f"{where}.{field}", wanted, "nothing")
        if not holds(record[field]):
            _refuse(name, f"{where}.{field}", wanted, record[field])
    return record


def _demand_sound(cards: Sequence[Mapping[str, Any]], name: str) -> None:
    seen: set[str] = set()
    for i, card in enumerate(cards):
        games, wins = card["games"], card["wins"]
        if games is not None and wins is not None and wins > games:
            _refuse(name, f"cards[{i}].wins", f"at most its games of {games}", wins)
        if folded(card["card"]) in seen:
            _refuse(name, f"cards[{i}].card", "a name that no other card has", card["card"])
        seen.add(folded(card["card"]))


def _refuse(name: str, where: str, wanted: str, got: Any) -> None:
    shown = repr(got) if len(repr(got)) <= 40 else f"{repr(got)[:40]}..."
    msg = f"{name}: {where} must be {wanted}, got {shown}; {ANEW}"
    raise TableError(msg)
