"""Logs in Parquet: columns of Arrow as coded rows, batch by batch."""

from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from winrate_tools.errors import TableError
from winrate_tools.ingest.logs.coded import CodedLists, CodedRows, Codes, Wanted, small_counts
from winrate_tools.ingest.logs.quick_rows import coded_column, plain_numbers
from winrate_tools.ingest.text.blocks import keep_freed_memory
from winrate_tools.ingest.text.grid import Grid
from winrate_tools.ingest.text.parquet import as_line, cell_texts
from winrate_tools.ingest.text.records import Row

HEAD_ROWS = 1000
BATCH = 1 << 16
JOINED = "\x1f"
"""What parts the entries of a list once it is written as text."""


@contextmanager
def parquet_log(path: str) -> Iterator[Any]:
    """Open a Parquet file.

    Raises
    ------
    TableError
        If it is damaged, or has nothing to read.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    name = Path(path).name
    try:
        with pq.ParquetFile(path, read_dictionary=_dictionaries(path)) as file:
            if not file.metadata.num_rows:
                msg = f"{name}: no rows; export the log again"
                raise TableError(msg)
            yield file
    except (pa.ArrowException, OSError) as error:
        msg = f"{name}: the Parquet file is damaged; export it again"
        raise TableError(msg) from error


def _dictionaries(path: str) -> list[str]:
    """Name the columns of text, and those of lists of text, which come as codes."""
    import pyarrow.parquet as pq

    with pq.ParquetFile(path) as file:
        columns = [file.schema.column(at) for at in range(len(file.schema.names))]
        return [one.path for one in columns if one.physical_type == "BYTE_ARRAY"]


def parquet_head(file: Any, name: str) -> Grid:
    """Write the first rows as text."""
    groups, rows = 0, 0
    while rows < HEAD_ROWS and groups < file.num_row_groups:
        rows += file.metadata.row_group(groups).num_rows
        groups += 1
    batch = next(file.iter_batches(HEAD_ROWS, row_groups=range(groups), use_threads=False))
    return _grid(batch, name, range(1, batch.num_columns + 1))


def parquet_rows(file: Any, path: str, wanted: Wanted) -> Iterator[tuple[CodedRows, Any]]:
    """Read the wanted columns of an open file, which lies at `path`, batch by batch.

    Yields
    ------
    tuple of CodedRows and RecordBatch
        Rows, their line being the first row's number, and the batch that they came from.
    """
    names = file.schema_arrow.names
    needed = sorted({*wanted.texts, *wanted.numbers, *wanted.lists, *wanted.copies})
    first = 1
    for batch in _batches(file, path, [names[number - 1] for number in needed]):
        columns = dict(zip(needed, batch.columns, strict=True))
        yield _rows(columns, wanted, batch.num_rows, first), columns
        first += batch.num_rows


def _batches(file: Any, path: str, columns: list[str]) -> Iterator[Any]:
    """Read a group of rows at a time, as lists of codes come out of a whole group only."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    keep_freed_memory()
    for group in range(file.num_row_groups):
        try:
            table = file.read_row_group(group, columns, use_threads=False)
        except pa.ArrowNotImplementedError:
            with pq.ParquetFile(path) as plain:
                table = plain.read_row_group(group, columns, use_threads=False)
        yield from table.to_batches(max_chunksize=BATCH)


def placed_rows(columns: dict[int, Any], like: Grid, rows: CodedRows) -> Grid:
    """Write a batch as text, rows counted within it, so that a cell can be pointed at."""
    texts = {number: _texts(column) for number, column in columns.items()}
    blank = [""] * rows.rows
    every = [texts.get(number, blank) for number in range(1, len(like.headers) + 1)]
    return _text_grid(every, like.headers, like.name)


def _rows(columns: dict[int, Any], wanted: Wanted, count: int, first: int) -> CodedRows:
    small = [_numbers(columns[number]) for number in wanted.copies]
    copies = np.array(small, dtype=np.int64).reshape(len(small), count).T
    return CodedRows(
        count,
        {number: coded_column(_dictionary(columns[number])) for number in wanted.texts},
        {number: _numbers(columns[number]) for number in wanted.numbers},
        {number: _lists(columns[number]) for number in wanted.lists},
        small_counts(copies),
        first,
    )


def _numbers(column: Any) -> Any:
    import pyarrow as pa

    return plain_numbers(column if column.type == pa.int64() else column.cast(pa.int64()))


def _dictionary(column: Any) -> Any:
    """Code a column of any kind as text, "" for what is unknown."""
    import pyarrow as pa

    if not pa.types.is_dictionary(column.type):
        column = pa.array(cell_texts(column), pa.string())
    elif column.null_count:
        column = column.cast(pa.string()).fill_null("")
    return column if pa.types.is_dictionary(column.type) else column.dictionary_encode()


def _lists(column: Any) -> CodedLists:
    entries, ends = _entries(column)
    coded = coded_column(_dictionary(entries))
    return CodedLists(ends, coded.codes, coded.texts)


def _entries(column: Any) -> tuple[Any, Codes]:
    """Return the entries of all lists that are known, and where each list ends among them."""
    import pyarrow as pa

    if not pa.types.is_list(column.type):
        lengths = _numbers(column.value_lengths())
        return column.flatten(), np.cumsum(lengths, dtype=np.int32)
    offsets = column.offsets
    ends = np.frombuffer(offsets.buffers()[1], np.int32)[offsets.offset :][: len(offsets)]
    first, last = int(ends[0]), int(ends[-1])
    return column.values.slice(first, last - first), ends[1:] - ends[0]


def _texts(column: Any) -> list[str]:
    """Write cells as text, lists too."""
    import pyarrow as pa

    if pa.types.is_list(column.type) or pa.types.is_large_list(column.type):
        entries, ends = _entries(column)
        texts = _texts(entries)
        return [JOINED.join(texts[start:end]) for start, end in pairwise([0, *ends.tolist()])]
    if not pa.types.is_dictionary(column.type):
        return cell_texts(column)
    texts = _texts_of_codes(column.dictionary)
    return ["" if code is None else texts[code] for code in column.indices.to_pylist()]


def _texts_of_codes(texts: Any) -> list[str]:
    """Write the different texts of a coded column, bytes that are no text too."""
    import pyarrow as pa

    return cell_texts(texts.view(pa.binary()) if pa.types.is_string(texts.type) else texts)


def _grid(batch: Any, name: str, numbers: range) -> Grid:
    texts = [_texts(batch.column(number - 1)) for number in numbers]
    headers = tuple(" ".join(header.split()) for header in batch.schema.names)
    return _text_grid(texts, headers, name)


def _text_grid(columns: list[list[str]], headers: tuple[str, ...], name: str) -> Grid:
    cells = [list(row) for row in zip(*columns, strict=True)]
    return Grid(
        name=name,
        headers=headers,
        rows=tuple(Row(row, at, at) for at, row in enumerate(cells, 1)),
        text=tuple(map(as_line, cells)),
        delimiter=",",
        header_line=None,
        unit="row",
        decimal=".",
    )
