"""Neighbouring columns of a log that repeat: whatever they spell together is read once."""

from dataclasses import dataclass, field, replace

import numpy as np

from winrate_tools.ingest.logs.coded import Coded, Codes, Wanted
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.text.blocks import Block, Places
from winrate_tools.ingest.text.byte_keys import ByteKeys
from winrate_tools.ingest.text.byte_rows import ByteRows, Words, spelt
from winrate_tools.ingest.text.grid import Grid

MOST_PARTS = 1 << 14
"""Different parts of rows after which they are taken to repeat too seldom."""
FEW = 8
"""Rows a text from which texts are so few that each of them may be told."""


@dataclass(slots=True)
class RowParts:
    r"""Reads some neighbouring columns of one log.

    Parameters
    ----------
    like : Grid
        The grid of the log's head.
    start, stop : int
        The first of these columns and the one behind the last, by number from 1.
    numbers : tuple of int
        Those to read, as texts.

    Examples
    --------
    >>> from winrate_tools.ingest.text.grid import read_grid
    >>> parts = RowParts(read_grid("game,card,held\n1,Fox,no\n", "log.csv"), 2, 4, (2,))
    >>> lines = ByteRows(b"1,Fox,no\n1,Moth,no\n1,Fox,yes\n")
    >>> card = parts.columns(lines, np.array([2, 11, 21]), lines.line_ends())[2]
    >>> card.codes.tolist(), card.texts
    ([0, 1, 0], ('Fox', 'Moth'))
    """

    like: Grid
    start: int
    stop: int
    numbers: tuple[int, ...]
    _keys: ByteKeys = field(init=False)
    _places: dict[int, dict[str, int]] = field(init=False)
    _codes: dict[int, Codes] = field(init=False)

    def __post_init__(self) -> None:
        self._forget()

    def _forget(self) -> None:
        self._keys = ByteKeys()
        self._places = {number: {} for number in self.numbers}
        self._codes = {number: np.zeros(0, dtype=np.int32) for number in self.numbers}

    @property
    def is_full(self) -> bool:
        """Tell whether more different parts have been met than are worth remembering."""
        return len(self._keys) > MOST_PARTS

    def columns(self, rows: ByteRows, starts: Places, ends: Places) -> dict[int, Coded] | None:
        """Read these columns of some rows.

        Parameters
        ----------
        rows : ByteRows
            Lines of the log.
        starts, ends : ndarray of int, shape (rows,)
            From where to where they stand.

        Returns
        -------
        dict of int to Coded, or None
            By column number, texts by first appearance in this call or an earlier one; None
            where a row has more or fewer cells, and once parts hardly repeat.
        """
        words = None if self.is_full else rows.words(starts, ends)
        if words is None:
            return None
        key, new = self._keys.codes(words)
        if len(new) and not self._learn(words[new], (ends - starts)[new], np.argsort(new)):
            self._forget()
            return None
        return {
            number: _coded(self._codes[number].take(key), tuple(place))
            for number, place in self._places.items()
        }

    def _learn(self, words: Words, lengths: Places, order: Places) -> bool:
        """Read what new keys spell, in the order of their rows; tell whether that is plain."""
        wanted = Wanted(tuple(number - self.start + 1 for number in self.numbers))
        grid = replace(self.like, headers=self.like.headers[self.start - 1 : self.stop - 1])
        rows = quick_rows(Block(spelt(words[order], lengths[order]), 1), grid, wanted)
        if rows is None or rows.rows != len(order):
            return False
        for number, place in self._places.items():
            coded, known = rows.columns[number - self.start + 1], self._codes[number]
            codes = [place.setdefault(text, len(place)) for text in coded.texts]
            longer = np.append(known, np.zeros(len(order), dtype=np.int32))
            longer[len(known) + order] = np.array(codes, dtype=np.int32)[coded.codes]
            self._codes[number] = longer
        return True


def _coded(codes: Codes, texts: tuple[str, ...]) -> Coded:
    """Leave out the texts that no row has, unless there are few at any rate."""
    if FEW * len(texts) <= len(codes):
        return Coded(codes, texts)
    used, place = np.unique(codes, return_inverse=True)
    return Coded(place.astype(np.int32), tuple(texts[code] for code in used.tolist()))
