"""Cards of a large table that carry two labels of one attribute."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Codes = npt.NDArray[np.int64]


class Clash(NamedTuple):
    """A card, the label that it has first, another one, and on which lines they stand."""

    card: int
    first: int
    first_line: int
    other: int
    line: int


@dataclass(slots=True)
class Clashes:
    """The first label of each card, and every other that a row of it has.

    Examples
    --------
    >>> rarity = Clashes()
    >>> rarity.add(np.array([0, 1, 0, 0]), np.array([-1, 2, 3, 2]), np.array([2, 3, 4, 5]))
    >>> [*rarity]
    [Clash(card=0, first=3, first_line=4, other=2, line=5)]
    """

    _first: Codes = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    _line: Codes = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    _others: dict[tuple[int, int], int] = field(default_factory=dict)

    def add(self, cards: Codes, codes: Codes, lines: Codes) -> None:
        """Add the labels of some rows, -1 for an unknown one, in the order of their lines."""
        new = max(0, int(cards.max(initial=-1)) + 1 - len(self._first))
        self._first = np.pad(self._first, (0, new), constant_values=-1)
        self._line = np.pad(self._line, (0, new))
        open_ = np.flatnonzero((self._first[cards] < 0) & (codes >= 0))[::-1]
        self._first[cards[open_]], self._line[cards[open_]] = codes[open_], lines[open_]
        other = np.flatnonzero((codes >= 0) & (codes != self._first[cards]))
        pairs, at = np.unique(np.stack([cards, codes])[:, other], axis=1, return_index=True)
        for card, code, line in zip(*pairs.tolist(), lines[other[at]].tolist(), strict=True):
            self._others.setdefault((card, code), line)

    def __iter__(self) -> Iterator[Clash]:
        """Tell them in the order of their lines."""
        for (card, code), line in sorted(self._others.items(), key=lambda pair: pair[1]):
            yield Clash(card, int(self._first[card]), int(self._line[card]), code, line)
