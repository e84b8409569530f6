"""Plain lines as bytes: whole numbers at their ends, and words that tell what they spell."""

from functools import cache
from typing import Any

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.text.blocks import NEWLINE, Block, Places, line_ends

Words = npt.NDArray[np.uint64]
Flags = npt.NDArray[np.bool_]
Unsigned = npt.NDArray[Any]
"""Of words, whatever their width."""
BYTE, WORD = 8, 8
"""Bits of a byte, bytes of a word."""
MOST_WORDS = 32
FEW_LETTERS = 64
FRAME = bytes(WORD * MOST_WORDS)
"""Stands before and behind the lines, so that a window on them may reach beyond."""
ZERO, NO_DIGIT, HIGH, ALL = ord("0"), 0x80 - 10, 0x80, 0xFF


class ByteRows:
    r"""Lines without quotes.

    Parameters
    ----------
    data : bytes
        Lines that all end in ``\n``.
    ends : ndarray of int, shape (rows,), optional
        Where, if that is known.

    Examples
    --------
    >>> rows = ByteRows(b"Fox,Kites,12,7\nAsh Vine,,007,0\n")
    >>> wins, ends = rows.numbers(rows.line_ends(), ",")
    >>> games, ends = rows.numbers(ends, ",")
    >>> games.tolist(), wins.tolist(), ends.tolist()
    ([12, 7], [7, 0], [9, 24])
    >>> rows.numbers(ends, ",") is None
    True
    """

    def __init__(self, data: bytes, ends: Places | None = None) -> None:
        self._ends = line_ends(data) if ends is None else ends
        self._framed = b"".join((FRAME, data, FRAME))
        self._letters = np.frombuffer(self._framed, np.uint8)[len(FRAME) : -len(FRAME)]

    def line_ends(self) -> Places:
        """Find where every line ends."""
        return self._ends

    def numbers(self, ends: Places, delimiter: str) -> tuple[Places, Places] | None:
        """Read the whole numbers that end somewhere.

        Parameters
        ----------
        ends : ndarray of int, shape (rows,)
            Where each row's number ends.
        delimiter : str
            What must stand before it.

        Returns
        -------
        tuple of ndarray of int, shape (rows,), or None
            The numbers, and where the delimiters before them stand; None if there is anything
            else, or nothing, or a number of more than seven digits.
        """
        for width in (WORD // 2, WORD):
            window = self._window(f"<u{width}", -width)[ends] ^ _bytes(ZERO, width)
            below = _upto_last_other(window)
            if below.min():
                break
        else:
            return None
        length = width - np.bitwise_count(below)
        before = ends - length - 1
        if not length.min() or (self._letters.take(before) != ord(delimiter)).any():
            return None
        window &= ~((below >> below.dtype.type(BYTE - 1)) * below.dtype.type(ALL))
        return _joined(window), before

    def words(self, starts: Places, ends: Places) -> Words | None:
        r"""Cut what stands from one place to another into words of eight bytes.

        Parameters
        ----------
        starts, ends : ndarray of int, shape (rows,)
            Places.

        Returns
        -------
        ndarray of int, shape (rows, words), or None
            Rows have the same words if, and only if, they spell the same; None if any needs
            too many.

        Examples
        --------
        >>> rows = ByteRows(b"Ash Vine,4\nFox,4\nAsh Vine,5\n")
        >>> ends = rows.line_ends()
        >>> words = rows.words(starts_of(ends), ends - 2)
        >>> (words[0] == words).all(axis=1).tolist()
        [True, False, True]
        """
        lengths = ends - starts
        count = 1 << (max(0, int(lengths.max()) - 1) // WORD).bit_length()
        if count > MOST_WORDS:
            return None
        words = self._window(f"V{WORD * count}", 0)[starts].view("<u8").reshape(-1, count)
        cut_off(words, lengths)
        return words

    def cell_ends(self, starts: Places, delimiter: str, number: int) -> Places | None:
        r"""Find where the first cells of some lines end.

        Parameters
        ----------
        starts : ndarray of int, shape (rows,)
            Where the lines begin.
        delimiter : str
            One letter.
        number : int
            Cells, at least 1.

        Returns
        -------
        ndarray of int, shape (number, rows), or None
            Where the delimiters stand; None if any line has too few of them within the
            letters that so many words hold.

        Examples
        --------
        >>> rows = ByteRows(b"1,yes,Fox\n2,no,Moth\n")
        >>> rows.cell_ends(starts_of(rows.line_ends()), ",", 2).tolist()
        [[1, 11], [5, 14]]
        """
        for width in (FEW_LETTERS, len(FRAME)):
            letters = self._window(f"V{width}", 0)[starts].view(np.uint8)
            edges = np.flatnonzero((letters == ord(delimiter)) | (letters == NEWLINE))
            windows = width * np.arange(len(starts))
            nth = np.searchsorted(edges, windows) + np.arange(number)[:, None]
            last = nth[-1]
            if last.max() < len(edges) and (edges[last] < windows + width).all():
                ends = edges[nth]
                return None if (letters[ends] == NEWLINE).any() else ends - windows + starts
        return None

    def _window(self, kind: str, offset: int) -> npt.NDArray[Any]:
        """See the bytes from each place on as one value."""
        return np.ndarray(
            len(self._letters) + 1, kind, self._framed, len(FRAME) + offset, strides=(1,)
        )


def byte_rows(block: Block) -> ByteRows | None:
    r"""Read lines in which every letter stands for itself.

    Parameters
    ----------
    block : Block
        Whole lines, the last one with or without its end.

    Returns
    -------
    ByteRows or None
        None where there are quotes, odd line ends, zero bytes, or bytes that are no text.

    Examples
    --------
    >>> byte_rows(Block(b"Fox,4\r\nMoth,9", 1)).line_ends().tolist()
    [5, 12]
    >>> byte_rows(Block(b'"Fox",4\n', 1)) is None
    True
    """
    data, ends = block.data, block.ends
    if b"\r" in data:
        ends = None
        data = data.replace(b"\r\n", b"\n")
        if b"\r" in data:
            return None
    if b'"' in data or b"\0" in data or not _is_text(data):
        return None
    return ByteRows(data, ends) if data.endswith(b"\n") else ByteRows(data + b"\n")


def starts_of(ends: Places) -> Places:
    """Return where lines begin, given where they end."""
    return np.append(0, ends[:-1] + 1)


def cut_off(words: Words, lengths: Places) -> None:
    """Put zeros behind so many letters of each row of words."""
    full, most = int(lengths.min()) // WORD, -(-int(lengths.max()) // WORD)
    if full < most:
        words[:, full:most] &= _masks(most)[:, full:].take(lengths, axis=0)
    words[:, most:] = 0


def spelt(words: Words, lengths: Places) -> bytes:
    r"""Write words of so many letters as lines.

    Examples
    --------
    >>> rows = ByteRows(b"Ash Vine,4\nFox,4\n")
    >>> starts, ends = np.array([0, 11]), np.array([8, 14])
    >>> spelt(rows.words(starts, ends), ends - starts)
    b'Ash Vine\nFox\n'
    """
    letters = np.pad(words.view(np.uint8), ((0, 0), (0, 1)))
    letters[np.arange(len(words)), lengths] = NEWLINE
    lines: bytes = letters[letters != 0].tobytes()
    return lines


def differ(one: Words, other: Words) -> Flags:
    """Tell which rows of one spell something else than the same rows of another."""
    words = one != other
    parts = words.view(f"u{min(words.shape[1], WORD)}")
    different: Flags = parts[:, 0] != 0
    for part in parts.T[1:]:
        different |= part != 0
    return different


def _is_text(data: bytes) -> bool:
    try:
        return data.isascii() or bool(data.decode())
    except UnicodeDecodeError:
        return False


@cache
def _bytes(value: int, width: int) -> Any:
    """Repeat a byte over a word of so many bytes."""
    return np.dtype(f"u{width}").type(int.from_bytes(bytes([value]) * width))


def _upto_last_other(digits: Unsigned) -> Unsigned:
    """Set the high bit of the last byte that is none of 0 to 9, and of all before it."""
    width, kind = digits.itemsize, digits.dtype.type
    flags: Unsigned = (digits + _bytes(NO_DIGIT, width)) | digits
    flags &= _bytes(HIGH, width)
    step = 1
    while step < width:
        flags |= flags >> kind(BYTE * step)
        step *= 2
    return flags


def _joined(digits: Unsigned) -> Places:
    """Join the digits of each word into a number, neighbours first."""
    for low, ten, bits in _steps(digits.itemsize):
        digits = (digits & low) * ten + (digits >> bits & low)
    return digits.astype(np.int32)


@cache
def _steps(width: int) -> list[tuple[Any, Any, Any]]:
    """Say which halves of which pieces of a word count how many times the others."""
    kind, steps, half = np.dtype(f"u{width}").type, [], 1
    while half < width:
        pattern = (bytes([ALL]) * half + bytes(half)) * (width // (2 * half))
        low = int.from_bytes(pattern, "little")
        steps.append((kind(low), kind(10**half), kind(BYTE * half)))
        half *= 2
    return steps


@cache
def _masks(count: int) -> Words:
    """Keep the first bytes of so many words, one row for each number of bytes."""
    width = WORD * count
    kept = np.arange(width) < np.arange(width + 1)[:, None]
    return (kept * np.uint8(ALL)).view("<u8")
