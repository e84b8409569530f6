"""Numbers for what rows of bytes spell, the same over any number of blocks."""

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.text.byte_rows import MOST_WORDS, Flags, Words, differ

Codes = npt.NDArray[np.int32]
Rows = npt.NDArray[np.int64]
GOLDEN = 0x9E3779B97F4A7C15
MULTIPLIERS = np.array([GOLDEN**n & (1 << 64) - 1 for n in range(1, MOST_WORDS + 1)], "u8")
"""Odd numbers without a pattern, one a word."""
FREE = -1
FEWEST_SLOTS = 1 << 10
SPARE = 8
"""Slots a key, at least; the more, the fewer keys want the same one."""


class ByteKeys:
    """Gives each different row of words a number.

    A table with open addressing: a row's words, scattered over 64 bits, tell in which slot its
    number stands, or in which slots to look next; the words of a number that is found are
    compared with the row's.

    References
    ----------
    Knuth, D. E. (1998). *The Art of Computer Programming*, vol. 3, 2nd ed., section 6.4,
    algorithm D (double hashing); the multiplier, of Fibonacci hashing, from memory.

    Examples
    --------
    >>> keys = ByteKeys()
    >>> rows = np.array([[7, 1], [9, 1], [7, 1]], dtype=np.uint64)
    >>> codes, first = keys.codes(rows)
    >>> bool(codes[0] == codes[2] != codes[1]), sorted(first.tolist()), len(keys)
    (True, [0, 1], 2)
    """

    def __init__(self) -> None:
        self._count = 0
        self._keys: Words = np.zeros((FEWEST_SLOTS, 1), dtype=np.uint64)
        self._slots: Codes = np.full(FEWEST_SLOTS, FREE, dtype=np.int32)

    def __len__(self) -> int:
        """Return the number of different rows met so far."""
        return self._count

    def codes(self, words: Words) -> tuple[Codes, Rows]:
        """Return the numbers of some rows.

        Parameters
        ----------
        words : ndarray of int, shape (rows, words)
            At most `MOST_WORDS`; missing words are zero.

        Returns
        -------
        tuple of ndarray of int, shape (rows,), and ndarray of int, shape (new,)
            Each row's number, and the row in which each new number appears first.
        """
        words = self._prepared(words)
        scattered = _scattered(words)
        slot = self._slot(scattered)
        code = self._slots.take(slot)
        odd = np.flatnonzero(~self._agree(code, words))
        slot, words, scattered = slot[odd], words.take(odd, axis=0), scattered[odd]
        first = [np.zeros(0, dtype=np.int64)]
        while len(odd):
            first.append(odd[self._claim(slot, words)])
            found = self._slots[slot]
            same = self._agree(found, words)
            code[odd[same]] = found[same]
            odd, words, scattered = odd[~same], words[~same], scattered[~same]
            slot = self._next(slot[~same], scattered)
        return code, np.concatenate(first)

    def _prepared(self, words: Words) -> Words:
        """Make room for as many new rows, and as many words."""
        most = len(self) + len(words)
        width = max(words.shape[1], self._keys.shape[1])
        self._keys, words = _wider(self._keys, width), _wider(words, width)
        if most > len(self._keys):
            keys = np.zeros((most + most // 2, width), dtype=np.uint64)
            keys[: len(self)] = self._keys[: len(self)]
            self._keys = keys
        if (slots := SPARE * most) > len(self._slots):
            self._slots = np.full(1 << slots.bit_length(), FREE, dtype=np.int32)
            self._place_all()
        return words

    def _place_all(self) -> None:
        """Find a slot for every key, in a table that has none yet."""
        left = np.arange(len(self))
        scattered = _scattered(self._keys[: len(self)])
        slot = self._slot(scattered)
        while len(left):
            free = self._slots[slot] == FREE
            self._slots[slot[free]] = left[free]
            homeless = self._slots[slot] != left
            left = left[homeless]
            slot = self._next(slot[homeless], scattered[left])

    def _slot(self, scattered: Words) -> Rows:
        bits = (len(self._slots) - 1).bit_length()
        return (scattered >> np.uint64(64 - bits)).view(np.int64)

    def _next(self, slot: Rows, scattered: Words) -> Rows:
        """Step on by an odd number, so that every slot comes in turn."""
        return (slot + (scattered | np.uint64(1)).view(np.int64)) & (len(self._slots) - 1)

    def _agree(self, code: Codes, words: Words) -> Flags:
        """Tell which rows have the words of a number, none where there is none."""
        keys = self._keys.take(code, axis=0, mode="clip")
        same: Flags = code != FREE
        return same & ~differ(keys, words)

    def _claim(self, slot: Rows, words: Words) -> Rows:
        """Give free slots to the first rows that want them, and return which these are."""
        wanting = np.flatnonzero(self._slots[slot] == FREE)
        if not len(wanting):
            return wanting
        slot = slot[wanting]
        rows = np.arange(len(slot))
        self._slots[slot[::-1]] = rows[::-1]
        first = np.flatnonzero(self._slots[slot] == rows)
        end = len(self) + len(first)
        self._slots[slot[first]] = np.arange(len(self), end)
        self._keys[len(self) : end] = words[wanting[first]]
        self._count = end
        return wanting[first]


def _scattered(words: Words) -> Words:
    """Scatter words over 64 bits; zeros behind them change nothing."""
    scattered: Words = words[:, 0] * MULTIPLIERS[0]
    for word in range(1, words.shape[1]):
        scattered += words[:, word] * MULTIPLIERS[word]
    scattered ^= scattered >> np.uint64(32)
    scattered *= np.uint64(GOLDEN)
    return scattered


def _wider(words: Words, width: int) -> Words:
    spare = width - words.shape[1]
    return np.pad(words, ((0, 0), (0, spare))) if spare else words
