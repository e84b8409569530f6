"""Mappings remembered with consent, in ``winrate.toml`` beside the data."""

import json
import re
from collections.abc import Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from winrate_tools.errors import SettingError
from winrate_tools.files import held, write_whole
from winrate_tools.ingest.roles.vocabulary import normalise

FILE_NAME = "winrate.toml"
_TABLE = re.compile(r"^[ \t]*\[", re.MULTILINE)


def header_key(headers: Sequence[str]) -> str:
    """Name a header set: 12 hexadecimal digits, the same however the headers are written.

    Examples
    --------
    >>> header_key(["Card", "Win %"]) == header_key([" card ", "WIN%"])
    True
    """
    joined = "\x1f".join(normalise(header) for header in headers)
    return sha256(joined.encode()).hexdigest()[:12]


def remembered_mapping(folder: Path, headers: Sequence[str]) -> dict[str, str | int] | None:
    """Look up the mapping that was remembered for these headers.

    Returns
    -------
    dict of str to (str or int) or None
        Role to header or column number; None if nothing was remembered for this header set.

    Raises
    ------
    SettingError
        If ``winrate.toml`` is there and cannot be read as mappings.
    """
    path = folder / FILE_NAME
    section = _parse(path, _text(path)).get("mapping", {})
    known = section.get(header_key(headers)) if isinstance(section, dict) else section
    if known is None:
        return None
    if not isinstance(known, dict) or not all(map(_is_choice, known.values())):
        msg = (
            f"{path}: a mapping must give each role a header or a column number, got {known!r}"
        )
        raise SettingError(msg)
    return known


def remember_mapping(
    folder: Path, headers: Sequence[str], mapping: Mapping[str, str | int]
) -> Path:
    """Write a mapping into ``winrate.toml``, leaving the rest of the file as it is.

    Returns
    -------
    Path
        The file written, complete or not at all.

    Raises
    ------
    SettingError
        If ``winrate.toml`` is there and is no TOML, or holds the mapping in a form that
        cannot be replaced.
    OutputError
        If the file cannot be written.
    """
    path = folder / FILE_NAME
    with held(path):
        _remember(path, header_key(headers), mapping)
    return path


def _remember(path: Path, key: str, mapping: Mapping[str, str | int]) -> None:
    old = _text(path)
    before = _parse(path, old)
    new = _replace_section(old, f'[mapping."{key}"]', _lines(mapping))
    wanted = {**before, "mapping": {**before.get("mapping", {}), key: dict(mapping)}}
    if not _means(path, new, wanted):
        msg = f"{path}: the mapping {key} cannot be replaced; delete it by hand first"
        raise SettingError(msg)
    write_whole(path, new.encode())


def _text(path: Path) -> str:
    try:
        with path.open(encoding="utf-8", newline="") as file:
            return file.read()
    except FileNotFoundError:
        return ""
    except (OSError, UnicodeDecodeError) as error:
        msg = f"{path}: cannot be read as UTF-8 text ({error})"
        raise SettingError(msg) from error


def _parse(path: Path, text: str) -> dict[str, Any]:
    if not text:
        return {}
    import tomllib

    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except (ValueError, RecursionError) as error:
        msg = f"{path}: not TOML: {str(error).lower()}"
        raise SettingError(msg) from error


def _means(path: Path, text: str, wanted: dict[str, Any]) -> bool:
    with suppress(SettingError):
        return _parse(path, text) == wanted
    return False


def _is_choice(value: object) -> bool:
    return isinstance(value, str | int) and not isinstance(value, bool)


def _lines(mapping: Mapping[str, str | int]) -> list[str]:
    return [f"{role} = {_toml(choice)}" for role, choice in mapping.items()]


def _toml(choice: str | int) -> str:
    return json.dumps(choice, ensure_ascii=False).replace("\x7f", "\\u007f")


def _replace_section(text: str, head: str, lines: Sequence[str]) -> str:
    end = "\r\n" if "\r\n" in text else "\n"
    section = end.join([head, *lines]) + end
    found = re.search(rf"^[ \t]*{re.escape(head)}[^\n]*\n?", text, re.MULTILINE)
    if found is None:
        gap = "" if not text else end if text.endswith("\n") else 2 * end
        return text + gap + section
    following = _TABLE.search(text, found.end())
    rest = text[following.start() :] if following else ""
    return text[: found.start()] + section + (end + rest if rest else "")
