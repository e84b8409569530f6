"""What a terminal makes of text: how wide it is, and what may be sent at all."""

import unicodedata
from collections.abc import Sequence
from functools import cache

STAND_INS = {"▼": "-", "▲": "+", "○": "?", "…": "..."}
"""For streams that cannot say the marks; each stays different from the others."""


def visible(text: str) -> str:
    r"""Spell out the characters that steer a terminal or break a line.

    Examples
    --------
    >>> print(visible("red \x1b[31m\nname"))
    red \x1b[31m\nname
    """
    if text.isprintable():
        return text
    return "".join(
        char if char.isprintable() else char.encode("unicode_escape").decode() for char in text
    )


def width(text: str) -> int:
    """Count the columns that a text takes.

    Examples
    --------
    >>> width("Ash"), width("灯"), width("e\u0301")
    (3, 2, 1)
    """
    if text.isascii():
        return len(text)
    return sum(_columns(char) for char in text)


@cache
def _columns(char: str) -> int:
    if unicodedata.combining(char) or unicodedata.category(char) in {"Cf", "Me", "Mn"}:
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def sayable(texts: Sequence[str], encoding: str) -> list[str]:
    r"""Write texts so that a stream can carry them; different texts stay different.

    Parameters
    ----------
    texts : sequence of str
        What is to be said.
    encoding : str
        The stream's encoding.

    Returns
    -------
    list of str
        The texts, with accents dropped where that keeps them apart and the characters'
        numbers spelt out where it does not.

    Examples
    --------
    >>> sayable(["Résumé", "▼ cut"], "ascii")
    ['Resume', '- cut']
    >>> sayable(["é", "e"], "ascii")
    ['\\xe9', 'e']
    """
    shown = [_plain(text, encoding) for text in texts]
    meant: dict[str, set[str]] = {}
    for text, said in zip(texts, shown, strict=True):
        meant.setdefault(said, set()).add(text)
    return [
        said if len(meant[said]) == 1 else _spelt(text, encoding)
        for text, said in zip(texts, shown, strict=True)
    ]


def _plain(text: str, encoding: str) -> str:
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        for glyph, stand_in in STAND_INS.items():
            text = text.replace(glyph, stand_in)
        bare = "".join(
            char
            for char in unicodedata.normalize("NFKD", text)
            if not unicodedata.combining(char)
        )
        return _spelt(bare, encoding)
    return text


def _spelt(text: str, encoding: str) -> str:
    return text.encode(encoding, errors="backslashreplace").decode(encoding)
