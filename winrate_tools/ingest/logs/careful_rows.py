"""Records of a block cell by cell, so that whatever is odd in it can be placed."""

from dataclasses import replace

import numpy as np

from winrate_tools.errors import TableError
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.logs.coded import (
    NO_COUNT,
    Coded,
    CodedLists,
    CodedRows,
    Copies,
    Wanted,
    small_counts,
)
from winrate_tools.ingest.text.blocks import Block, line_count
from winrate_tools.ingest.text.grid import Grid, read_more


def careful_rows(block: Block, like: Grid, wanted: Wanted) -> CodedRows:
    """Read a block cell by cell, so that whatever is odd in it can be placed.

    Parameters
    ----------
    block, like, wanted
        As in `winrate_tools.ingest.logs.quick_rows.quick_rows`.

    Returns
    -------
    CodedRows
        Its grid has findings for the rows that do not fit; its numbers are codes.

    Raises
    ------
    TableError
        If a byte is no text.
    """
    return rows_of(read_more(_text(block, like.name), like), wanted, block.line)


def rows_of(grid: Grid, wanted: Wanted, line: int) -> CodedRows:
    """Code rows that are known cell by cell."""

    def cells(number: int) -> list[str]:
        return [row.cells[number - 1] for row in grid.rows]

    return CodedRows(
        len(grid.rows),
        {number: _coded(cells(number)) for number in (*wanted.texts, *wanted.numbers)},
        lists={number: _lists(cells(number), mark) for number, mark in wanted.lists.items()},
        copies=_copies([cells(number) for number in wanted.copies], len(grid.rows)),
        line=line,
        grid=grid,
    )


def placed(found: Finding, head: Grid, first: int) -> Finding:
    """Move a finding from its place in a block to its place in the file."""
    line = found.line + first - 1
    spot = f"{head.name}:{line}" if head.unit == "line" else f"{head.name}:row {line}"
    return replace(
        found, line=line, problem=replace(found.problem, place=f"{spot}:{found.cell}")
    )


def _coded(cells: list[str]) -> Coded:
    place: dict[str, int] = {}
    codes = [place.setdefault(cell, len(place)) for cell in cells]
    return Coded(np.array(codes, dtype=np.int32), tuple(place))


def _copies(columns: list[list[str]], rows: int) -> Copies:
    counts = [[_copy_count(cell.strip()) for cell in cells] for cells in columns]
    return small_counts(np.array(counts, dtype=np.int64).reshape(len(columns), rows).T)


def _copy_count(cell: str) -> int:
    if not cell:
        return 0
    return int(cell) if cell.isascii() and cell.isdigit() and len(cell) < 5 else NO_COUNT


def _lists(cells: list[str], mark: str) -> CodedLists:
    split = [cell.split(mark) for cell in cells]
    ends = np.cumsum([len(entries) for entries in split], dtype=np.int32)
    coded = _coded([entry for entries in split for entry in entries])
    return CodedLists(ends, coded.codes, coded.texts)


def _text(block: Block, name: str) -> str:
    if (zero := block.data.find(b"\0")) >= 0:
        line = block.line + line_count(block.data[:zero])
        msg = f"{name}: line {line} holds a zero byte, so this is no plain text"
        raise TableError(msg)
    try:
        return block.data.decode()
    except UnicodeDecodeError as error:
        line = block.line + line_count(block.data[: error.start])
        msg = f"{name}: UTF-8 up to line {line}, which breaks it; save the file again as UTF-8"
        raise TableError(msg) from error
