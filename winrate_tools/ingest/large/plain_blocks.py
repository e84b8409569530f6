"""Blocks of a large table whose rows repeat: what labels spell is looked up, not read anew."""

from dataclasses import dataclass, field, replace
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.large.large_blocks import BlockCheck
from winrate_tools.ingest.logs.label_codes import BAD
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.byte_keys import ByteKeys
from winrate_tools.ingest.text.byte_rows import ByteRows, Words, byte_rows, spelt, starts_of
from winrate_tools.tables import COUNTS, PAIRS

Codes = npt.NDArray[np.int64]
MOST_KEYS = 1 << 20
"""Different spellings of a row's labels that are remembered."""


class PlainBlock(NamedTuple):
    """Rows of whole numbers, with labels that have been met before.

    Attributes
    ----------
    key : ndarray of int, shape (rows,)
        What each row's labels spell.
    numbers : dict of str to ndarray of int, shape (rows,)
        Counts by role, each at most its whole.
    first : ndarray of int, shape (new,)
        Rows whose key is a new one, in order.
    order : ndarray of int, shape (new,)
        Which of the new keys these are.
    labels : dict of str to ndarray of int, shape (new,)
        Codes of their labels by role, -1 where unknown; empty where there are none.
    """

    key: npt.NDArray[np.int32]
    numbers: dict[str, Codes]
    first: Codes
    order: Codes
    labels: dict[str, Codes]

    def by_key(self, values: Codes, new: Codes) -> Codes:
        """Add what the new keys have, in their order, to what the earlier ones have."""
        longer = np.concatenate([values, new])
        longer[len(values) + self.order] = new
        return longer


@dataclass(slots=True)
class PlainBlocks:
    """Reads the plain blocks of one table, as `BlockCheck` would.

    Parameters
    ----------
    check : BlockCheck
        Reads labels when they are new.
    """

    check: BlockCheck
    _keys: ByteKeys = field(default_factory=ByteKeys)
    _roles: list[str] = field(init=False)
    _is_odd: bool = field(init=False)

    def __post_init__(self) -> None:
        where, width = self.check.where, len(self.check.sheet.grid.headers)
        counts = {number: role for role, number in where.items() if role in COUNTS}
        last = range(width, width - len(counts), -1)
        self._roles = [counts.get(number, "") for number in last]
        others = set(where.values()) - self.check.label_columns
        whole = set(self.check.wanted.numbers)
        self._is_odd = not set(last) == set(counts) == others == whole

    def read(self, block: Block) -> PlainBlock | None:
        """Read a block.

        Returns
        -------
        PlainBlock or None
            None where a cell is quoted, a count no plain number or more than its whole, or a
            label odd; also once too many different labels have been met.
        """
        if self._is_odd or len(self._keys) > MOST_KEYS:
            return None
        rows = byte_rows(block)
        cut = None if rows is None else self._cut(rows)
        if rows is None or cut is None:
            return None
        numbers, words, lengths = cut
        key, first = self._keys.codes(words)
        order = np.argsort(first)
        first = first[order]
        labels = self._labels(spelt(words[first], lengths[first]), block.line)
        self._is_odd = labels is None
        return None if labels is None else PlainBlock(key, numbers, first, order, labels)

    def _cut(self, rows: ByteRows) -> tuple[dict[str, Codes], Words, Codes] | None:
        """Cut lines into the counts at their ends and what stands before."""
        numbers: dict[str, Codes] = {}
        last = ends = rows.line_ends()
        for role in self._roles:
            found = rows.numbers(ends, self.check.sheet.grid.delimiter)
            if found is None:
                return None
            numbers[role], ends = found
        for part, whole in PAIRS:
            if part in numbers and whole in numbers and (numbers[part] > numbers[whole]).any():
                return None
        starts = starts_of(last)
        words = rows.words(starts, ends)
        return None if words is None else (numbers, words, ends - starts)

    def _labels(self, lines: bytes, line: int) -> dict[str, Codes] | None:
        """Read what stands before the counts, None where it is odd."""
        if not lines:
            return {}
        grid = self.check.sheet.grid
        front = replace(grid, headers=grid.headers[: -len(self._roles)])
        rows = quick_rows(Block(lines, line), front, replace(self.check.wanted, numbers=()))
        if rows is None or rows.rows != lines.count(b"\n"):
            return None
        labels = self.check.codes(rows)
        return None if (labels["card"] == BAD).any() else labels
