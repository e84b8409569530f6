"""Physical lines to records: which delimiter, and which cells."""

import csv
import re
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from winrate_tools.errors import TableError
from winrate_tools.ingest.cells.numbers import is_number

DELIMITERS = (";", "\t", ",", "|")
SAMPLE_LINES = 300
MOST_BROKEN_QUOTES = 20


class Row(NamedTuple):
    """Cells of one record and the physical lines it covers, `first` to `last` from 1."""

    cells: list[str]
    first: int
    last: int


def find_delimiter(lines: Sequence[str], name: str) -> tuple[str, int]:
    """Find the delimiter by how evenly it cuts, or in a ``sep=`` line.

    Returns
    -------
    tuple of (str, int)
        One character, and how many lines to skip.

    Raises
    ------
    TableError
        If no delimiter makes two columns.
    """
    first = lines[0].strip('"\r\n ') if lines else ""
    if re.fullmatch(r"sep=[\W_]", first, re.IGNORECASE):
        return first[-1], 1
    if lines and lines[0].rstrip("\r\n").lower() == "sep=\t":
        return "\t", 1
    sample = lines[:SAMPLE_LINES]
    best = max((_fit(sample, mark), mark) for mark in DELIMITERS)
    if best[0][2] < 2:
        msg = f"{name}: no two columns; cells must be split by commas, semicolons, tabs or bars"
        raise TableError(msg)
    return best[1], 0


def _fit(lines: Sequence[str], delimiter: str) -> tuple[float, float, int]:
    """Judge a delimiter by the records of the commonest width that it makes.

    Returns numbers a record, share of the records, and the width.
    """
    rows, _ = split_rows(lines, delimiter)
    full = [row.cells for row in rows if any(cell.strip() for cell in row.cells)]
    widths = Counter(len(cells) for cells in full if len(cells) > 1)
    if not widths:
        return 0.0, 0.0, 1
    width, times = max(widths.items(), key=lambda item: (item[1], item[0]))
    numbers = sum(sum(map(is_number, cells)) for cells in full if len(cells) == width)
    return numbers / len(full), times / len(full), width


def split_rows(
    lines: Sequence[str], delimiter: str, skip: int = 0
) -> tuple[list[Row], list[int]]:
    """Split physical lines into records, strictly.

    Returns
    -------
    tuple of (list of Row, list of int)
        Records, and the lines on which a broken quote opens; after each the reader starts
        afresh on the next line, so that later problems are found too.
    """
    rows: list[Row] = []
    broken: list[int] = []
    start = skip
    while start < len(lines):
        reader = csv.reader(
            lines[start:], delimiter=delimiter, strict=True, skipinitialspace=True
        )
        done = 0
        try:
            for cells in reader:
                rows.append(Row(cells, start + done + 1, start + reader.line_num))
                done = reader.line_num
            break
        except csv.Error:
            start += done + 1
            broken.append(start)
            if len(broken) >= MOST_BROKEN_QUOTES:
                break
    return rows, broken
