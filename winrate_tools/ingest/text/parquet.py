"""Parquet: columns become text cells, so that one set of checks serves every kind of file."""

import csv
from decimal import Decimal
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any

import numpy as np

from winrate_tools.errors import TableError
from winrate_tools.ingest.text.grid import Grid
from winrate_tools.ingest.text.records import Row

if TYPE_CHECKING:
    import pyarrow as pa

MOST_CELLS = 5_000_000
"""A small file may open to many more cells than any table of cards has."""


def read_parquet(data: bytes, name: str) -> Grid:
    """Read Parquet bytes as a grid of text.

    Returns
    -------
    Grid
        Places count rows from 1; the decimal mark is a point where numbers have fractions,
        and open where only texts may have them.

    Raises
    ------
    TableError
        If the file is damaged or has no rows.
    """
    table = _table(data, name)
    columns = [cell_texts(column) for column in table.columns]
    cells = [list(row) for row in zip(*columns, strict=True)]
    return Grid(
        name=name,
        headers=tuple(" ".join(header.split()) for header in table.column_names),
        rows=tuple(Row(row, at, at) for at, row in enumerate(cells, 1)),
        text=tuple(map(as_line, cells)),
        delimiter=",",
        header_line=None,
        unit="row",
        decimal="." if any(map(_has_fractions, table.schema.types)) else None,
    )


def _has_fractions(kind: "pa.DataType") -> bool:
    import pyarrow as pa

    return bool(pa.types.is_floating(kind) or pa.types.is_decimal(kind))


def _table(data: bytes, name: str) -> "pa.Table":
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(BytesIO(data)) as file:
            _check_size(file.metadata.num_columns, file.metadata.num_rows, name)
            return file.read()
    except (pa.ArrowException, OSError, ValueError) as error:
        msg = f"{name}: the Parquet file is damaged; export it again"
        raise TableError(msg) from error


def _check_size(columns: int, rows: int, name: str) -> None:
    if not rows or not columns:
        msg = f"{name}: {columns} columns and {rows} rows, so nothing to read"
        raise TableError(msg)
    if rows * columns > MOST_CELLS:
        msg = f"{name}: {columns} columns and {rows} rows, too much for a table of cards"
        raise TableError(msg)


def cell_texts(column: "pa.ChunkedArray") -> list[str]:
    """Write the cells of a column as text, "" for unknown ones."""
    import pyarrow as pa

    kind = column.type
    if pa.types.is_string(kind) or pa.types.is_large_string(kind):
        column = column.cast(pa.large_binary())
    try:
        values = column.to_pylist()
    except (ValueError, OverflowError, KeyError):
        return [f"({kind})"] * len(column)
    if pa.types.is_floating(kind):
        number = kind.to_pandas_dtype()
        return [_digits(value, number) for value in values]
    return ["" if value is None else _text(value) for value in values]


def _text(value: object) -> str:
    """Write a value in full; bytes that are no UTF-8 text are written by their number."""
    if isinstance(value, bytes):
        return value.decode(errors="backslashreplace")
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _digits(value: float | None, kind: Any) -> str:
    """Write a float in full, with as few digits as its own precision needs."""
    if value is None or np.isnan(value):
        return ""
    return (
        np.format_float_positional(kind(value), trim="0") if np.isfinite(value) else str(value)
    )


def as_line(cells: list[str]) -> str:
    """Write cells as a line of CSV."""
    line = StringIO()
    csv.writer(line, lineterminator="").writerow(cells)
    return line.getvalue()
