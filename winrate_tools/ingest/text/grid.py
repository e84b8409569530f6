"""Text to rows of cells that still know their place in the file."""

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from winrate_tools.errors import Problem, TableError
from winrate_tools.ingest.checks.findings import Finding, first_few
from winrate_tools.ingest.text.headers import find_header
from winrate_tools.ingest.text.records import SAMPLE_LINES, Row, find_delimiter, split_rows
from winrate_tools.ingest.text.spans import cell_spans, physical_line

DELIMITER_WORDS = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar"}
DELETE_OR_SKIP = "mend the line, or leave it out with --skip-bad"
HEADER_LINES = 20
"""Physical lines that a header may run over."""
LINES = re.compile(r"[^\r\n]*(?:\r\n?|\n)|[^\r\n]+")
LONGEST_LINE, MOST_COLUMNS = 1 << 22, 10_000
SHORTEN = "shorten the cell, or close the quote before it"


@dataclass(frozen=True)
class Grid:
    """A header and rows of equal width, every cell still text.

    Attributes
    ----------
    name : str
        What the table is called in messages.
    headers : tuple of str
        Trimmed; "" for a blank one, and for all where the file has no header.
    rows : tuple of Row
        Rows as wide as the header.
    text : tuple of str
        Physical lines with their ends.
    delimiter : str
        One character.
    header_line : int or None
        Physical line of the header, from 1.
    unit : str
        What a place counts: ``"line"``, or ``"row"`` for files without lines.
    decimal : str or None
        The decimal mark where the file's kind fixes it.
    findings : tuple of Finding
        Rows that do not fit, quotes that do not close.
    notes : tuple of str
        What was assumed or left out.
    """

    name: str
    headers: tuple[str, ...]
    rows: tuple[Row, ...]
    text: tuple[str, ...]
    delimiter: str
    header_line: int | None
    unit: str = "line"
    decimal: str | None = None
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()

    @cached_property
    def _columns(self) -> dict[int, tuple[str, ...]]:
        """Columns that somebody has asked for."""
        return {}

    def column(self, number: int) -> tuple[str, ...]:
        """Return the cells of a column, from 1, trimmed."""
        if number not in self._columns:
            self._columns[number] = tuple([row.cells[number - 1].strip() for row in self.rows])
        return self._columns[number]

    def label(self, number: int) -> str:
        """Call a column by its header, or by its number where that is blank or repeated."""
        header = self.headers[number - 1]
        if header and self.headers.count(header) == 1:
            return header
        return f"column {number}"

    def first_line(self) -> int:
        """Return the physical line on which the first row below the header may begin."""
        if self.header_line is None:
            return self.rows[0].first
        header, _ = split_rows(self.text[self.header_line - 1 :][:HEADER_LINES], self.delimiter)
        return self.header_line + header[0].last

    def line_of(self, row: int) -> int:
        """Return the physical line on which a row begins."""
        return self.rows[row].first

    def finding(self, row: int, number: int, message: str, fix: str) -> Finding:
        """Place a problem at a cell of a row; `number` counts cells from 1."""
        return place(self, self.rows[row], number, message, fix, row=row)


def place(
    grid: Grid,
    where: Row,
    number: int,
    message: str,
    fix: str,
    *,
    row: int | None = None,
    fatal: bool = False,
) -> Finding:
    """Turn a cell of a record into a finding with file, line, cell, raw line and caret."""
    record = "".join(grid.text[where.first - 1 : where.last])
    spans = cell_spans(record.rstrip("\r\n"), grid.delimiter)
    start, end = spans[min(number, len(spans)) - 1]
    offset, line, start, end = physical_line(record, start, end)
    at = where.first + offset
    spot = f"{grid.name}:{at}" if grid.unit == "line" else f"{grid.name}:row {at}"
    problem = Problem(f"{spot}:{number}", message, line, start, max(end, start + 1), fix)
    return Finding(problem, at, number, row, fatal)


def read_grid(text: str, name: str) -> Grid:
    r"""Split text into a header and rows; rows that do not fit are among the findings.

    Raises
    ------
    TableError
        If the text has no two columns, or a header and nothing below it.

    Examples
    --------
    >>> grid = read_grid("Spring fair\n\nCard;Games\nAsh Vine;1.204\n", "cards.csv")
    >>> grid.headers, grid.header_line, grid.rows[0].cells
    (('Card', 'Games'), 3, ['Ash Vine', '1.204'])
    """
    lines = LINES.findall(text)
    _demand_short(lines, name)
    delimiter, skip = find_delimiter(lines, name)
    rows, broken = split_rows(lines, delimiter, skip)
    _demand_narrow(rows, name)
    grid = Grid(name, (), (), tuple(lines), delimiter, None)
    findings = [_broken_quote(grid, line) for line in broken]
    full = _with_content(rows)
    if not full:
        msg = f"{name}: no rows; export the table again"
        raise TableError(msg)
    grid = _with_header(replace(grid, findings=tuple(findings)), full)
    if not grid.rows and not grid.findings:
        msg = f"{name}: a header on line {grid.header_line} and no rows below it"
        raise TableError(msg)
    return grid


def read_more(text: str, like: Grid) -> Grid:
    r"""Split further whole records of a file whose head is known; lines count from 1 in them.

    Examples
    --------
    >>> head = read_grid("Card;Games\nAsh Vine;12\n", "cards.csv")
    >>> [row.cells for row in read_more("Tin Moth;9\n\nFox;4;\n", head).rows]
    [['Tin Moth', '9'], ['Fox', '4']]
    """
    lines = tuple(LINES.findall(text))
    rows, broken = split_rows(lines, like.delimiter)
    grid = replace(like, rows=(), text=lines, findings=(), notes=())
    grid = replace(grid, findings=tuple(_broken_quote(grid, line) for line in broken))
    return _fitting(grid, _with_content(rows))


