"""Where each goal of a plan comes from: command line, configuration files, or nobody said."""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from math import isfinite
from pathlib import Path
from typing import Any

from winrate_tools.cli.configuration import shown_path
from winrate_tools.cli.suggest import did_you_mean
from winrate_tools.cli.toml_places import spot_of
from winrate_tools.errors import SettingError
from winrate_tools.goals import WEIGHTS, Goals, Quota, read_copies, read_kept, read_quotas

NAMES = tuple(field.name for field in fields(Goals))
TABLE = "goals"
FLAGS = {"quotas": "--quota"}
"""Options that are not called as their goal is."""


@dataclass(frozen=True, slots=True)
class ResolvedGoals:
    """Goals, and where each one came from.

    Attributes
    ----------
    goals : Goals
        The goals.
    origins : mapping of str to str
        Goal to the place of its value, ``"default"`` where nobody chose it.
    """

    goals: Goals
    origins: Mapping[str, str]


def resolve_goals(flags: Mapping[str, object], files: Iterable[Path]) -> ResolvedGoals:
    """Settle every goal; the command line goes before files.

    Parameters
    ----------
    flags : mapping of str to object
        Goal to what the command line says, None where it says nothing.
    files : iterable of Path
        Readable TOML files, the one that counts least first; their table ``[goals]`` counts.

    Returns
    -------
    ResolvedGoals

    Raises
    ------
    SettingError
        If a value makes no sense, with its place, or a key is not known.
    """
    chosen: dict[str, tuple[Any, str]] = {}
    for path in files:
        chosen |= _from_file(path)
    for name, raw in flags.items():
        if raw is not None:
            flag = FLAGS.get(name, f"--{name}")
            chosen[name] = _understood(name, raw, flag), f"command line: {flag}"
    values = {name: value for name, (value, _) in chosen.items()}
    origins = {name: chosen[name][1] if name in chosen else "default" for name in NAMES}
    return ResolvedGoals(Goals(**values), origins)


def _from_file(path: Path) -> dict[str, tuple[object, str]]:
    text, shown = path.read_text(encoding="utf-8-sig"), shown_path(path)
    table = tomllib.loads(text).get(TABLE, {})
    if not isinstance(table, dict):
        msg = f"{spot_of(shown, text, '', TABLE)}: goals must be a table: [goals]"
        raise SettingError(msg)
    layer = {}
    for key, raw in table.items():
        place = spot_of(shown, text, TABLE, key)
        if key not in NAMES:
            hint = did_you_mean(key, NAMES) or f"; there are {', '.join(NAMES)}"
            msg = f"{place}: no goal is called {key!r}{hint}"
            raise SettingError(msg)
        layer[key] = _understood(key, raw, f"{place}: {key}"), place
    return layer


def _understood(name: str, raw: object, spelling: str) -> object:
    """Parse a goal and try it alone, so that a message can say what its writer wrote."""
    try:
        value = PARSERS[name](raw)
        if name not in TOGETHER:
            Goals(**{name: value})  # type: ignore[arg-type]
    except SettingError as error:
        said = str(error)
        said = said.removeprefix(name).lstrip(": ") if said.startswith(name) else said
        msg = f"{spelling}: {said}" if ":" in spelling else f"{spelling} {said}"
        raise SettingError(msg) from error
    return value


TOGETHER = ("box_length", "card_thickness")
"""Goals that make sense only together."""


def _number(raw: object) -> float:
    text = str(raw).strip().replace(",", ".")
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if isinstance(raw, bool) or not isfinite(number):
        msg = f"must be a number, got {raw!r}"
        raise SettingError(msg)
    return number


def _money(raw: object) -> float:
    """Read an amount as a pool's prices are read: with or without a sign, in any style.

    Examples
    --------
    >>> _money("12,50 \u20ac"), _money("CHF 1'250.50"), _money(30)
    (12.5, 1250.5, 30.0)
    """
    from winrate_tools.ingest.cells.counts import readings
    from winrate_tools.ingest.cells.currencies import amount
    from winrate_tools.ingest.cells.numbers import tokenise

    token = tokenise(amount(raw)[0]) if isinstance(raw, str) else None
    if token is None or token.percent:
        return _number(raw)
    if token.is_doubtful:
        msg = f"must be an amount of money; {raw!r} could be {readings(str(raw))}"
        raise SettingError(msg)
    return token.value(token.marks[0])[0]


def _whole(raw: object) -> int:
    number = _number(raw)
    if number != int(number):
        msg = f"must be a whole number, got {raw!r}"
        raise SettingError(msg)
    return int(number)


def _is_yes(raw: object) -> bool:
    answers = {"yes": True, "true": True, "no": False, "false": False}
    if str(raw).lower() not in answers:
        msg = f"must be yes or no, got {raw!r}"
        raise SettingError(msg)
    return answers[str(raw).lower()]


def _joined(mark: str, read: Callable[[str], object]) -> Callable[[object], object]:
    """Read a list as people write it, as one text or as a list of texts."""

    def parse(raw: object) -> object:
        parts = list(raw) if isinstance(raw, list | tuple) else [raw]
        if not all(isinstance(part, str) for part in parts):
            msg = f"must be text, got {raw!r}"
            raise SettingError(msg)
        return read(mark.join(map(str, parts)))

    return parse


PARSERS: dict[str, Callable[[object], object]] = {
    **dict.fromkeys((*WEIGHTS, "dealt", *TOGETHER), _number),
    "budget": _money,
    **dict.fromkeys(("changes", "size", "slack", "box_cards", "resolves"), _whole),
    "whole": _is_yes,
    "keep": _joined(",", read_kept),
    "quotas": _joined(";", read_quotas),
    "copies": _joined(",", read_copies),
}


def written_goal(name: str, goals: Goals) -> str:
    """Write a goal as a configuration takes it.

    Examples
    --------
    >>> goals = Goals(keep=(), quotas=(Quota("role", "guest", 60),), copies=(("rare", 1),))
    >>> [written_goal(name, goals) for name in ("keep", "quotas", "copies", "whole", "size")]
    ['none', 'role guest 60-', 'rare 1', 'yes', 'not given']
    """
    value = getattr(goals, name)
    if value is None or (value == () and name != "keep"):
        return "not given"
    if name == "quotas":
        return "; ".join(map(_written_quota, value))
    if name == "copies":
        return ", ".join(f"{rarity} {most}" for rarity, most in value)
    if name == "keep":
        return ", ".join(value) or "none"
    if name == "whole":
        return "yes" if value else "no"
    return f"{value:g}"


def _written_quota(quota: Quota) -> str:
    low, high = ("" if end is None else end for end in (quota.low, quota.high))
    return f"{quota.label} {quota.name} {low}-{high}"
