"""Records of a block as columns of codes: each different text once, and who has it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.text.grid import Grid

Codes = npt.NDArray[np.int32]
Copies = npt.NDArray[np.uint8]
NO_COUNT = 255
MOST_COPIES = 99


@dataclass(frozen=True, slots=True)
class Coded:
    """One column.

    Attributes
    ----------
    codes : ndarray of int, shape (rows,)
        Place of each row's text.
    texts : tuple of str
        Different texts as written; some may be nobody's.
    """

    codes: Codes
    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CodedLists:
    """One column whose cells are lists.

    Attributes
    ----------
    ends : ndarray of int, shape (rows,)
        Where each row's entries end among `codes`; they begin where the row before ends.
    codes : ndarray of int
        Place of each entry's text.
    texts : tuple of str
        Different entries as written.
    """

    ends: Codes
    codes: Codes
    texts: tuple[str, ...]

    def lengths(self) -> Codes:
        """Count each row's entries."""
        return np.diff(self.ends, prepend=np.int32(0))


@dataclass(frozen=True, slots=True)
class CodedRows:
    """The records of a block.

    Attributes
    ----------
    rows : int
        How many.
    columns : mapping of int to Coded
        By column number from 1.
    numbers : mapping of int to ndarray of int
        Columns of plain whole numbers, by column number from 1; the others stay in `columns`.
    lists : mapping of int to CodedLists
        Columns of lists, by column number from 1.
    copies : ndarray of int, shape (rows, cards)
        Small counts of the columns that were wanted as such, `NO_COUNT` for what is none.
    line : int
        Physical line on which the block begins.
    grid : Grid or None
        The rows cell by cell, lines counted within the block; None where nobody looked.
    """

    rows: int
    columns: Mapping[int, Coded]
    numbers: Mapping[int, npt.NDArray[np.int64]] = field(default_factory=dict)
    lists: Mapping[int, CodedLists] = field(default_factory=dict)
    copies: Copies = field(default_factory=lambda: np.zeros((0, 0), dtype=np.uint8))
    line: int = 1
    grid: Grid | None = None


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which columns of a file are wanted, by number from 1, and as what.

    Attributes
    ----------
    texts : tuple of int
        As codes.
    numbers : tuple of int
        As whole numbers; if any cell of a block is none, all of them come as codes.
    lists : mapping of int to str
        As lists of codes, by what parts their entries.
    copies : tuple of int
        As small counts; a blank cell is 0.
    varying : tuple of int
        Those of the texts that differ between rows whose other wanted columns, all of which
        stand before, are the same; such rows may come as one, these columns as lists.
    """

    texts: tuple[int, ...]
    numbers: tuple[int, ...] = ()
    lists: Mapping[int, str] = field(default_factory=dict)
    copies: tuple[int, ...] = ()
    varying: tuple[int, ...] = ()

    @property
    def coded(self) -> "Wanted":
        """The same, with numbers as codes."""
        return replace(self, texts=(*self.texts, *self.numbers), numbers=())


def small_counts(copies: npt.NDArray[np.int64]) -> Copies:
    """Pack counts, with `NO_COUNT` for those that no deck has."""
    return np.where((copies < 0) | (copies > MOST_COPIES), NO_COUNT, copies).astype(np.uint8)
