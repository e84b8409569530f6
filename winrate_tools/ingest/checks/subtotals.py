"""Rows that add up the rows of one label, such as all cards of a faction."""

import re
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from winrate_tools.ingest.cells.names import Labels
from winrate_tools.ingest.checks.findings import first_few
from winrate_tools.ingest.checks.totals import NO_TOTALS, TotalRows, folded_labels, may_be_total
from winrate_tools.ingest.roles.view import View, word
from winrate_tools.tables import ATTRIBUTES, Numbers

SUM_WORDS = frozenset(
    {"total", "totals", "subtotal", "sum", "all", "overall", "gesamt", "insgesamt", "summe"}
    | {"zwischensumme", "teilsumme", "gesamtsumme", "alle", "somme", "tous", "suma", "todos"}
    | {"todas", "totale", "subtotale", "tutti", "totaal", "subtotaal", "soma", "razem"}
    | {"summa", "totalt", "delsumma"}
)
FEWEST_GAMES = 50
"""Of a sum that no word tells: small numbers add up by chance."""
JOINING = frozenset({"sub", "sous", "of", "for", "von", "für", "de", "pour", "di", "per"})
"""Words that stand beside a word for a total and name no group."""

Group = tuple[tuple[str, str], ...]
"""Roles and the label that each has."""


def find_subtotals(
    view: View, counts: Mapping[str, Numbers], labels: Mapping[str, Labels]
) -> TotalRows:
    """Find rows that add up the rows of a label exactly.

    A row is one if all its counts are the sums of two or more other rows that share its known
    labels, or the label that it is named after; and if its name has a word for a total, or
    it leaves a label blank, has 50 games, and more than one count agrees.

    Parameters
    ----------
    view : View
        The file, its roles and the names of its rows.
    counts : mapping of str to ndarray of float, shape (rows,)
        Counts that a sum adds up, the games first, NaN where unknown.
    labels : mapping of str to sequence of (str or None)
        Strata and attributes.

    Returns
    -------
    TotalRows
        Rows to leave out, with notes.
    """
    if not labels:
        return NO_TOTALS
    row_name = view.sheet.kind.name
    axes: Mapping[str, Labels] = {row_name: view.card, **labels}
    rows = _Rows(row_name, {role: folded_labels(axis) for role, axis in axes.items()}, counts)
    found: dict[int, Group] = {}
    while more := {
        row: group for row in rows.open if (group := rows.added_up(row, found)) is not None
    }:
        found |= more
        rows.sums.clear()
        rows.open = [row for row in rows.open if row not in found]
    notes = tuple(_notes(view, found, " and ".join(counts)))
    return TotalRows(frozenset(found), notes, ())


@dataclass
class _Rows:
    """Rows by their folded names and labels, and what those of each group add up to."""

    row_name: str
    keys: Mapping[str, Sequence[str]]
    counts: Mapping[str, Numbers]
    sums: dict[tuple[str, ...], dict[tuple[str, ...], Numbers]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Find the rows that may add up others, and those that no sum may count."""
        names = self.keys[self.row_name]
        self.words = {name: sum_words(name) for name in set(names)}
        self.totals = {
            role: {key for key in set(keys) if may_be_total(key, is_name=role == self.row_name)}
            for role, keys in self.keys.items()
            if role not in ATTRIBUTES
        }
        known = np.array([np.nan_to_num(count) for count in self.counts.values()])
        self.amounts = np.vstack([known[0] > 0, known]).T
        self.kept_out = {
            row for row in range(len(names)) if self.words[names[row]] or self._is_total(row)
        }
        self.open = [row for row in range(len(names)) if self._may_add_up(row)]
        self.values = {role: set(axis) - {""} for role, axis in self.keys.items()}

    def added_up(self, row: int, found: Collection[int]) -> Group | None:
        """Return the group that a row adds up, if there is one."""
        for group in self._groups(row):
            roles, key = zip(*group, strict=True)
            others = self._sums(roles, found).get(key, np.zeros(len(self.counts) + 1))
            own = self.amounts[row]
            if row not in self.kept_out and all(self.keys[r][row] == k for r, k in group):
                others = others - own
            if others[0] > 1 and np.array_equal(others[1:], own[1:]):
                return group
        return None

    def _is_total(self, row: int) -> bool:
        return any(self.keys[role][row] in totals for role, totals in self.totals.items())

    def _may_add_up(self, row: int) -> bool:
        labels = [self.keys[role][row] for role in self.keys if role != self.row_name]
        told = any(self.keys[role][row] for role in ATTRIBUTES if role in self.keys)
        if self.amounts[row][1] <= 0 or (self._is_total(row) and not told):
            return False
        has_word = bool(self.words[self.keys[self.row_name][row]])
        is_large = self.amounts[row][1] >= FEWEST_GAMES
        return has_word or (is_large and "" in labels and len(self.counts) > 1)

    def _groups(self, row: int) -> Iterator[Group]:
        known = {role: keys[row] for role, keys in self.keys.items() if keys[row]}
        name = known.pop(self.row_name, "")
        words = self.words[name] | JOINING
        rest = " ".join(part for part in name.split() if not _parts(part) <= words)
        named_after = rest.strip(" :-()")
        for role, values in self.values.items():
            if named_after in values:
                yield ((role, named_after),)
        if known:
            yield tuple(known.items())

    def _sums(
        self, roles: tuple[str, ...], found: Collection[int]
    ) -> dict[tuple[str, ...], Numbers]:
        if roles not in self.sums:
            sums: defaultdict[tuple[str, ...], Numbers] = defaultdict(
                lambda: np.zeros(len(self.counts) + 1)
            )
            for row, key in enumerate(zip(*(self.keys[role] for role in roles), strict=True)):
                if row not in self.kept_out and row not in found:
                    sums[key] = sums[key] + self.amounts[row]
            self.sums[roles] = dict(sums)
        return self.sums[roles]


def sum_words(name: str) -> frozenset[str]:
    """Return the words of a folded name that stand for a total."""
    return _parts(name) & SUM_WORDS


def _parts(text: str) -> frozenset[str]:
    return frozenset(re.findall(r"\w+", text))


def _notes(view: View, found: Mapping[int, Group], what: str) -> Iterator[str]:
    kinds: defaultdict[str, list[str]] = defaultdict(list)
    for row, group in sorted(found.items()):
        kinds[" and ".join(word(role) for role, _ in group)].append(
            f"{view.line_of(row)} ({view.card[row]!r})"
        )
    for roles, lines in kinds.items():
        yield (
            f"left out as a subtotal, its {what} add up the other rows of the same {roles}: "
            f"{first_few(lines)}"
        )
