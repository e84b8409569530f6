"""Large tables of cards: the head is read with all care, the rest streams by, fully checked."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import MappingError, Problem, TableError
from winrate_tools.ingest.cells.names import blanks_note, respelt
from winrate_tools.ingest.checks.duplicates import fix_of_repeats
from winrate_tools.ingest.checks.findings import Finding, in_order
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.checks.totals import TotalRows
from winrate_tools.ingest.large.large_blocks import BlockCheck, CheckedBlock, untold_in_head
from winrate_tools.ingest.large.large_clashes import Clashes
from winrate_tools.ingest.large.large_groups import FirstLabels, Groups
from winrate_tools.ingest.large.large_notes import AddedRows, LargeNotes, clash_notes, subtotals
from winrate_tools.ingest.large.number_styles import WholeFileError
from winrate_tools.ingest.large.plain_blocks import PlainBlock, PlainBlocks
from winrate_tools.ingest.large.unsearched import unsearched
from winrate_tools.ingest.logs.careful_rows import placed
from winrate_tools.ingest.roles.kinds import CARDS
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.tables.sifting import Built, left_out
from winrate_tools.ingest.text.blocks import Block, blocks
from winrate_tools.ingest.text.containers import MOST_BYTES
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import Load
from winrate_tools.ingest.text.text_stream import Hashed, TextStream, raw_file, text_of
from winrate_tools.tables import ATTRIBUTES, NUMBERS, STRATA, CardTable, Flags, Source

BLOCK = 1 << 21
"""Bytes read at a time."""
MOST_FINDINGS = 1000
"""Problems after which reading stops."""
UNCHECKED = "{} was checked against wins / games in the first {:,} rows only, and not used"

Inspection = TableInspection[CardTable]
Codes = npt.NDArray[np.int64]
NO_CODES: Codes = np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, slots=True)
class Choices:
    """What the user says about a table, as in `winrate_tools.ingest.tables.reader.Reading`."""

    columns: Mapping[str, ColumnChoice] | None = None
    decimal: str | None = None
    skip_bad: bool = False
    sum_duplicates: bool = False
    use_memory: bool = True
    name: str | None = None


@unsearched()
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

    name = choices.name or path.name
    with raw_file(str(path)) as raw, text_of(file := Hashed(raw), path.name) as stream:
        seen = inspected(
            Load(name, stream.text.encode(), path.parent),
            CARDS,
            build,
            columns=choices.columns,
            decimal=choices.decimal,
            use_memory=choices.use_memory,
        )
        seen, gathering = replace(seen, encoding=stream.encoding), None
        try:
            if found:
                seen, gathering = _streamed(stream, seen, *found[0], choices)
        except WholeFileError as error:
            if path.stat().st_size <= MOST_BYTES:
                return None
            msg = f"{name}: {error}; too large to be read as a whole, so mend that first"
            raise TableError(msg) from error
        except MappingError as error:
            seen = replace(seen, unclear=error)
        seen = replace(seen, sha256=file.sha256())
    return seen if gathering is None else gathering.result(seen)


def _streamed(
    stream: TextStream,
    seen: Inspection,
    sheet: Sheet,
    where: dict[str, int],
    choices: Choices,
) -> tuple[Inspection, "Gathering | None"]:
    """Gather the rows of a table, unless its head shows that they must not be added up."""
    if not {"games", "wins"} <= set(where):
        msg = "games and wins are not both there"
        raise WholeFileError(msg)
    notes = [*stream.notes, *seen.notes, *sheet.grid.notes]
    rate = where.pop("win_rate", None)
    if rate is not None:
        notes.append(UNCHECKED.format(sheet.grid.label(rate), len(sheet.grid.rows)))
    seen = replace(seen, notes=tuple(notes))
    untold = None if choices.sum_duplicates else untold_in_head(sheet, where)
    if untold:
        return replace(seen, problems=(untold.problem,)), None
    gathering = Gathering(BlockCheck(sheet, where), choices)
    for block in body_blocks(stream, sheet):
        gathering.add(block)
        if len(gathering.findings) >= MOST_FINDINGS and not choices.skip_bad:
            break
    return seen, gathering


def body_blocks(stream: TextStream, sheet: Sheet) -> Iterator[Block]:
    """Cut what stands below the header into blocks."""
    start = sheet.grid.first_line()
    above = "".join(sheet.grid.text[: start - 1]).encode()
    rest = stream.head[len(above) :]
    return blocks(stream.file, stream.name, read=rest, line=start, size=BLOCK, with_ends=True)


@dataclass(slots=True)
class Gathering:
    """The rows of a large table, gathered block by block."""

    check: BlockCheck
    choices: Choices
    groups: Groups = field(default_factory=Groups)
    findings: list[Finding] = field(default_factory=list)
    rows: int = 0
    attributes: FirstLabels = field(default_factory=FirstLabels)
    clashes: dict[str, Clashes] = field(default_factory=dict)
    added: AddedRows = field(default_factory=AddedRows)
    plain: PlainBlocks = field(init=False)
    notes: LargeNotes = field(init=False)
    codes_of_key: dict[str, Codes] = field(default_factory=dict)
    group_of_key: Codes = field(default_factory=NO_CODES.copy)

    def __post_init__(self) -> None:
        self.plain, self.notes = PlainBlocks(self.check), LargeNotes(self.check)

    def add(self, block: Block) -> None:
        """Add the rows of a block; where rows repeat, most of what they spell is known."""
        plain = self.plain.read(block) if self.choices.sum_duplicates else None
        if plain is None:
            self._add_checked(block, self.check.check(block))
        else:
            self._add_plain(block, plain)

    def _add_plain(self, block: Block, plain: PlainBlock) -> None:
        known = len(self.groups)
        if plain.labels:
            labels = self._stacked(plain.labels, len(plain.first))
            group, _ = self.groups.of(labels, block.line + plain.first)
            self.group_of_key = plain.by_key(self.group_of_key, group)
            self._note_attributes(plain.labels, group, np.arange(len(group)))
            self._note_clashes(plain.labels, block.line + plain.first)
            for role in self.attributes.codes:
                codes, new = self.codes_of_key.get(role, NO_CODES), plain.labels[role]
                self.codes_of_key[role] = plain.by_key(codes, new)
        lines, group = block.line + np.arange(len(plain.key)), self.group_of_key.take(plain.key)
        for role, codes in self.codes_of_key.items():
            self.notes.add_labels(role, codes.take(plain.key), lines)
        self.rows += len(plain.key)
        self.added.count += len(plain.key) - (len(self.groups) - known)
        if not self.added.is_told:
            self.added.tell(lines, group, self.groups.line[group] != lines)
        self.groups.add_whole(group, plain.numbers)

    def _add_checked(self, block: Block, checked: CheckedBlock) -> None:
        self.rows += len(checked.lines)
        self.notes.add(checked)
        kept = np.ones(len(checked.lines), dtype=bool)
        kept[[found.row for found in checked.findings if found.row is not None]] = False
        self.findings += checked.findings
        self._note_clashes(checked.labels, checked.lines)
        labels = self._stacked(checked.labels, len(checked.lines))
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
            self.added.count += int(again.sum())
            self.added.tell(checked.lines[at], group, again)
        elif again.any():
            self._report(block, checked, at[again], group[again])
            kept[at[again]] = False
        counted = kept[at]
        self._count(checked, at[counted], group[counted])

    def _stacked(self, labels: Mapping[str, Codes], rows: int) -> Codes:
        absent = np.full(rows, -1, dtype=np.int64)
        return np.stack([labels.get(role, absent) for role in ("card", *STRATA)])

    def _count(self, checked: CheckedBlock, rows: Codes, group: Codes) -> None:
        everything = len(rows) == len(checked.lines)
        self.groups.add(
            group,
            {role: n if everything else n[rows] for role, n in checked.numbers.items()},
        )
        self._note_attributes(checked.labels, group, rows)
        for role in self.attributes.codes:
            self.notes.add_labels(role, checked.labels[role][rows], checked.lines[rows])

    def _note_attributes(self, labels: Mapping[str, Codes], group: Codes, rows: Codes) -> None:
        for role in filter(labels.__contains__, ATTRIBUTES):
            self.attributes.add(role, group, labels[role][rows], len(self.groups))

    def _note_clashes(self, labels: Mapping[str, Codes], lines: Codes) -> None:
        named = np.flatnonzero(labels["card"] >= 0)
        for role in filter(labels.__contains__, ATTRIBUTES):
            clashes = self.clashes.setdefault(role, Clashes())
            clashes.add(labels["card"][named], labels[role][named], lines[named])

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
        self.groups.settle()
        findings = in_order(self.findings)
        stops = [found for found in findings if found.fatal or not self.choices.skip_bad]
        sums = subtotals(self.check, self.groups, self.attributes.codes)
        kept = self.groups.rows > 0
        kept[list(sums.rows)] = False
        notes = [*seen.notes, *self._notes(sums, kept)]
        if not stops:
            notes += [*left_out(findings), *self.added.said(self.check, self.groups)]
        problems = tuple(found.problem for found in stops)
        if not problems and not kept.any():
            problems = (Problem(seen.name, f"no row is left, of {self.rows}"),)
        seen = replace(seen, rows=self.rows, notes=tuple(notes), problems=problems)
        return seen if problems else replace(seen, table=self._table(seen, kept))

    def _notes(self, sums: TotalRows, kept: Flags) -> Iterator[str]:
        yield from self.notes.said()
        for role, labels in self.check.labels.items():
            yield from blanks_note(role, labels.written)
            yield from respelt(role, labels.spelling)
        yield from sums.notes
        yield from clash_notes(self.check, self.clashes)
        yield from self.notes.near_misses(self.groups, kept)

    def _table(self, seen: Inspection, kept: Flags) -> CardTable:
        columns: dict[str, object] = {
            role: self.groups.total(role)[kept] for role in NUMBERS if role in self.check.where
        }
        coded = dict(zip(("card", *STRATA), self.groups.labels[kept].T, strict=True))
        coded |= {role: codes[kept] for role, codes in self.attributes.codes.items()}
        named = {
            role: np.array([None, *labels.names], dtype=object)[coded[role] + 1].tolist()
            for role, labels in self.check.labels.items()
        }
        columns |= {role: column for role, column in named.items() if role != "card"}
        source = Source(seen.name, seen.sha256, seen.roles, seen.notes)
        games, wins = columns.pop("games"), columns.pop("wins")
        names = [str(name) for name in named["card"]]
        return CardTable(names, games, wins, source=source, **columns)  # type: ignore[arg-type]
