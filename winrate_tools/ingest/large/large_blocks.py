"""A block of a large table, checked by the very steps that check a small one."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, NoReturn, cast

import numpy as np
import numpy.typing as npt

from winrate_tools.alike import folded
from winrate_tools.ingest.cells.names import read_labels, read_names
from winrate_tools.ingest.cells.numbers import is_unknown
from winrate_tools.ingest.checks.check import STEPS
from winrate_tools.ingest.checks.duplicates import find_duplicates, untold_strata
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.checks.totals import WORDS
from winrate_tools.ingest.large.number_styles import (
    NumberStyles,
    WholeFileError,
    whole_numbers,
)
from winrate_tools.ingest.logs.careful_rows import careful_rows, placed
from winrate_tools.ingest.logs.coded import CodedRows, Wanted
from winrate_tools.ingest.logs.label_codes import BAD, BLANK, UNKNOWN, AnyLabels, LabelCodes
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.roles.view import Part, View
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.tables import LABELS, STRATA, Numbers

Codes = npt.NDArray[np.int64]


class OddBlockError(Exception):
    """A block cannot be read without looking at its cells one by one."""


class _Unread:
    """Rows that nobody has looked at: who asks for one finds the block odd."""

    def __getitem__(self, _: Any) -> NoReturn:
        raise OddBlockError


@dataclass(frozen=True, slots=True)
class PlacedView(View):
    """A sheet whose rows stand on the lines that are told."""

    lines: Codes

    def line_of(self, row: int) -> str:
        """Say where a row stands in the file."""
        return f"{self.sheet.grid.unit} {self.lines[row]}"


@dataclass(frozen=True, slots=True, eq=False)
class CheckedBlock:
    """Rows of a block.

    Attributes
    ----------
    numbers : dict of str to ndarray of float, shape (rows,)
        Columns by role, NaN where unknown or wrong.
    labels : dict of str to ndarray of int, shape (rows,)
        Codes of labels by role, -1 where unknown.
    lines : ndarray of int, shape (rows,)
        Physical lines.
    findings : tuple of Finding
        What is wrong, by its place in the file.
    notes : tuple of str
        What was assumed.
    unknown : dict of int to Counter of str
        Words for an unknown number, by column number.
    alone : dict of str to ndarray of int
        Rows that hold a part without its whole, by the role of the part.
    view : View or None
        The rows cell by cell; None where nobody looked.
    """

    numbers: dict[str, Numbers]
    labels: dict[str, Codes]
    lines: Codes
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]
    unknown: dict[int, Counter[str]]
    alone: dict[str, Codes]
    view: View | None = None


@dataclass(slots=True)
class BlockCheck:
    """Checks the blocks of one table.

    Parameters
    ----------
    sheet : Sheet
        The head of the table, by which its number style is settled.
    where : mapping of str to int
        Role to column number.

    Attributes
    ----------
    labels : dict of str to LabelCodes
        Labels by role, as met so far.
    wanted : Wanted
        The columns to read.
    """

    sheet: Sheet
    where: Mapping[str, int]
    labels: dict[str, LabelCodes] = field(init=False)
    wanted: Wanted = field(init=False)
    _checked: dict[str, int] = field(default_factory=dict)
    _styles: NumberStyles = field(init=False)

    def __post_init__(self) -> None:
        self._styles = NumberStyles(self.sheet)
        self.labels = {"card": LabelCodes("card", BLANK)}
        self.labels |= {role: AnyLabels(role) for role in LABELS if role in self.where}
        texts = tuple(self.where[role] for role in self.labels)
        others = [number for number in self.where.values() if number not in texts]
        whole = tuple(n for n in others if self._is_whole(n))
        self.wanted = Wanted((*texts, *(n for n in others if n not in whole)), whole)

    def _is_whole(self, number: int) -> bool:
        return all(cell.isascii() and cell.isdigit() for cell in self.sheet.grid.column(number))

    def check(self, block: Block) -> CheckedBlock:
        """Check a block at full speed, else cell by cell.

        Raises
        ------
        WholeFileError
            If a row may be a total, or shows a number style that the head did not show.
        TableError
            If a byte is no text.
        """
        rows = quick_rows(block, self.sheet.grid, self.wanted)
        try:
            lines = block.lines + (not block.data.endswith((b"\n", b"\r")))
            if rows is not None and rows.rows == lines:
                return self._quick(rows)
        except OddBlockError:
            pass
        return self.look_closely(block)

    def _quick(self, rows: CodedRows) -> CheckedBlock:
        labels = self.codes(rows)
        if (labels["card"] == BAD).any():
            raise OddBlockError
        unread = cast("Any", _Unread())
        grid = replace(self.sheet.grid, rows=unread, findings=(), notes=())
        lines = rows.line + np.arange(rows.rows)
        part, alone = _numbers(PlacedView(self._sheet(grid, rows), self.where, unread, lines))
        said = part.notes, self._unknown(rows), alone
        return CheckedBlock(part.numbers, labels, lines, part.findings, *said)

    def look_closely(self, block: Block) -> CheckedBlock:
        """Check a block cell by cell."""
        rows = careful_rows(block, self.sheet.grid, self.wanted)
        grid = rows.grid
        assert grid is not None
        names = read_names(grid, self.where["card"])
        lines = np.array([row.first for row in grid.rows], dtype=np.int64) + rows.line - 1
        codes = self.codes(rows)
        known = self.labels["card"].names
        card = tuple(
            known[code] if code >= 0 else name
            for code, name in zip(codes["card"].tolist(), names.labels, strict=True)
        )
        view = PlacedView(self._sheet(grid, rows), self.where, card, lines)
        part, alone = _numbers(view)
        findings = [
            placed(found, grid, rows.line)
            for found in (*grid.findings, *names.findings, *part.findings)
        ]
        labels = codes | {"card": np.maximum(codes["card"], UNKNOWN)}
        said = part.notes, self._unknown(rows), alone
        return CheckedBlock(part.numbers, labels, lines, tuple(findings), *said, view)

    def _unknown(self, rows: CodedRows) -> dict[int, Counter[str]]:
        """Count the words for an unknown number."""
        found = {}
        for number, coded in rows.columns.items():
            if number in self.label_columns:
                continue
            words = [text.strip() for text in coded.texts]
            odd = [n for n, word in enumerate(words) if word and is_unknown(word)]
            if odd:
                times = np.bincount(coded.codes, minlength=len(words)).tolist()
                found[number] = Counter(word for n in odd for word in times[n] * [words[n]])
        return found

    def _sheet(self, grid: Any, rows: CodedRows) -> Sheet:
        columns = {
            number: self._styles.column(number, coded)
            for number, coded in rows.columns.items()
            if number not in self.label_columns
        }
        columns |= {n: whole_numbers(numbers) for n, numbers in rows.numbers.items()}
        return Sheet(grid, self.sheet.decimal, self.sheet.told, {}, self.sheet.kind, columns)

    @property
    def label_columns(self) -> set[int]:
        """Numbers of the columns that hold labels."""
        return {self.where[role] for role in self.labels}

    def codes(self, rows: CodedRows) -> dict[str, Codes]:
        """Return the codes of the labels of some rows, by role.

        Raises
        ------
        WholeFileError
            If one may be a total.
        """
        codes = {}
        for role, labels in self.labels.items():
            coded = rows.columns[self.where[role]]
            known = labels.codes(coded.texts)
            self._demand_no_total(role, labels)
            if role == "card" and (known == UNKNOWN).any():
                msg = "a row without a name may add up the others"
                raise WholeFileError(msg)
            codes[role] = known[coded.codes]
        return codes

    def _demand_no_total(self, role: str, labels: LabelCodes) -> None:
        """Refuse a label that reads like a total, unless it is an attribute's."""
        start = self._checked.get(role, 0)
        self._checked[role] = len(labels.names)
        if role in {"faction", "rarity", "role"}:
            return
        for name in labels.names[start:]:
            if folded(name).strip(" :*-=.()") in WORDS:
                msg = f"{name!r} reads like a total of the other rows"
                raise WholeFileError(msg)


def _numbers(view: View) -> tuple[Part, dict[str, Codes]]:
    """Read the numbers, and tell which parts are without their wholes."""
    *reading, pair = STEPS
    part = Part()
    for step in reading:
        part = part.then(step(view, part.numbers))
    paired = pair(view, part.numbers)
    alone = {
        role: np.flatnonzero(np.isnan(numbers) & ~np.isnan(part.numbers[role]))
        for role, numbers in paired.numbers.items()
    }
    return part.then(replace(paired, notes=())), {
        r: rows for r, rows in alone.items() if len(rows)
    }


def untold_in_head(sheet: Sheet, where: Mapping[str, int]) -> Finding | None:
    """Find in the head which unused columns tell repeated rows apart."""
    view = View(sheet, where, read_names(sheet.grid, where["card"]).labels)
    labels = {
        role: read_labels(sheet.grid, where[role], role).labels
        for role in STRATA
        if role in where
    }
    repeats = find_duplicates(view.card, labels, range(len(view.card)))
    return untold_strata(view, repeats, labels)
