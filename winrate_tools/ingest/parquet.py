"""Parquet: columns become text cells, so that one set of checks serves every kind of file."""

import csv
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any

import numpy as np

from winrate_tools.errors import TableError
from winrate_tools.ingest.grid import Grid
from winrate_tools.ingest.records import Row

if TYPE_CHECKING:
    import pyarrow as pa


def read_parquet(data: bytes, name: str) -> Grid:
    """Read Parquet bytes as a grid of text.

    Parameters
    ----------
    data : bytes
        The file.
    name : str
        What to call it in messages.

    Returns
    -------
    Grid
        Places count rows from 1; the decimal mark is a point.

    Raises
    ------
    TableError
        If the file is damaged or has no rows.
    """
    table = _table(data, name)
    if not table.num_rows or not table.num_columns:
        msg = (
            f"{name}: {table.num_columns} columns and {table.num_rows} rows, so nothing to read"
        )
        raise TableError(msg)
    columns = [_cells(column) for column in table.columns]
    cells = [list(row) for row in zip(*columns, strict=True)]
    return Grid(
        name=name,
        headers=tuple(" ".join(header.split()) for header in table.column_names),
        rows=tuple(Row(row, at, at) for at, row in enumerate(cells, 1)),
        text=tuple(map(_as_line, cells)),
        delimiter=",",
        header_line=None,
        unit="row",
        decimal=".",
    )


def _table(data: bytes, name: str) -> "pa.Table":
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        return pq.read_table(BytesIO(data))
    except (pa.ArrowException, OSError) as error:
        msg = f"{name}: the Parquet file is damaged; export it again"
        raise TableError(msg) from error


def _cells(column: "pa.ChunkedArray") -> list[str]:
    import pyarrow as pa

    if pa.types.is_floating(column.type):
        kind = column.type.to_pandas_dtype()
        return [_digits(value, kind) for value in column.to_pylist()]
    return ["" if value is None else str(value) for value in column.to_pylist()]


def _digits(value: float | None, kind: Any) -> str:
    """Write a float in full, with as few digits as its own precision needs."""
    if value is None or np.isnan(value):
        return ""
    return (
        np.format_float_positional(kind(value), trim="0") if np.isfinite(value) else str(value)
    )


def _as_line(cells: list[str]) -> str:
    line = StringIO()
    csv.writer(line, lineterminator="").writerow(cells)
    return line.getvalue()
