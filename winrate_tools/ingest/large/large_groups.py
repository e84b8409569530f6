"""Rows of a large table gathered by card, archetype and skill band, and their sums."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import TableError
from winrate_tools.tables import COUNTS, PART_OF, Flags, Numbers

Codes = npt.NDArray[np.int64]
MOST_CELLS = 64_000_000
"""Cards x archetypes x bands that can be told apart."""
MANY = 1 << 18
"""Rows that are worth adding up."""
EVEN = 1e-9
"""Weight of a row without games in a mean."""


@dataclass(slots=True, eq=False)
class Groups:
    """Rows with the same labels, numbered in order of first appearance.

    Attributes
    ----------
    line : ndarray of int, shape (groups,)
        Physical line of each group's first row.
    labels : ndarray of int, shape (groups, 3)
        Its codes of card, archetype and band; -1 for an unknown one.
    rows : ndarray of int, shape (groups,)
        Rows that were added.
    """

    line: Codes = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    labels: Codes = field(default_factory=lambda: np.zeros((0, 3), dtype=np.int64))
    rows: Codes = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    _place: npt.NDArray[np.int32] = field(
        default_factory=lambda: np.full((1, 1, 1), -1, dtype=np.int32)
    )
    _sums: dict[str, Numbers] = field(default_factory=dict)
    _gaps: dict[str, Codes] = field(default_factory=dict)
    _waiting: list[dict[str, Codes]] = field(default_factory=list)

    def __len__(self) -> int:
        """Return the number of groups."""
        return len(self.line)

    def of(self, labels: Codes, lines: Codes) -> tuple[Codes, Flags]:
        """Return the numbers of the groups of some rows.

        Parameters
        ----------
        labels : ndarray of int, shape (3, rows)
            Codes of card, archetype and band; -1 for an unknown one.
        lines : ndarray of int, shape (rows,)
            Physical lines.

        Returns
        -------
        tuple of ndarray of int and ndarray of bool, shape (rows,)
            Each row's group, and whether an earlier row has the same.

        Examples
        --------
        >>> groups = Groups()
        >>> rows = np.array([[0, 1, 0], [-1, -1, -1], [-1, -1, -1]])
        >>> group, again = groups.of(rows, np.array([2, 3, 4]))
        >>> group.tolist(), again.tolist(), groups.line.tolist()
        ([0, 1, 0], [False, False, True], [2, 3])
        """
        self._grow(labels.max(axis=1) + 2)
        _, archetypes, bands = self._place.shape
        cell = ((labels[0] + 1) * archetypes + labels[1] + 1) * bands + labels[2] + 1
        place = self._place.reshape(-1)
        group = place[cell].astype(np.int64)
        again = group >= 0
        if not again.all():
            fresh = np.flatnonzero(~again)
            _, first = np.unique(cell[fresh], return_index=True)
            begins = fresh[np.sort(first)]
            place[cell[begins]] = np.arange(len(self), len(self) + len(begins))
            group[fresh] = place[cell[fresh]]
            again[fresh] = True
            again[begins] = False
            self.line = np.concatenate([self.line, lines[begins]])
            self.labels = np.concatenate([self.labels, labels[:, begins].T])
            self.rows = _longer(self.rows, len(self.line))
        return group, again

    def _grow(self, wanted: Codes) -> None:
        have = self._place.shape
        if all(w <= h for w, h in zip(wanted.tolist(), have, strict=True)):
            return
        pairs = zip(wanted.tolist(), have, strict=True)
        shape = tuple(h if w <= h else max(w, h + h // 2) for w, h in pairs)
        if np.prod(shape) > MOST_CELLS:
            msg = f"{wanted[0]:,} cards in so many archetypes and bands are too many to hold"
            raise TableError(msg)
        larger = np.full(shape, -1, dtype=np.int32)
        larger[tuple(slice(0, size) for size in have)] = self._place
        self._place = larger

    def add(self, group: Codes, numbers: Mapping[str, Numbers]) -> None:
        """Add rows up.

        Parameters
        ----------
        group : ndarray of int, shape (rows,)
            Each row's group.
        numbers : mapping of str to ndarray of float, shape (rows,)
            Columns by role, NaN where unknown; counts are summed, others averaged by games.
        """
        self.rows = _added(self.rows, group, None)
        for role, column in numbers.items():
            if role in COUNTS:
                self._add_count(role, group, column, numbers)
            else:
                weight = np.where(np.isnan(column), 0, np.nan_to_num(numbers["games"]) + EVEN)
                self._sum(role, group, np.nan_to_num(column) * weight)
                self._sum(f"{role} weight", group, weight)

    def add_whole(self, group: Codes, numbers: Mapping[str, Codes]) -> None:
        """Add rows of known whole numbers up, once there are many of them.

        Parameters
        ----------
        group : ndarray of int, shape (rows,)
            Each row's group.
        numbers : mapping of str to ndarray of int, shape (rows,)
            Counts by role.
        """
        self._waiting.append({"": group, **numbers})
        if sum(len(part[""]) for part in self._waiting) >= MANY:
            self.settle()

    def settle(self) -> None:
        """Add up what waits."""
        if not self._waiting:
            return
        waiting, self._waiting = self._waiting, []
        columns = {
            role: np.concatenate([part[role] for part in waiting]) for role in waiting[0]
        }
        group = columns.pop("")
        self.rows = _added(self.rows, group, None)
        for role, column in columns.items():
            self._sum(role, group, column)

    def _add_count(
        self, role: str, group: Codes, column: Numbers, numbers: Mapping[str, Numbers]
    ) -> None:
        """Add a count; games whose wins nobody knows stand apart from a rate."""
        part = numbers.get(PART_OF.get(role, role))
        unknown = np.isnan(column if part is None else part)
        if not unknown.any():
            self._sum(role, group, column)
            return
        self._sum(role, group, np.where(unknown, 0, column))
        alone = np.where(unknown, np.nan_to_num(column), 0)
        self._sum(f"{role} alone", group, alone)
        for name, gaps in ((role, unknown), (f"{role} alone", np.isnan(column))):
            before = _longer(self._gaps.get(name, np.zeros(0, dtype=np.int64)), len(self))
            self._gaps[name] = _added(before, group[gaps], None)

    def _sum(self, name: str, group: Codes, values: Numbers) -> None:
        before = _longer(self._sums.get(name, np.zeros(0)), len(self))
        self._sums[name] = _added(before, group, values)

    def total(self, role: str) -> Numbers:
        """Return a column, one number a group, NaN where no row knows it.

        Games are those of rows that know their wins, if any does; likewise other wholes.
        """
        if role not in COUNTS:
            weight = self._whole(f"{role} weight")
            with np.errstate(invalid="ignore"):
                return np.where(weight > 0, self._whole(role) / weight, np.nan)
        known = self.rows - self._gap(role)
        alone = self.rows - self._gap(f"{role} alone")
        rest = np.where(alone > 0, self._whole(f"{role} alone"), np.nan)
        return np.where(known > 0, self._whole(role), rest)

    def amount(self, role: str) -> Numbers:
        """Return a count of all rows, one number a group, those that know no part included."""
        return self._whole(role) + self._whole(f"{role} alone")

    def _whole(self, name: str) -> Numbers:
        whole: Numbers = _longer(self._sums.get(name, np.zeros(0)), len(self))
        return whole

    def _gap(self, name: str) -> Codes:
        gap: Codes = _longer(self._gaps.get(name, np.zeros(0, dtype=np.int64)), len(self))
        return gap


@dataclass(slots=True, eq=False)
class FirstLabels:
    """The first known label of each group in some columns.

    Attributes
    ----------
    codes : dict of str to ndarray of int, shape (groups,)
        By role; -1 where no row knows it.

    Examples
    --------
    >>> first = FirstLabels()
    >>> first.add("rarity", np.array([0, 1, 0]), np.array([-1, 3, 2]), 2)
    >>> first.codes["rarity"].tolist()
    [2, 3]
    """

    codes: dict[str, Codes] = field(default_factory=dict)

    def add(self, role: str, group: Codes, codes: Codes, groups: int) -> None:
        """Add the labels of some rows, given their groups and how many of these there are."""
        had = self.codes.get(role, np.zeros(0, dtype=np.int64))
        new = np.full(groups - len(had), -1, dtype=np.int64)
        kept = np.concatenate([had, new])
        open_ = np.flatnonzero((kept[group] < 0) & (codes >= 0))[::-1]
        kept[group[open_]] = codes[open_]
        self.codes[role] = kept


def _added(totals: Any, group: Codes, values: Any | None) -> Any:
    """Add values (or ones) to the totals of their groups, in place where groups are many."""
    if len(totals) > 4 * len(group):
        np.add.at(totals, group, 1 if values is None else values)
        return totals
    return totals + np.bincount(group, values, len(totals)).astype(totals.dtype)


def _longer(totals: Any, length: int) -> Any:
    if len(totals) >= length:
        return totals
    return np.concatenate([totals, np.zeros(length - len(totals), dtype=totals.dtype)])
