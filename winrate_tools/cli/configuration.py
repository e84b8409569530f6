"""Where each setting comes from: command line, environment, files, or nobody said."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any, NamedTuple

from winrate_tools.cli.suggest import did_you_mean
from winrate_tools.cli.toml_places import spot_of
from winrate_tools.cli.values import parse
from winrate_tools.errors import SettingError
from winrate_tools.settings import Settings

FILE_NAME = "winrate.toml"
TABLES = ("settings", "mapping", "goals")
NAMES = tuple(field.name for field in fields(Settings))
PREFIX = "WINRATE_"
FLAGS = {**{name: f"--{name.replace('_', '-')}" for name in NAMES}, "target": "--for"}
ALIASES = {"for": "target"}
"""Other spellings of settings, in files and in the environment."""
SPELLINGS = {**{name: name for name in NAMES}, **ALIASES}
OTHER_VARIABLES = ("WINRATE_DEBUG",)

Layer = dict[str, tuple[object, str]]
"""Setting to its value and to where that stands."""


class Resolved(NamedTuple):
    """Settings, and where each one came from.

    Attributes
    ----------
    settings : Settings
        The settings.
    origins : mapping of str to str
        Setting to the place of its value, ``"default"`` where nobody chose it.
    """

    settings: Settings
    origins: Mapping[str, str]


def resolve(
    flags: Mapping[str, object], *, environment: Mapping[str, str], files: Iterable[Path]
) -> Resolved:
    """Settle every setting; the command line goes before the environment, that before files.

    Parameters
    ----------
    flags : mapping of str to object
        Setting to what the command line says, None where it says nothing.
    environment : mapping of str to str
        The environment; ``WINRATE_MARGIN`` and so on count.
    files : iterable of Path
        TOML files, the one that counts least first.

    Returns
    -------
    Resolved

    Raises
    ------
    SettingError
        If a value makes no sense, wherever it stands, or a key is not known.
    """
    layers = [*(_from_file(path) for path in files), _from_environment(environment)]
    layers.append(_from_flags(flags))
    chosen: Layer = {name: entry for layer in layers for name, entry in layer.items()}
    values: dict[str, Any] = {name: value for name, (value, _) in chosen.items()}
    origins = {name: chosen[name][1] if name in chosen else "default" for name in NAMES}
    return Resolved(Settings(**values), origins)


def _from_flags(flags: Mapping[str, object]) -> Layer:
    given = {name: raw for name, raw in flags.items() if raw is not None}
    return {
        name: (_understood(name, raw, FLAGS[name]), f"command line: {FLAGS[name]}")
        for name, raw in given.items()
    }


def _from_environment(environment: Mapping[str, str]) -> Layer:
    known = [f"{PREFIX}{spelling.upper()}" for spelling in SPELLINGS]
    layer: Layer = {}
    for variable in sorted(environment):
        if not variable.startswith(PREFIX) or variable in OTHER_VARIABLES:
            continue
        if variable not in known:
            hint = did_you_mean(variable, known)
            msg = f"environment: no setting belongs to {variable}{hint}"
            raise SettingError(msg)
        name = SPELLINGS[variable.removeprefix(PREFIX).lower()]
        _demand_once(name, layer, variable, "environment")
        value = _understood(name, environment[variable], variable)
        layer[name] = value, f"environment: {variable}"
    return layer


def _demand_once(name: str, layer: Layer, spelling: str, place: str) -> None:
    if name in layer:
        msg = f"{place}: {spelling} sets {name} a second time; keep one of the two"
        raise SettingError(msg)


def _understood(name: str, raw: object, spelling: str, place: str = "") -> object:
    """Parse a value and try it alone, so that a message can say what its writer wrote."""
    try:
        value = parse(name, raw)
        Settings(**{name: value})  # type: ignore[arg-type]
    except SettingError as error:
        msg = f"{place}{spelling}{str(error).removeprefix(name)}"
        raise SettingError(msg) from error
    return value


def _from_file(path: Path) -> Layer:
    import tomllib

    text = _read(path)
    shown = shown_path(path)
    try:
        content = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        msg = f"{shown}{_toml_place(str(error))}: not TOML: {_toml_reason(str(error))}"
        raise SettingError(msg) from error
    for key in content:
        _demand_known(key, TABLES, "no table", spot_of(shown, text, "", key))
    table = content.get("settings", {})
    if not isinstance(table, dict):
        msg = f"{spot_of(shown, text, '', 'settings')}: settings must be a table: [settings]"
        raise SettingError(msg)
    layer: Layer = {}
    for key, raw in table.items():
        place = spot_of(shown, text, "settings", key)
        _demand_known(key, SPELLINGS, "no setting", place)
        name = SPELLINGS[key]
        _demand_once(name, layer, key, place)
        layer[name] = _understood(name, raw, key, f"{place}: "), place
    return layer


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        reason = getattr(error, "strerror", None) or "not UTF-8 text"
        msg = f"{shown_path(path)}: cannot read the configuration: {reason.lower()}"
        raise SettingError(msg) from error


def _demand_known(key: str, known: Iterable[str], what: str, place: str) -> None:
    if key not in known:
        hint = did_you_mean(key, known) or f"; there are {', '.join(known)}"
        msg = f"{place}: {what} is called {key!r}{hint}"
        if key in SPELLINGS:
            msg = f"{place}: {key!r} belongs under [settings]"
        raise SettingError(msg)


def _toml_place(message: str) -> str:
    found = re.search(r"line (\d+), column (\d+)", message)
    return f":{found[1]}:{found[2]}" if found else ""


def _toml_reason(message: str) -> str:
    reason = re.sub(r"\s*\(at .*\)$", "", message)
    return reason[:1].lower() + reason[1:]


def shown_path(path: Path) -> str:
    """Show a path without what is nobody's business: from here, or from the home folder."""
    whole = path.absolute()
    if whole.is_relative_to(Path.cwd()):
        return str(whole.relative_to(Path.cwd()))
    if whole.is_relative_to(Path.home()):
        return f"~/{whole.relative_to(Path.home()).as_posix()}"
    return str(path)
