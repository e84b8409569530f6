"""A file of any size as a stream of UTF-8, with its head at hand to judge it by."""

import codecs
import sys
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from gzip import BadGzipFile, GzipFile
from hashlib import sha256
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
    """Open a file, or standard input for ``"-"``, and settle its encoding by its head.

    Raises
    ------
    TableError
        If there is no such file, its head is no text, or it proves damaged while it is read.
    """
    with (
        raw_file(path) as file,
        text_of(file, STDIN if path == "-" else Path(path).name) as text,
    ):
        yield text


@contextmanager
def text_of(file: Readable, name: str) -> Iterator[TextStream]:
    """Unpack an open file, and settle its encoding by its head.

    Raises
    ------
    TableError
        If its head is no text, or it proves damaged while it is read.
    """
    try:
        yield _settled(_opened(file), name)
    except (EOFError, zlib.error, BadGzipFile) as error:
        msg = f"{name}: the compressed file is damaged; download or export it again"
        raise TableError(msg) from error
    except UnicodeDecodeError as error:
        msg = f"{name}: no text in the encoding that it begins in; save it again as UTF-8"
        raise TableError(msg) from error


class Hashed:
    """A file whose bytes are hashed as they are read.

    Examples
    --------
    >>> file = Hashed(BytesIO(b"abc"))
    >>> file.read(1), file.sha256()[:8]
    (b'a', 'ba7816bf')
    """

    def __init__(self, file: Readable) -> None:
        self._file, self._digest = file, sha256()

    def read(self, size: int, /) -> bytes:
        """Return up to `size` bytes."""
        data = self._file.read(size)
        self._digest.update(data)
        return data

    def sha256(self) -> str:
        """Read the file to its end, and return the hash of all its bytes."""
        while self.read(HEAD):
            pass
        return self._digest.hexdigest()


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


def _opened(file: Readable) -> _Peeked:
    peeked = _Peeked(file)
    if peeked.start.startswith(GZIP):
        return _Peeked(GzipFile(fileobj=cast("BinaryIO", peeked)))
    return peeked


def _settled(file: _Peeked, name: str) -> TextStream:
    start = open_container(file.start, name)
    codec = next((codec for mark, codec, _ in BYTE_ORDER_MARKS if start.startswith(mark)), "")
    if codec not in {"", "utf-8"}:
        return _recoded(_Recoded(file, codec), name, codec.upper())
    decoded = decode(_whole(start, HEAD), name)
    if decoded.notes:
        stream = _Legacy(file, name, decoded.notes[0].partition(" is not UTF-8")[0])
        return _recoded(_Recoded(stream, "cp1252"), name, decoded.encoding, decoded.notes)
    head = file.read(HEAD).removeprefix(codecs.BOM_UTF8)
    return TextStream(name, file, head, decoded.text, decoded.encoding)


def _whole(head: bytes, size: int) -> bytes:
    """Return the whole records of a head, all of it where the file ends with it."""
    return head if len(head) < size else head[: record_end(head)] or head


def _recoded(
    stream: Readable, name: str, words: str, notes: tuple[str, ...] = ()
) -> TextStream:
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


class _Legacy:
    """A file in Windows-1252, unless it proves to be UTF-8 in which some letters are broken."""

    def __init__(self, file: Readable, name: str, place: str) -> None:
        self._file, self._loose = file, codecs.getincrementaldecoder("utf-8")("replace")
        self._balance = 0
        self._error = f"{name}: UTF-8 but for {place}; save the file again as UTF-8"

    def read(self, size: int, /) -> bytes:
        data = self._file.read(size)
        loose = self._loose.decode(data, final=not data)
        plain = len(loose.encode("ascii", "ignore"))
        self._balance += len(loose) - plain - 2 * loose.count("\ufffd")
        if not data and self._balance > 0:
            raise TableError(self._error)
        return data
