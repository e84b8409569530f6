"""What is to be said about a large table: gathered as it streams by, told of its groups."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import clash_note
from winrate_tools.ingest.checks.check import alone_note
from winrate_tools.ingest.checks.near_misses import slip_note, slips
from winrate_tools.ingest.checks.subtotals import FEWEST_GAMES, find_subtotals, sum_words
from winrate_tools.ingest.checks.totals import NO_TOTALS, TotalRows
from winrate_tools.ingest.checks.unknowns import unknown_note
from winrate_tools.ingest.large.large_blocks import BlockCheck, CheckedBlock, PlacedView
from winrate_tools.ingest.large.large_clashes import Clashes
from winrate_tools.ingest.large.large_groups import Groups
from winrate_tools.ingest.tables.sifting import MOST_TOLD, added_rows
from winrate_tools.tables import ATTRIBUTES, PAIRS, STRATA, Flags

Codes = npt.NDArray[np.int64]


@dataclass(slots=True, eq=False)
class LabelRows:
    """How many rows have each label of a column, and where the first of them stands.

    Examples
    --------
    >>> seen = LabelRows()
    >>> seen.add(np.array([0, 1, -1, 0]), np.array([2, 3, 4, 5]))
    >>> seen.rows.tolist(), seen.line.tolist()
    ([2, 1], [2, 3])
    """

    rows: Codes = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    line: Codes = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def add(self, codes: Codes, lines: Codes, rows: Codes | None = None) -> None:
        """Add rows, or so many rows each, given their lines in ascending order."""
        known = codes >= 0
        codes, lines = codes[known], lines[known]
        new = max(0, int(codes.max(initial=-1)) + 1 - len(self.rows))
        self.line = np.pad(self.line, (0, new))
        weights = None if rows is None else rows[known]
        added = np.bincount(codes, weights, len(self.line)).astype(np.int64)
        self.rows = np.pad(self.rows, (0, new)) + added
        open_ = np.flatnonzero(self.line[codes] == 0)[::-1]
        self.line[codes[open_]] = lines[open_]


@dataclass(slots=True)
class LargeNotes:
    """Notes on the blocks of one table, each said once.

    Parameters
    ----------
    check : BlockCheck
        Checks the blocks, and knows the labels met so far.
    """

    check: BlockCheck
    _assumed: dict[str, str] = field(default_factory=dict)
    _unknown: dict[int, Counter[str]] = field(default_factory=dict)
    _alone: dict[str, LabelRows] = field(default_factory=dict)
    _labels: dict[str, LabelRows] = field(default_factory=dict)

    def add(self, checked: CheckedBlock) -> None:
        """Add what is to be said about a block."""
        for note in checked.notes:
            self._assumed.setdefault(_without_cell(note), note)
        for number, count in checked.unknown.items():
            self._unknown.setdefault(number, Counter()).update(count)
        for role, rows in checked.alone.items():
            alone = self._alone.setdefault(role, LabelRows())
            alone.add(np.zeros(len(rows), dtype=np.int64), checked.lines[rows])

    def add_labels(self, role: str, codes: Codes, lines: Codes) -> None:
        """Add the labels of some rows."""
        self._labels.setdefault(role, LabelRows()).add(codes, lines)

    def said(self) -> Iterator[str]:
        """Say what was assumed about cells."""
        grid, where = self.check.sheet.grid, self.check.where
        for number in where.values():
            yield from unknown_note(grid.label(number), self._unknown.get(number, Counter()))
        yield from self._assumed.values()
        for role, whole in PAIRS:
            if role in self._alone:
                alone = self._alone[role]
                line = f"{grid.unit} {alone.line[0]}"
                yield alone_note(role, whole, int(alone.rows[0]), line)

    def near_misses(self, groups: Groups, kept: Flags) -> Iterator[str]:
        """Say which rare labels of the groups that are kept are very like a frequent one."""
        total = int(groups.rows[kept].sum())
        for role, labels in self.check.labels.items():
            if role == "card":
                continue
            seen = self._labels.get(role, LabelRows())
            if role in STRATA:
                codes = groups.labels[kept, 1 + STRATA.index(role)]
                seen.add(codes, groups.line[kept], groups.rows[kept])
            place = {labels.names[code]: code for code in np.flatnonzero(seen.rows).tolist()}
            count = {name: int(seen.rows[code]) for name, code in place.items()}
            for label, meant in slips(count, total):
                line = f"{self.check.sheet.grid.unit} {seen.line[place[label]]}"
                yield slip_note(role, label, count[label], line, meant)


def _without_cell(note: str) -> str:
    """Return the words before the cell that a note tells: one such note is enough."""
    words = note.split()
    return " ".join(words[: next((n for n, word in enumerate(words) if _tells(word)), None)])


def _tells(word: str) -> bool:
    return any(map(str.isdigit, word))


def clash_notes(check: BlockCheck, clashes: Mapping[str, Clashes]) -> Iterator[str]:
    """Say which cards carry two labels of one attribute; the first one is kept."""
    cards, unit = check.labels["card"].names, check.sheet.grid.unit
    for role, found in clashes.items():
        names = check.labels[role].names
        for clash in found:
            pair = names[clash.first], names[clash.other]
            places = f"{unit} {clash.first_line}", f"{unit} {clash.line}"
            yield clash_note(cards[clash.card], role, pair, places)


@dataclass(slots=True)
class AddedRows:
    """How many rows were added to earlier ones, and the lines and groups of the first.

    Examples
    --------
    >>> added = AddedRows()
    >>> added.tell(np.array([2, 3, 4]), np.array([0, 1, 0]), np.array([False, False, True]))
    >>> added.first, added.is_told
    ([(4, 0)], False)
    """

    count: int = 0
    first: list[tuple[int, int]] = field(default_factory=list)

    @property
    def is_told(self) -> bool:
        """Whether no others need be told."""
        return len(self.first) == MOST_TOLD

    def tell(self, lines: Codes, group: Codes, again: Flags) -> None:
        """Tell of some rows which were added to an earlier one of their group."""
        at = np.flatnonzero(again)[: MOST_TOLD - len(self.first)]
        self.first += zip(lines[at].tolist(), group[at].tolist(), strict=True)

    def said(self, check: BlockCheck, groups: Groups) -> Iterator[str]:
        """Say it."""
        cards, unit = check.labels["card"].names, check.sheet.grid.unit
        told = [
            f"{cards[groups.labels[group, 0]]!r} on {unit} {line} was added to {unit} "
            f"{groups.line[group]}"
            for line, group in self.first
        ]
        return added_rows(told, self.count, check.sheet.kind.name)


def subtotals(check: BlockCheck, groups: Groups, attributes: Mapping[str, Codes]) -> TotalRows:
    """Find groups that add up the rows of one label, as `find_subtotals` does with rows."""
    counts = {role: groups.amount(role) for role in ("games", "wins")}
    coded = dict(zip(("card", *STRATA), groups.labels.T, strict=True)) | dict(attributes)
    coded = {role: codes for role, codes in coded.items() if role in check.labels}
    if not _may_add_up(check, coded, counts["games"] >= FEWEST_GAMES):
        return NO_TOTALS
    named = {
        role: np.array([None, *check.labels[role].names], dtype=object)[codes + 1].tolist()
        for role, codes in coded.items()
    }
    card = tuple(named.pop("card"))
    view = PlacedView(check.sheet, check.where, card, groups.line)
    labels = {role: named[role] for role in (*STRATA, *ATTRIBUTES) if role in named}
    return find_subtotals(view, counts, labels)


def _may_add_up(check: BlockCheck, coded: Mapping[str, Codes], is_large: Flags) -> bool:
    """Tell whether any name has a word for a total, or any large group lacks a label."""
    if any(sum_words(folded(name)) for name in check.labels["card"].names):
        return True
    return any(bool((is_large & (codes < 0)).any()) for codes in coded.values())
