"""A stream of bytes cut where records end, so that a file of any size passes in pieces."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import TableError

Places = npt.NDArray[np.int64]
SIZE = 1 << 22
"""Bytes read at a time."""
NEWLINE = ord("\n")
PIECE = 1 << 18
"""Bytes that a processor has close at hand."""
MOST_KEPT = 31 << 20
LONGEST = 1 << 26
"""Bytes within which a record must end."""


class Readable(Protocol):
    """Anything that hands out its next bytes, and none at its end."""

    def read(self, size: int, /) -> bytes:
        """Return up to `size` bytes."""


@dataclass(frozen=True, slots=True)
class Block:
    r"""Whole records.

    Attributes
    ----------
    data : bytes
        The records, with their line ends.
    line : int
        Physical line on which the first one begins, from 1.
    lines : int
        How many line ends they have.
    ends : ndarray of int, shape (ends,), or None
        Where every ``\n`` stands; None where nobody looked.
    """

    data: bytes
    line: int
    lines: int = 0
    ends: Places | None = field(default=None, compare=False)


def blocks(
    file: Readable,
    name: str,
    *,
    read: bytes = b"",
    line: int = 1,
    size: int | None = None,
    with_ends: bool = False,
) -> Iterator[Block]:
    r"""Cut a stream into blocks of whole records.

    Parameters
    ----------
    file : readable
        Text in UTF-8.
    name : str
        What to call it in messages.
    read : bytes, optional
        What has been read of it before and belongs to the first block.
    line : int, optional
        Physical line of the first byte.
    size : int, optional
        Bytes to read at a time, at least 1; by default `SIZE`.
    with_ends : bool, optional
        Whether to note where lines end.

    Yields
    ------
    Block
        In order; nothing is lost between them.

    Raises
    ------
    TableError
        If a record does not end within `LONGEST` bytes.

    Examples
    --------
    >>> from io import BytesIO
    >>> [block.data for block in blocks(BytesIO(b'a,1\n"b\nc",2\nd,3'), "log", size=9)]
    [b'a,1\n', b'"b\nc",2\n', b'd,3']
    """
    keep_freed_memory()
    rest = read
    while chunk := file.read(size or SIZE):
        data, rest = _whole_records(rest, chunk)
        if not data and len(rest) > LONGEST:
            msg = (
                f"{name}:{line}: a record must end within {LONGEST >> 20} MB, this one does "
                "not; close the quote that opens in it"
            )
            raise TableError(msg)
        if data:
            yield (block := _counted(data, line, with_ends=with_ends))
            line += block.lines
    if rest:
        yield _counted(rest, line, with_ends=with_ends)


def _counted(data: bytes, line: int, *, with_ends: bool) -> Block:
    if not with_ends:
        return Block(data, line, line_count(data))
    ends = line_ends(data)
    return Block(data, line, len(ends) + _lone_returns(data), ends)


def keep_freed_memory() -> None:
    """Let what a block needs be used again by the next one, rather than asked for anew.

    The GNU C library keeps freed memory up to twice the largest piece that was ever freed.

    References
    ----------
    Linux manual pages, mallopt(3), ``M_MMAP_THRESHOLD``.
    """
    np.empty(MOST_KEPT, dtype=np.uint8)


def _whole_records(rest: bytes, chunk: bytes) -> tuple[bytes, bytes]:
    """Part whole records from what follows them, with as little copying as can be."""
    if b'"' in rest or b'"' in chunk:
        both = rest + chunk
        end = record_end(both)
        return both[:end], both[end:]
    end = chunk.rfind(b"\n") + 1
    if not end:
        return b"", rest + chunk
    return b"".join((rest, memoryview(chunk)[:end])), chunk[end:]


def record_end(data: bytes) -> int:
    r"""Return where the last whole record ends: after the last line end outside of quotes.

    Examples
    --------
    >>> record_end(b'a,1\nb,"2\n3'), record_end(b'a,"1')
    (4, 0)
    """
    end = data.rfind(b"\n") + 1
    if b'"' not in data:
        return end
    is_inside = data.count(b'"', 0, end) % 2
    while end and is_inside:
        start = data.rfind(b"\n", 0, end - 1) + 1
        is_inside ^= data.count(b'"', start, end) % 2
        end = start
    return end


def line_count(data: bytes) -> int:
    r"""Count the line ends of whole lines: ``\n``, ``\r\n`` or ``\r``.

    Examples
    --------
    >>> line_count(b"a\r\nb\rc\n")
    3
    """
    newlines = sum(int(np.count_nonzero(piece)) for _, piece in _newlines(data))
    return newlines + _lone_returns(data)


def line_ends(data: bytes) -> Places:
    r"""Find where every ``\n`` stands.

    Examples
    --------
    >>> line_ends(b"Fox,4\r\nMoth,9").tolist()
    [6]
    """
    found = [np.flatnonzero(piece) + at for at, piece in _newlines(data)]
    return np.concatenate(found or [np.zeros(0, dtype=np.int64)])


def _newlines(data: bytes) -> Iterator[tuple[int, npt.NDArray[np.bool_]]]:
    """Tell piece by piece which bytes are newlines, and where the piece begins."""
    letters = np.frombuffer(data, np.uint8)
    for at in range(0, len(letters), PIECE):
        yield at, letters[at : at + PIECE] == NEWLINE


def _lone_returns(data: bytes) -> int:
    return data.count(b"\r") - data.count(b"\r\n") if b"\r" in data else 0
