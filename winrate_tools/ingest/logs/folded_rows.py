"""Logs with a row a card, at full speed: what the rows of a game share is read once a game."""

from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np

from winrate_tools.ingest.logs.coded import Coded, CodedLists, CodedRows, Wanted
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.logs.row_parts import RowParts
from winrate_tools.ingest.text.blocks import Block, Places
from winrate_tools.ingest.text.byte_rows import (
    WORD,
    ByteRows,
    byte_rows,
    cut_off,
    differ,
    spelt,
    starts_of,
)
from winrate_tools.ingest.text.grid import Grid

ROUNDS = 4
"""Looks at a block after which its runs must be known."""


@dataclass(slots=True)
class FoldedRows:
    r"""Reads the blocks of one log, whose rows come in runs that begin alike.

    Parameters
    ----------
    like, wanted
        As in `quick_rows`; the varying columns that are wanted stand behind all others.

    Examples
    --------
    >>> from winrate_tools.ingest.text.grid import read_grid
    >>> head = read_grid("game,won,card\n1,yes,Fox\n", "log.csv")
    >>> log = FoldedRows(head, Wanted((2, 3), (1,), varying=(3,)))
    >>> rows = log.read(Block(b"2,yes,Fox\n2,yes,Moth\n3,no,Fox\n", 3))
    >>> rows.numbers[1].tolist(), rows.columns[2].texts, rows.lists[3].ends.tolist()
    ([2, 3], ('yes', 'no'), [2, 3])
    """

    like: Grid
    wanted: Wanted
    _shared: int = field(init=False)
    _before: RowParts = field(init=False)
    _behind: RowParts = field(init=False)

    def __post_init__(self) -> None:
        self._forget()

    def _forget(self) -> None:
        """Know no text, as none of a block that is not folded may come before its time."""
        first, stop = min(self.wanted.varying, default=1), len(self.like.headers) + 1
        self._shared = first - 1
        texts = tuple(number for number in self.wanted.texts if number < first)
        self._before = RowParts(self.like, 2, first, texts)
        self._behind = RowParts(self.like, first, stop, self.wanted.varying)

    def read(self, block: Block) -> CodedRows | None:
        """Read a block.

        Returns
        -------
        CodedRows or None
            One row a run, with varying columns as lists; what `quick_rows` finds where there
            are quotes, odd line ends or ragged records, or what varies hardly repeats.
        """
        if not self.wanted.varying or self._behind.is_full:
            return quick_rows(block, self.like, self.wanted)
        rows = byte_rows(block)
        folded = None if rows is None else self._folded(rows)
        if folded is None:
            self._forget()
            return quick_rows(block, self.like, self.wanted)
        return replace(folded, line=block.line)

    def _folded(self, rows: ByteRows) -> CodedRows | None:
        ends = rows.line_ends()
        starts = starts_of(ends)
        runs = _runs(rows, starts, self.like.delimiter, self._shared)
        if runs is None:
            return None
        begin = starts[runs.first]
        once = self._numbered(rows, runs, begin) or self._parsed(rows, runs, begin)
        if once is None:
            return None
        varying = self._behind.columns(rows, runs.behind, ends)
        if varying is None:
            return None
        last = np.append(runs.first[1:], len(ends)).astype(np.int32)
        lists = {n: CodedLists(last, coded.codes, coded.texts) for n, coded in varying.items()}
        return replace(once, lists=lists)

    def _numbered(self, rows: ByteRows, runs: "_Runs", begin: Places) -> CodedRows | None:
        """Read what the rows of each run share, where that is a number and texts."""
        if self.wanted.numbers != (1,) or not self._before.numbers:
            return None
        found = rows.numbers(runs.ends[0], "\n")
        if found is None:
            return None
        texts = self._before.columns(rows, runs.ends[0] + 1, runs.ends[-1])
        if texts is None:
            return None
        return CodedRows(len(begin), texts, {1: found[0].astype(np.int64)})

    def _parsed(self, rows: ByteRows, runs: "_Runs", begin: Places) -> CodedRows | None:
        """Read what the rows of each run share."""
        words = rows.words(begin, runs.ends[-1])
        assert words is not None
        front = replace(self.like, headers=self.like.headers[: self._shared])
        wanted = replace(self.wanted, texts=self._before.numbers)
        lines = spelt(words, runs.ends[-1] - begin)
        found = quick_rows(Block(lines, 1), front, wanted)
        return found if found and found.rows == len(begin) else None


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


class _Runs(NamedTuple):
    """Rows that begin alike.

    Attributes
    ----------
    first : ndarray of int, shape (runs,)
        The first of each run.
    ends : ndarray of int, shape (cells, runs)
        Where the cells that its rows share end in that one.
    behind : ndarray of int, shape (rows,)
        Where the first cell stands that they do not share.
    """

    first: Places
    ends: Places
    behind: Places


def _runs(rows: ByteRows, starts: Places, delimiter: str, shared: int) -> _Runs | None:
    """Part rows into runs that share the first cells, None where that is not simple.

    Where the first letters of a row are others than of the row before, a run begins. A row
    that proves to begin otherwise than the one before, too.
    """
    ends = rows.cell_ends(starts[:1], delimiter, shared)
    if ends is None:
        return None
    letters = int(ends[-1, 0]) + 1
    letters = letters if letters < WORD else -(-letters // WORD) * WORD
    words = rows.words(starts, starts + letters)
    assert words is not None
    begins = np.append(True, words[1:, 0] != words[:-1, 0])
    for look in range(ROUNDS):
        first = np.flatnonzero(begins)
        ends = rows.cell_ends(starts[first], delimiter, shared)
        if ends is None:
            return None
        lengths = ends[-1] + 1 - starts[first]
        behind = starts + np.repeat(lengths, np.diff(first, append=len(starts)))
        if look or lengths.max() > letters:
            words = rows.words(starts, behind)
        else:
            cut_off(words, behind - starts)
        assert words is not None
        others = differ(words[1:], words[:-1]) & ~begins[1:]
        if not others.any():
            return _Runs(first, ends, behind)
        begins[1:] |= others
    return None
