"""Settings as people write them: points, percent signs and decimal commas are welcome."""

import re
from collections.abc import Callable
from math import isfinite

from winrate_tools.cli.suggest import did_you_mean
from winrate_tools.errors import SettingError
from winrate_tools.settings import MEASURES, Settings

TINY_MARGIN = 0.1
WORDS = ("sample", "player_rate")


def parse(name: str, raw: object) -> object:
    """Understand one setting.

    Parameters
    ----------
    name : str
        The setting.
    raw : object
        Text from the command line or the environment, or a value from a TOML file.

    Returns
    -------
    object
        What `Settings` takes: rates and margins as fractions.

    Raises
    ------
    SettingError
        If the value cannot be understood, with what was probably meant.

    Examples
    --------
    >>> parse("baseline", "53%"), parse("baseline", 53), parse("baseline", "0,53")
    (0.53, 0.53, 0.53)
    >>> parse("margin", "2")
    0.02
    >>> parse("margin", "0.02")
    Traceback (most recent call last):
    winrate_tools.errors.SettingError: margin is in points, and 0.02 is tiny; did you mean 2?
    """
    if isinstance(raw, bool) or not isinstance(raw, str | int | float):
        msg = f"{name} must be a number or a word, got {raw!r}"
        raise SettingError(msg)
    return PARSERS[name](name, str(raw).strip())


def numbers_parted(option: str, text: str) -> list[float]:
    """Understand what an option says: numbers parted by commas.

    Examples
    --------
    >>> numbers_parted("--skill-cuts", "1200, 1500.5")
    [1200.0, 1500.5]
    """
    try:
        return [float(part) for part in text.split(",")]
    except ValueError as error:
        msg = f"{option} must be numbers parted by commas, got {text!r}"
        raise SettingError(msg) from error


def _number(name: str, text: str) -> float:
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        msg = f"{name} must be a number, got {text!r}"
        raise SettingError(msg) from None
    if not isfinite(number):
        msg = f"{name} must be a finite number, got {text!r}"
        raise SettingError(msg)
    return number


def _rate(name: str, text: str) -> float:
    """Take 0.53, 53 and 53% for the same."""
    bare = text.removesuffix("%").strip()
    number = _number(name, bare)
    if bare != text and 0 < number < 1:
        msg = f"{name} of {text} is tiny; did you mean {100 * number:g}%?"
        raise SettingError(msg)
    return round(number / 100, 12) if bare != text or number > 1 else number


def _share(name: str, text: str) -> float:
    """Take 0.55 and 55% for the same, and 55 or 2 for neither."""
    share = _rate(name, text) if text.endswith("%") else _number(name, text)
    if not 0 < share <= 1:
        msg = f"{name} must be a number above 0 and at most 1, got {text!r}"
        raise SettingError(msg)
    return share


def _sure(name: str, text: str) -> float:
    """Take 0.95 and 95% for the same, and say what was typed where it is neither."""
    chance = _rate(name, text)
    if not 0.5 < chance < 1:
        msg = f"{name} must be above 0.5 and below 1, got {text}"
        raise SettingError(msg)
    return chance


def _baseline(name: str, text: str) -> object:
    if text in WORDS:
        return text
    if text[:1].isalpha():
        wanted = "sample, player_rate or a win rate such as 0.53"
        msg = f"{name} must be {wanted}, got {text!r}{did_you_mean(text, WORDS)}"
        raise SettingError(msg)
    return _rate(name, text)


def _margin(name: str, text: str) -> float:
    points = _number(name, text.removesuffix("%").strip())
    if 0 < points < TINY_MARGIN:
        msg = f"{name} is in points, and {points:g} is tiny; did you mean {100 * points:g}?"
        raise SettingError(msg)
    if not 0 <= points < 50:
        msg = f"{name} must be from 0 to below 50 points, got {points:g}"
        raise SettingError(msg)
    return round(points / 100, 12)


def _measure(name: str, text: str) -> str:
    if text not in MEASURES:
        wanted = " or ".join(MEASURES)
        msg = f"{name} must be {wanted}, got {text!r}{did_you_mean(text, MEASURES)}"
        raise SettingError(msg)
    return text


def _whole(name: str, text: str) -> int:
    if not re.fullmatch(r"-?\d{1,18}", text):
        msg = f"{name} must be a whole number, got {text!r}"
        raise SettingError(msg)
    return int(text)


PARSERS: dict[str, Callable[[str, str], object]] = {
    "baseline": _baseline,
    "margin": _margin,
    "sure": _sure,
    "measure": _measure,
    "target": lambda _, text: text.strip(),
    "bands": lambda _, text: text.strip(),
    "allowance": _share,
    "design_effect": _number,
    "shortlist": _whole,
    "seed": _whole,
}


def written(name: str, settings: Settings) -> str:
    """Write a setting as the command line takes it.

    Examples
    --------
    >>> written("margin", Settings(margin=0.015)), written("baseline", Settings())
    ('1.5', 'sample')
    """
    value = settings.margin_used if name == "margin" else getattr(settings, name)
    if value is None:
        return "by measure and table"
    if name == "margin":
        return f"{100 * value:g}"
    return f"{value:g}" if isinstance(value, float) else str(value)
