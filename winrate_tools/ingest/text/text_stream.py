"""A file of any size as a stream of UTF-8, with its head at hand to judge it by."""

import codecs
import sys
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from gzip import BadGzipFile, GzipFile
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, cast

from winrate_tools.errors import TableError
from winrate_tools.ingest.text.blocks import Readable, record_end
from winrate_tools.ingest.text.containers import GZIP, open_container
from winrate_tools.ingest.text.decode import BYTE_ORDER_MARKS, decode
from winrate_tools.ingest.text.source import STDIN

HEAD = 1 << 18
"""Bytes by which a file is judged."""


@dataclass(frozen=True, slots=True)
class TextStream:
    """Text that comes in pieces.

    Attributes
    ----------
    name : str
        File name without its folders, or ``<stdin>``.
    file : readable
        What follows the head, in UTF-8.
    head : bytes
        The first bytes, in UTF-8, without a byte order mark; all of a small file.
    text : str
        The whole records of the head.
    encoding : str
        In words.
    notes : tuple of str
        What was assumed.
    """

    name: str
    file: Readable
    head: bytes
    text: str
    encoding: str
    notes: tuple[str, ...] = ()


@contextmanager
def text_stream(path: str) -> Iterator[TextStream]:
    """Open a file, unpack it, and settle its encoding by its head.

    Parameters
    ----------
    path : str
        Path, or ``"-"`` for standard input.

    Yields
    ------
    TextStream
        Closed afterwards.

    Raises
    ------
    TableError
        If there is no such file, its head is no text, or it proves damaged while it is read.
    """
    name = STDIN if path == "-" else Path(path).name
    with raw_file(path) as file:
        try:
            yield _settled(_opened(file), name)
        except (EOFError, zlib.error, BadGzipFile) as error:
            msg = f"{name}: the compressed file is damaged; download or export it again"
            raise TableError(msg) from error
        except UnicodeDecodeError as error:
            msg = f"{name}: no text in the encoding that it begins in; save it again as UTF-8"
            raise TableError(msg) from error


@contextmanager
def raw_file(path: str) -> Iterator[BinaryIO]:
    """Open a file for its bytes, or standard input.

    Raises
    ------
    TableError
        If there is no such file, or it cannot be read.
    """
    if path == "-":
        yield sys.stdin.buffer
        return
    try:
        file = Path(path).open("rb")  # noqa: SIM115
    except OSError as error:
        msg = f"{path}: cannot be read ({(error.strerror or str(error)).lower()})"
        raise TableError(msg) from error
    with file:
        yield file


class _Peeked:
    """A file whose first bytes are known, and still come first."""

    def __init__(self, file: Readable) -> None:
        self.start = _full(file, HEAD)
        self._file, self._rest = file, BytesIO(self.start)

    def read(self, size: int = -1, /) -> bytes:
        return self._rest.read(size) or self._file.read(size)


def _full(file: Readable, size: int) -> bytes:
    """Read as much as was asked for, from a pipe too."""
    data = b""
    while len(data) < size and (part := file.read(size - len(data))):
        data += part
    return data


def _opened(file: BinaryIO) -> _Peeked:
    peeked = _Peeked(file)
    if peeked.start.startswith(GZIP):
        return _Peeked(GzipFile(fileobj=cast("BinaryIO", peeked)))
    return peeked


def _settled(file: _Peeked, name: str) -> TextStream:
    start = open_container(file.start, name)
    codec = next((codec for mark, codec, _ in BYTE_ORDER_MARKS if start.startswith(mark)), "")
    if codec not in {"", "utf-8"}:
        return _recoded(file, name, codec, codec.upper())
    decoded = decode(_whole(start, HEAD), name)
    if decoded.notes:
        return _recoded(file, name, "cp1252", decoded.encoding, decoded.notes)
    head = file.read(HEAD).removeprefix(codecs.BOM_UTF8)
    return TextStream(name, file, head, decoded.text, decoded.encoding)


def _whole(head: bytes, size: int) -> bytes:
    """Return the whole records of a head, all of it where the file ends with it."""
    return head if len(head) < size else head[: record_end(head)] or head


def _recoded(
    file: _Peeked, name: str, codec: str, words: str, notes: tuple[str, ...] = ()
) -> TextStream:
    stream = _Recoded(file, codec)
    head = _full(stream, HEAD)
    return TextStream(name, stream, head, _whole(head, HEAD).decode(), words, notes)


class _Recoded:
    """Text of another encoding, in UTF-8."""

    def __init__(self, file: Readable, codec: str) -> None:
        self._file, self._decoder = file, codecs.getincrementaldecoder(codec)()
        self._rest = b""

    def read(self, size: int, /) -> bytes:
        while not self._rest:
            data = self._file.read(size)
            self._rest = self._decoder.decode(data, final=not data).encode()
            if not data:
                break
        part, self._rest = self._rest[:size], self._rest[size:]
        return part
