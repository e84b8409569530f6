"""Large tables of cards: the head is read with all care, the rest streams by, fully checked."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from hashlib import file_digest
from pathlib import Path

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import MappingError, Problem, TableError
from winrate_tools.ingest.cells.names import read_labels, read_names, respelt
from winrate_tools.ingest.checks.duplicates import (
    find_duplicates,
    fix_of_repeats,
    untold_strata,
)
from winrate_tools.ingest.checks.findings import Finding, in_order
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.large.large_blocks import BlockCheck, CheckedBlock, WholeFileError
from winrate_tools.ingest.large.large_groups import Groups
from winrate_tools.ingest.logs.log_reader import placed
from winrate_tools.ingest.roles.kinds import CARDS
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.roles.view import View
from winrate_tools.ingest.tables.sifting import Built, left_out
from winrate_tools.ingest.text.blocks import Block, blocks
from winrate_tools.ingest.text.containers import MOST_BYTES
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import Load
from winrate_tools.ingest.text.text_stream import TextStream, text_stream
from winrate_tools.tables import ATTRIBUTES, NUMBERS, STRATA, CardTable, Flags, Source

MOST_FINDINGS = 1000
"""Problems after which reading stops."""
UNCHECKED = "{} was checked against wins / games in the first {:,} rows only, and not used"

Inspection = TableInspection[CardTable]
Codes = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Choices:
    """What the user says about a table, as in `winrate_tools.ingest.tables.reader.Reading`."""

    columns: Mapping[str, ColumnChoice] | None = None
    decimal: str | None = None
    skip_bad: bool = False
    sum_duplicates: bool = False
    use_memory: bool = True
    name: str | None = None


def inspect_large(path: Path, choices: Choices) -> Inspection | None:
    """Read a large table of cards in bounded memory, as the careful reader would.

    Encoding, dialect, number style and roles are those of the head; each further cell must fit
    them, and one that does not is placed by file, line and cell.

    Parameters
    ----------
    path : Path
        CSV of any dialect, gzip too.
    choices : Choices
        What the user says about it.

    Returns
    -------
    Inspection or None
        None where something bears on all rows at once and the file is small enough to be read
        as a whole.

    Raises
    ------
    TableError
        If it is no table, or it would have to be read as a whole and is too large for that.
    SettingError
        If a role or the decimal mark is none.
    """
    found: list[tuple[Sheet, dict[str, int]]] = []

    def build(sheet: Sheet, where: dict[str, int], source: Source) -> Built[CardTable]:
        found.append((sheet, where))
        return Built(None, (), source.notes)

    with text_stream(str(path)) as stream:
        head = Load(choices.name or stream.name, stream.text.encode(), path.parent)
        seen = inspected(
            head,
            CARDS,
            build,
            columns=choices.columns,
            decimal=choices.decimal,
            use_memory=choices.use_memory,
        )
        with path.open("rb") as file:
            digest = file_digest(file, "sha256").hexdigest()
        seen = replace(seen, sha256=digest, encoding=stream.encoding)
        if not found:
            return seen
        try:
            return _streamed(stream, seen, *found[0], choices)
        except WholeFileError as error:
            if path.stat().st_size <= MOST_BYTES:
                return None
            msg = f"{seen.name}: {error}; too large to be read as a whole, so mend that first"
            raise TableError(msg) from error
        except MappingError as error:
            return replace(seen, unclear=error)


def _streamed(
    stream: TextStream,
    seen: Inspection,
    sheet: Sheet,
    where: dict[str, int],
    choices: Choices,
) -> Inspection:
    if not {"games", "wins"} <= set(where):
        msg = "games and wins are not both there"
        raise WholeFileError(msg)
    notes = [*stream.notes, *seen.notes, *sheet.grid.notes]
    rate = where.pop("win_rate", None)
    if rate is not None:
        notes.append(UNCHECKED.format(sheet.grid.label(rate), len(sheet.grid.rows)))
    untold = None if choices.sum_duplicates else _untold(sheet, where)
    if untold:
        return replace(seen, notes=tuple(notes), problems=(untold.problem,))
    gathering = Gathering(BlockCheck(sheet, where), choices)
    for block in body_blocks(stream, sheet):
        gathering.add(block)
        if len(gathering.findings) >= MOST_FINDINGS and not choices.skip_bad:
            break
    return gathering.result(replace(seen, notes=tuple(notes)))


def _untold(sheet: Sheet, where: Mapping[str, int]) -> Finding | None:
    """Find in the head which unused columns tell repeated rows apart."""
    view = View(sheet, where, read_names(sheet.grid, where["card"]).labels)
    labels = {
        role: read_labels(sheet.grid, where[role], role).labels
        for role in STRATA
        if role in where
    }
    repeats = find_duplicates(view.card, labels, range(len(view.card)))
    return untold_strata(view, repeats, labels)


def body_blocks(stream: TextStream, sheet: Sheet) -> Iterator[Block]:
    """Cut what stands below the header into blocks."""
    start = sheet.grid.first_line()
    above = "".join(sheet.grid.text[: start - 1]).encode()
    return blocks(stream.file, stream.name, read=stream.head[len(above) :], line=start)


@dataclass(slots=True)
class Gathering:
    """The rows of a large table, gathered block by block."""

    check: BlockCheck
    choices: Choices
    groups: Groups = field(default_factory=Groups)
    findings: list[Finding] = field(default_factory=list)
    notes: dict[str, str] = field(default_factory=dict)
    rows: int = 0
    repeats: int = 0
    attributes: dict[str, Codes] = field(default_factory=dict)

    def add(self, block: Block) -> None:
        """Add the rows of a block."""
        checked = self.check.check(block)
        self.rows += len(checked.lines)
        for note in checked.notes:
            self.notes.setdefault(note.split(":")[0], note)
        kept = np.ones(len(checked.lines), dtype=bool)
        kept[[found.row for found in checked.findings if found.row is not None]] = False
        self.findings += checked.findings
        labels = self._labels(checked)
        named = labels[0] >= 0
        if self.choices.sum_duplicates:
            named &= kept
        at = np.flatnonzero(named)
        if not len(at):
            return
        everything = len(at) == len(named)
        group, again = self.groups.of(
            labels if everything else labels[:, at], checked.lines[at]
        )
        if self.choices.sum_duplicates:
            self.repeats += int(again.sum())
        elif again.any():
            self._report(block, checked, at[again], group[again])
            kept[at[again]] = False
        counted = kept[at]
        self._count(checked, at[counted], group[counted])

    def _labels(self, checked: CheckedBlock) -> Codes:
        absent = np.full(len(checked.lines), -1, dtype=np.int64)
        return np.stack([checked.labels.get(role, absent) for role in ("card", *STRATA)])

    def _count(self, checked: CheckedBlock, rows: Codes, group: Codes) -> None:
        everything = len(rows) == len(checked.lines)
        self.groups.add(
            group,
            {role: n if everything else n[rows] for role, n in checked.numbers.items()},
        )
        for role in ATTRIBUTES:
            if role in checked.labels:
                self._first_known(role, group, checked.labels[role][rows])

    def _first_known(self, role: str, group: Codes, codes: Codes) -> None:
        """Keep each group's first known label."""
        had = self.attributes.get(role, np.zeros(0, dtype=np.int64))
        new = np.full(len(self.groups) - len(had), -1, dtype=np.int64)
        kept = np.concatenate([had, new])
        open_ = np.flatnonzero((kept[group] < 0) & (codes >= 0))[::-1]
        kept[group[open_]] = codes[open_]
        self.attributes[role] = kept

    def _report(self, block: Block, checked: CheckedBlock, rows: Codes, group: Codes) -> None:
        view = checked.view or self.check.look_closely(block).view
        assert view is not None
        fix = fix_of_repeats(CARDS.strata, self.check.where)
        names = self.check.labels["card"].names
        for row, at in zip(rows[:MOST_FINDINGS].tolist(), group.tolist(), strict=False):
            name = names[self.groups.labels[at, 0]]
            first = f"{name!r} is listed twice, first on line {self.groups.line[at]}"
            found = view.sheet.grid.finding(row, self.check.where["card"], first, fix)
            self.findings.append(placed(found, view.sheet.grid, block.line))

    def result(self, seen: Inspection) -> Inspection:
        """Make the table, or list the problems that stand in its way."""
        findings = in_order(self.findings)
        stops = [found for found in findings if found.fatal or not self.choices.skip_bad]
        notes = (*seen.notes, *self._notes(findings))
        problems = tuple(found.problem for found in stops)
        kept = self.groups.rows > 0
        if not problems and not kept.any():
            problems = (Problem(seen.name, f"no row is left, of {self.rows}"),)
        seen = replace(seen, rows=self.rows, notes=notes, problems=problems)
        return seen if problems else replace(seen, table=self._table(seen, kept))

    def _notes(self, findings: list[Finding]) -> Iterator[str]:
        yield from self.notes.values()
        for role, labels in self.check.labels.items():
            yield from respelt(role, labels.spelling)
        if self.repeats:
            yield f"{self.repeats:,} rows were added to an earlier row of the same card"
        yield from left_out(findings)

    def _table(self, seen: Inspection, kept: Flags) -> CardTable:
        columns: dict[str, object] = {
            role: self.groups.total(role)[kept] for role in NUMBERS if role in self.check.where
        }
        coded = dict(zip(("card", *STRATA), self.groups.labels[kept].T, strict=True))
        coded |= {role: codes[kept] for role, codes in self.attributes.items()}
        named = {
            role: labelled([None, *labels.names], coded[role])
            for role, labels in self.check.labels.items()
        }
        columns |= {role: column for role, column in named.items() if role != "card"}
        source = Source(seen.name, seen.sha256, seen.roles, seen.notes)
        games, wins = columns.pop("games"), columns.pop("wins")
        names = [str(name) for name in named["card"]]
        return CardTable(names, games, wins, source=source, **columns)  # type: ignore[arg-type]


def labelled(names: Sequence[str | None], codes: Codes) -> list[str | None]:
    """Return the label of each code, the first one for -1."""
    return [names[code] for code in (codes + 1).tolist()]
