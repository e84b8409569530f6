"""Bytes to text, by a rule that never guesses in silence."""

import codecs
from typing import NamedTuple

from winrate_tools.errors import TableError

BYTE_ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8", "UTF-8 with a byte order mark"),
    (codecs.BOM_UTF32_LE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF32_BE, "utf-32", "UTF-32"),
    (codecs.BOM_UTF16_LE, "utf-16", "UTF-16"),
    (codecs.BOM_UTF16_BE, "utf-16", "UTF-16"),
)


class Decoded(NamedTuple):
    """Text, with what had to be assumed to read it.

    Attributes
    ----------
    text : str
        The whole file, line ends untouched, without a byte order mark.
    encoding : str
        Its encoding in words.
    notes : tuple of str
        What was assumed.
    """

    text: str
    encoding: str
    notes: tuple[str, ...] = ()


def decode(data: bytes, name: str) -> Decoded:
    """Turn bytes into text: byte order mark, then strict UTF-8, then Windows-1252 with a note.

    Raises
    ------
    TableError
        If no reading is safe; the message names line and byte.

    Examples
    --------
    >>> decode("Käfer".encode("cp1252"), "cards.csv").notes
    ('line 1, byte 2 (0xE4) is not UTF-8: the file was read as Windows-1252',)
    """
    for mark, codec, words in BYTE_ORDER_MARKS:
        if data.startswith(mark):
            body = data.removeprefix(mark) if codec == "utf-8" else data
            return _checked(_marked(body, codec, words, name), words, name)
    try:
        return _checked(data.decode("utf-8"), "UTF-8", name)
    except UnicodeDecodeError as error:
        return _legacy(data, error, name)


def _marked(data: bytes, codec: str, words: str, name: str) -> str:
    try:
        return data.decode(codec)
    except UnicodeDecodeError as error:
        place = _place(data, error.start) if codec == "utf-8" else f"byte {error.start + 1}"
        msg = f"{name}: starts as {words} but {place} breaks it; save the file again as UTF-8"
        raise TableError(msg) from error


def _legacy(data: bytes, error: UnicodeDecodeError, name: str) -> Decoded:
    place = _place(data, error.start)
    loose = data.decode("utf-8", errors="replace")
    broken = loose.count("\ufffd")
    if sum(letter > "\x7f" for letter in loose) - broken > broken:
        msg = f"{name}: UTF-8 but for {place}; save the file again as UTF-8"
        raise TableError(msg) from error
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError as worse:
        place = _place(data, worse.start)
        msg = f"{name}: neither UTF-8 nor Windows-1252 at {place}; save the file as UTF-8"
        raise TableError(msg) from worse
    note = f"{place} is not UTF-8: the file was read as Windows-1252"
    checked = _checked(text, "Windows-1252", name)
    return Decoded(checked.text, checked.encoding, (note,))


def _checked(text: str, encoding: str, name: str) -> Decoded:
    text = text.removeprefix("\ufeff")
    place = text.find("\0")
    if place < 0:
        return Decoded(text, encoding)
    line = text.count("\n", 0, place) + 1
    msg = (
        f"{name}: line {line} holds a zero byte, so this is no plain text "
        "(or UTF-16 without its mark); save the file as UTF-8"
    )
    raise TableError(msg)


def _place(data: bytes, at: int) -> str:
    """Say line and byte within the line, both from 1, whatever the line ends."""
    before = data[:at].replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    line, byte = before.count(b"\n") + 1, len(before) - before.rfind(b"\n")
    return f"line {line}, byte {byte} (0x{data[at]:02X})"
