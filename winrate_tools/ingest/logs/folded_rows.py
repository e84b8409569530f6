"""Logs with a row a card, at full speed: what the rows of a game share is read once a game."""

from dataclasses import replace

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.logs.coded import Coded, CodedLists, CodedRows, Codes, Wanted
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.text.blocks import NEWLINE, Block
from winrate_tools.ingest.text.grid import Grid

Places = npt.NDArray[np.int64]


def folded_rows(block: Block, like: Grid, wanted: Wanted) -> CodedRows | None:
    r"""Read a block whose rows come in runs that begin alike.

    Parameters
    ----------
    block, like, wanted
        As in `quick_rows`; the varying columns that are wanted stand behind all others.

    Returns
    -------
    CodedRows or None
        One row a run, with varying columns as lists; what `quick_rows` finds where there are
        quotes, odd line ends or ragged records.

    Examples
    --------
    >>> from winrate_tools.ingest.text.grid import read_grid
    >>> head = read_grid("game,won,card\n1,yes,Fox\n", "log.csv")
    >>> block = Block(b"2,yes,Fox\n2,yes,Moth\n3,no,Fox\n", 3)
    >>> rows = folded_rows(block, head, Wanted((2, 3), (1,), varying=(3,)))
    >>> rows.numbers[1].tolist(), rows.columns[2].texts, rows.lists[3].ends.tolist()
    ([2, 3], ('yes', 'no'), [2, 3])
    """
    data = _plain_lines(block.data) if wanted.varying else None
    edges = None if data is None else _edges(data, like.delimiter, len(like.headers))
    folded = None
    if data is not None and edges is not None:
        first = min(wanted.varying)
        pieces = _Pieces(data, edges[:, first - 2 :])
        folded = _folded(pieces, block.line, like, wanted)
    return folded or quick_rows(block, like, wanted)


def unfolded(rows: CodedRows) -> CodedRows:
    """Give every row of every run its own cells."""
    lengths = next(iter(rows.lists.values())).lengths()
    shared = {
        number: Coded(np.repeat(coded.codes, lengths), coded.texts)
        for number, coded in rows.columns.items()
    }
    varying = {number: Coded(lists.codes, lists.texts) for number, lists in rows.lists.items()}
    numbers = {number: np.repeat(column, lengths) for number, column in rows.numbers.items()}
    return CodedRows(int(lengths.sum()), shared | varying, numbers, line=rows.line)


def _plain_lines(data: bytes) -> bytes | None:
    """End every line alike, None where quotes or other letters forbid it."""
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n")
        if b"\r" in data:
            return None
    if b'"' in data or b"\0" in data:
        return None
    return data if data.endswith(b"\n") else data + b"\n"


def _edges(data: bytes, delimiter: str, width: int) -> Places | None:
    """Find where the cells of every row end, None if the rows are not alike."""
    letters = np.frombuffer(data, np.uint8)
    edge = letters == NEWLINE
    rows = int(np.count_nonzero(edge))
    edge |= letters == ord(delimiter)
    at = np.flatnonzero(edge)
    if len(at) != rows * width or (letters[at[width - 1 :: width]] != NEWLINE).any():
        return None
    return at.reshape(rows, width)


class _Pieces:
    """Rows cut into pieces: first what stands before the varying columns, then cell by cell.

    Each different piece has a code, with the letter on which it ends.

    Attributes
    ----------
    codes : ndarray of int, shape (rows, pieces)
        Which of the different pieces each one is.
    """

    def __init__(self, data: bytes, ends: Places) -> None:
        import pyarrow as pa

        offsets = np.zeros(ends.size + 1, dtype=np.int32)
        np.add(ends, 1, out=offsets[1:].reshape(ends.shape), casting="unsafe")
        buffers = [None, pa.py_buffer(offsets), pa.py_buffer(data)]
        coded = pa.BinaryArray.from_buffers(pa.binary(), ends.size, buffers).dictionary_encode()
        _, places, letters = coded.dictionary.buffers()
        self.codes: Codes = np.frombuffer(coded.indices.buffers()[1], np.int32)[: ends.size]
        self.codes = self.codes.reshape(ends.shape)
        self._places: Codes = np.frombuffer(places, np.int32)[: len(coded.dictionary) + 1]
        self._letters = np.frombuffer(letters, np.uint8)[: self._places[-1]]

    def coded(self, number: int) -> Coded:
        """Read a column of pieces as texts, numbered by first appearance."""
        codes = np.ascontiguousarray(self.codes[:, number])
        first = np.full(len(self._places) - 1, -1, dtype=np.int32)
        first[codes[::-1]] = np.arange(len(codes) - 1, -1, -1, dtype=np.int32)
        used = np.flatnonzero(first >= 0)
        used = used[np.argsort(first[used])]
        first[used] = np.arange(len(used), dtype=np.int32)
        spans = zip(self._places[used].tolist(), self._places[used + 1].tolist(), strict=True)
        texts = tuple(self._letters[start : end - 1].tobytes().decode() for start, end in spans)
        return Coded(first[codes], texts)

    def lines(self, codes: Codes) -> tuple[bytes, Codes]:
        """Write some of the pieces once each, a line each, and say which line is whose."""
        is_used = np.zeros(len(self._places) - 1, dtype=bool)
        is_used[codes] = True
        lengths = np.diff(self._places)
        letters = self._letters[np.repeat(is_used, lengths)]
        letters[np.cumsum(lengths[is_used]) - 1] = NEWLINE
        return letters.tobytes(), (np.cumsum(is_used, dtype=np.int32) - 1)[codes]


def _folded(pieces: _Pieces, line: int, like: Grid, wanted: Wanted) -> CodedRows | None:
    first = min(wanted.varying)
    before = np.ascontiguousarray(pieces.codes[:, 0])
    begins = np.append(0, np.flatnonzero(before[1:] != before[:-1]) + 1)
    ends = np.append(begins[1:], len(before)).astype(np.int32)
    lines, which = pieces.lines(before[begins])
    front = replace(like, headers=like.headers[: first - 1])
    shared = replace(wanted, texts=tuple(n for n in wanted.texts if n < first), varying=())
    once = quick_rows(Block(lines, line), front, shared)
    if once is None or once.rows != lines.count(b"\n"):
        return None
    try:
        varying = {n: pieces.coded(n - first + 1) for n in wanted.varying}
    except UnicodeDecodeError:
        return None
    return CodedRows(
        len(begins),
        {n: Coded(coded.codes[which], coded.texts) for n, coded in once.columns.items()},
        {n: numbers[which] for n, numbers in once.numbers.items()},
        {n: CodedLists(ends, coded.codes, coded.texts) for n, coded in varying.items()},
        line=line,
    )