def _demand_short(lines: Sequence[str], name: str) -> None:
    for number, line in enumerate(lines, 1):
        if len(line) > LONGEST_LINE:
            msg = f"{name}: line {number} holds {len(line):,} letters, too many for a table"
            raise TableError(msg)


def _demand_narrow(rows: Sequence[Row], name: str) -> None:
    for row in rows:
        if len(row.cells) > MOST_COLUMNS:
            msg = f"{name}: line {row.first} holds {len(row.cells):,} cells, too many for one"
            raise TableError(msg)


def _with_content(rows: list[Row]) -> list[Row]:
    return [row for row in rows if any(cell.strip() for cell in row.cells)]


def _broken_quote(grid: Grid, line: int) -> Finding:
    record = Row([], line, line)
    text = grid.text[line - 1].rstrip("\r\n")
    spans = cell_spans(text, grid.delimiter)
    most = csv.field_size_limit()
    for number, (start, end) in enumerate(spans, 1):
        if end - start > most:
            message = f"a cell may hold {most} characters, this one has {end - start}"
            return place(grid, record, number, message, SHORTEN, fatal=True)
    number = next((n for n, (at, _) in enumerate(spans, 1) if text[at : at + 1] == '"'), 1)
    message = "a quoted cell must end with a quote and a delimiter, this one does not"
    fix = 'close the quote, or write a quote inside a quoted cell twice: ""'
    return place(grid, record, number, message, fix, fatal=True)


def _with_header(grid: Grid, rows: list[Row]) -> Grid:
    at = find_header([row.cells for row in rows])
    notes = list(grid.notes)
    if at is None:
        return _without_header(grid, rows)
    header = rows[at]
    if at:
        skipped = first_few([str(row.first) for row in rows[:at]])
        notes.append(
            f"the header is on line {header.first}: text above it (line {skipped}) was left out"
        )
    names = tuple(" ".join(cell.split()) for cell in header.cells)
    body = rows[at + 1 :]
    names = names[: max([_width(names), *(_width(row.cells) for row in body[:SAMPLE_LINES])])]
    notes += _header_notes(names)
    grid = replace(grid, headers=names, header_line=header.first, notes=tuple(notes))
    return _narrow_header(grid, header, body) or _fitting(grid, body)


def _without_header(grid: Grid, rows: list[Row]) -> Grid:
    notes = [*grid.notes, "the file has no header line: columns go by their numbers"]
    start = next((at for at, row in enumerate(rows) if _filled(row) > 1), 0)
    if start:
        skipped = first_few([str(row.first) for row in rows[:start]])
        notes.append(f"lone text above the table (line {skipped}) was left out")
    body = rows[start:]
    width = Counter(len(row.cells) for row in body).most_common(1)[0][0]
    return _fitting(replace(grid, headers=("",) * width, notes=tuple(notes)), body)


def _filled(row: Row) -> int:
    return sum(bool(cell.strip()) for cell in row.cells)


def _narrow_header(grid: Grid, header: Row, body: list[Row]) -> Grid | None:
    """Refuse as a whole a table most of whose rows are wider than the header."""
    width = len(grid.headers)
    if 2 * sum(len(row.cells) > width for row in body) <= len(body):
        return None
    widest = Counter(_width(row.cells) for row in body).most_common(1)
    if widest[0][0] <= width or widest[0][1] * 2 <= len(body):
        return None
    message = f"the header has {width} cells, {widest[0][1]} rows have {widest[0][0]}"
    found = place(grid, header, width, message, "name every column in the header", fatal=True)
    return replace(grid, findings=(*grid.findings, found))


def _fitting(grid: Grid, rows: list[Row]) -> Grid:
    width = len(grid.headers)
    fitting: list[Row] = []
    findings = list(grid.findings)
    for row in rows:
        if len(row.cells) == width:
            fitting.append(row)
        elif len(row.cells) > width and not any(cell.strip() for cell in row.cells[width:]):
            fitting.append(Row(row.cells[:width], row.first, row.last))
        else:
            findings.append(_ragged(grid, row, width))
    return replace(grid, rows=tuple(fitting), findings=tuple(findings))


def _ragged(grid: Grid, row: Row, width: int) -> Finding:
    message = f"a row must have {width} cells as the header has, this one has {len(row.cells)}"
    fix = DELETE_OR_SKIP
    if len(row.cells) > width:
        mark = DELIMITER_WORDS.get(grid.delimiter, repr(grid.delimiter))
        fix = f"put quotes around a cell that holds a {mark}; or {fix}"
    return place(grid, row, min(width + 1, len(row.cells)), message, fix)


def _header_notes(names: tuple[str, ...]) -> list[str]:
    notes = [
        f"the header {name!r} stands over {times} columns: map them by number"
        for name, times in Counter(names).items()
        if name and times > 1
    ]
    blank = [str(number) for number, name in enumerate(names, 1) if not name]
    if blank:
        notes.append(f"blank header over column {first_few(blank)}: map it by number")
    return notes


def _width(cells: Sequence[str]) -> int:
    """Count cells up to the last that is not blank."""
    return next((n for n in range(len(cells), 0, -1) if cells[n - 1].strip()), 0)
