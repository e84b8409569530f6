"""Read a table's journal and write it, whole or not at all."""

import csv
import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import astuple
from io import StringIO
from pathlib import Path

from winrate_tools.errors import CountError, OutputError, Problem, TableError
from winrate_tools.files import held, write_whole
from winrate_tools.ingest.cells.names import is_formula, unguarded
from winrate_tools.ingest.roles.recognition import is_journal
from winrate_tools.journal import (
    DATES,
    JOURNAL_COLUMNS,
    RATES,
    JournalRow,
    demand_in_order,
)

DIGITS = 4
LONGEST_COUNT = 9
LONGEST_HEADER = 1000
LINE_END = re.compile("\r\n?")
MEND = "mend the line; nothing was written"


def read_journal(path: Path) -> tuple[JournalRow, ...]:
    """Read a journal.

    Parameters
    ----------
    path : Path
        A CSV file whose first line names `winrate_tools.journal.JOURNAL_COLUMNS`, in any
        order; what was seen may be missing.

    Returns
    -------
    tuple of JournalRow
        () where there is no such file yet.

    Raises
    ------
    TableError
        If it is no such file, or a row makes no sense, with every place.
    """
    if not path.exists():
        return ()
    (_, header), *lines = _lines(path)
    _demand_header(path, header)
    rows: list[JournalRow] = []
    problems: list[Problem] = []
    for number, cells in lines:
        try:
            rows.append(_row(header, cells))
            demand_in_order(rows[-2:])
        except CountError as error:
            problems.append(_problem(f"{path.name}:{number}", header, cells, str(error)))
    if problems:
        msg = f"{path.name}: {len(problems)} to mend before this journal can be used"
        raise TableError(msg, problems)
    return tuple(rows)


def holds_journal(path: Path) -> bool:
    """Tell by its first line whether a file is a journal, sound or not; a pipe is none."""
    if not path.is_file():
        return False
    with path.open(encoding="utf-8-sig", errors="replace", newline="") as file:
        start = file.readline(LONGEST_HEADER)
    return is_journal([cell.strip() for cell in start.split(",")])


def write_journal(
    path: Path, rows: Sequence[JournalRow], *, over: Sequence[JournalRow] | None = None
) -> None:
    """Write a journal whole, over the one that is there.

    Parameters
    ----------
    path : Path
        The file.
    rows : sequence of JournalRow
        All of its rows, in the order of their dates.
    over : sequence of JournalRow, optional
        What was there when it was read: where it holds anything else by now, another run or
        its owner has written to it meanwhile, and nothing is written.

    Raises
    ------
    CountError
        If they are out of order.
    OutputError
        If it cannot be written, or not over what it holds by now; what was there before is
        still there.
    """
    demand_in_order(rows)
    with held(path):
        if over is not None and read_journal(path) != tuple(over):
            msg = f"{path} was written to by others in the meantime; run it again"
            raise OutputError(msg)
        _write(path, rows)


def _write(path: Path, rows: Sequence[JournalRow]) -> None:
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(JOURNAL_COLUMNS)
    writer.writerows([_cell(value) for value in astuple(row)] for row in rows)
    write_whole(path, text.getvalue().encode())


def append_journal(path: Path, rows: Sequence[JournalRow]) -> None:
    """Add rows to a journal, all of them or none; the file is made where there is none.

    Raises
    ------
    TableError
        If what is there is no journal, or makes no sense; it stays as it is.
    CountError
        If they are out of order, or before the last one that is there.
    OutputError
        If it cannot be written; what was there before is still there.
    """
    with held(path):
        together = (*read_journal(path), *rows)
        demand_in_order(together)
        _write(path, together)


def _lines(path: Path) -> list[tuple[int, list[str]]]:
    """Read the lines that are not blank, each with its number; the first is the header."""
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        msg = f"{path.name}: UTF-8 text was wanted, byte {error.start + 1} is none"
        raise TableError(msg) from error
    except OSError as error:
        msg = f"cannot read {path}: {(error.strerror or str(error)).lower()}"
        raise TableError(msg) from error
    reader = csv.reader(StringIO(text, newline=""), strict=True)
    try:
        lines = [(reader.line_num, [cell.strip() for cell in cells]) for cells in reader]
    except csv.Error as error:
        msg = f"{path.name}:{reader.line_num}: {error}; {MEND}"
        raise TableError(msg) from error
    return [line for line in lines if any(line[1])] or [(1, [])]


def _demand_header(path: Path, header: Sequence[str]) -> None:
    needed = JOURNAL_COLUMNS[: JOURNAL_COLUMNS.index("sure")]
    missing = [name for name in needed if name not in header]
    strange = [name for name in header if name not in JOURNAL_COLUMNS]
    if missing or strange or len(set(header)) < len(header):
        wanted, got = ", ".join(JOURNAL_COLUMNS), ", ".join(header) or "an empty file"
        fix = "give --journal a file of its own; one that is not there yet is made"
        problem = Problem(f"{path.name}:1", f"columns {wanted} were wanted, got {got}", fix=fix)
        msg = f"{path.name} is no journal"
        raise TableError(msg, [problem])


def _problem(line: str, header: Sequence[str], cells: Sequence[str], wrong: str) -> Problem:
    """Place a problem at the cell whose column the message starts with."""
    name = wrong.split(maxsplit=1)[0]
    place = f"{line}:{header.index(name) + 1}" if name in header else line
    return Problem(place, wrong, ",".join(cells), fix=MEND)


def _row(header: Sequence[str], cells: Sequence[str]) -> JournalRow:
    """Make a row of its cells; a blank is unknown."""
    if len(cells) != len(header):
        msg = f"{len(header)} cells were wanted, got {len(cells)}"
        raise CountError(msg)
    told = {name: cell for name, cell in zip(header, cells, strict=True) if cell}
    for name in ("date", "change", "archetype"):
        if name not in told:
            msg = f"{name} was wanted, got a blank cell"
            raise CountError(msg)
    days = {name: _day(name, told[name]) for name in DATES if name in told}
    rates = {name: _rate(name, told[name]) for name in (*RATES, "sure") if name in told}
    return JournalRow(
        date=days.pop("date"),
        change=unguarded(told["change"]),
        archetype=unguarded(told["archetype"]),
        games=_count(told["games"]) if "games" in told else None,
        **days,  # type: ignore[arg-type]
        **rates,  # type: ignore[arg-type]
    )


def _day(name: str, text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        msg = f"{name} must be a day such as 2026-01-31, got {text!r}"
        raise CountError(msg) from error


def _rate(name: str, text: str) -> float:
    number, share = text.removesuffix("%").rstrip(), 100 if text.endswith("%") else 1
    try:
        return float(number) / share
    except ValueError as error:
        msg = f"{name} must be a rate such as 0.48 or 48%, got {text!r}"
        raise CountError(msg) from error


def _count(text: str) -> int:
    if not (text.isdecimal() and len(text) <= LONGEST_COUNT):
        msg = f"games must be a whole number from 0, got {text!r}"
        raise CountError(msg)
    return int(text)


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float):
        return f"{value:.{DIGITS}f}"
    text = LINE_END.sub("\n", str(value)).strip()
    return f"'{text}" if isinstance(value, str) and is_formula(text) else text
