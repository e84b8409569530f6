"""Records of a block at full speed, where there is only one way to read them."""

from typing import Any

import numpy as np
import numpy.typing as npt

from winrate_tools.ingest.logs.coded import Coded, CodedLists, CodedRows, Wanted, small_counts
from winrate_tools.ingest.text.blocks import Block
from winrate_tools.ingest.text.grid import Grid

QUOTE, NEWLINE, RETURN, ZERO = ord('"'), ord("\n"), ord("\r"), ord("0")


def quick_rows(block: Block, like: Grid, wanted: Wanted) -> CodedRows | None:
    r"""Read a block at full speed, if it is so plain that there is only one way to read it.

    Parameters
    ----------
    block : Block
        Whole records.
    like : Grid
        The grid of the file's head.
    wanted : Wanted
        Columns to read.

    Returns
    -------
    CodedRows or None
        None where a record is ragged, a quote stands in an odd place, or a byte is no text.

    Examples
    --------
    >>> from winrate_tools.ingest.text.grid import read_grid
    >>> head = read_grid("Card,Games\nAsh Vine,12\n", "cards.csv")
    >>> rows = quick_rows(Block(b"Fox,4\nMoth,9\nFox,7\n", 2), head, Wanted((1,), (2,)))
    >>> rows.columns[1].codes.tolist(), rows.columns[1].texts, rows.numbers[2].tolist()
    ([0, 1, 0], ('Fox', 'Moth'), [4, 9, 7])
    """
    if b"\0" in block.data or not has_plain_quotes(block.data, like.delimiter):
        return None
    has_hexadecimals = may_hold_hexadecimals(block.data)
    if has_hexadecimals and wanted.copies:
        return None
    batch = parsed(block.data, like, wanted)
    if (
        batch is None
        or has_hexadecimals
        or any(batch[str(n)].null_count for n in wanted.numbers)
    ):
        wanted = wanted.coded
        batch = parsed(block.data, like, wanted)
    return None if batch is None else from_batch(batch, wanted, block.line)


def may_hold_hexadecimals(data: bytes) -> bool:
    """Tell whether ``0x`` stands anywhere, which Arrow would take for the start of a number.

    Examples
    --------
    >>> may_hold_hexadecimals(b"Ox,0X1f"), may_hold_hexadecimals(b"Ox,10,x0")
    (True, False)
    """
    letters = np.frombuffer(data, np.uint8)
    return any(
        bool((letters[np.flatnonzero(letters[1:] == ord(x))] == ZERO).any())
        for x in "xX"
        if x.encode() in data
    )


def from_batch(batch: Any, wanted: Wanted, line: int) -> CodedRows:
    """Take the wanted columns of an Arrow batch whose columns go by their numbers."""
    small = [plain_numbers(batch[str(number)]) for number in wanted.copies]
    copies = np.array(small, dtype=np.int64).reshape(len(small), batch.num_rows).T
    return CodedRows(
        batch.num_rows,
        {number: coded_column(batch[str(number)]) for number in wanted.texts},
        {number: plain_numbers(batch[str(number)]) for number in wanted.numbers},
        {number: coded_lists(batch[str(number)], by) for number, by in wanted.lists.items()},
        small_counts(copies),
        line,
    )


def parsed(data: bytes, like: Grid, wanted: Wanted) -> Any | None:
    """Parse delimited text into one Arrow batch, None where it does not fit."""
    import pyarrow as pa
    from pyarrow import csv

    kinds = {str(n): pa.dictionary(pa.int32(), pa.string()) for n in wanted.texts}
    kinds |= {str(n): pa.int64() for n in wanted.numbers}
    kinds |= {str(n): pa.string() for n in wanted.lists}
    kinds |= {str(n): pa.int64() for n in wanted.copies}
    names = [str(n) for n in range(1, len(like.headers) + 1)]
    has_quotes = b'"' in data
    try:
        table = csv.read_csv(
            pa.BufferReader(data),
            csv.ReadOptions(use_threads=False, block_size=len(data) + 1, column_names=names),
            csv.ParseOptions(
                delimiter=like.delimiter,
                quote_char='"' if has_quotes else False,
                newlines_in_values=has_quotes,
            ),
            csv.ConvertOptions(
                check_utf8=not data.isascii(),
                column_types=kinds,
                include_columns=list(kinds),
                null_values=[""],
            ),
        )
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):
        return None
    batches = table.to_batches()
    return batches[0] if len(batches) == 1 else None


def coded_lists(column: Any, mark: str) -> CodedLists:
    """Split an Arrow column of texts, and take the codes of the pieces."""
    from pyarrow import compute

    split = compute.split_pattern(column, mark)
    entries = split.values.dictionary_encode()
    ends = np.frombuffer(split.buffers()[1], np.int32)[1 : len(split) + 1]
    coded = coded_column(entries)
    return CodedLists(ends, coded.codes, coded.texts)


def coded_column(column: Any) -> Coded:
    """Take the codes of an Arrow column of dictionary texts without unknown ones."""
    codes = np.frombuffer(column.indices.buffers()[1], np.int32)
    here = codes[column.offset : column.offset + len(column)]
    return Coded(here, tuple(column.dictionary.to_pylist()))


def plain_numbers(column: Any) -> npt.NDArray[np.int64]:
    """Take the numbers of an Arrow column of whole numbers, 0 for unknown ones."""
    column = column.fill_null(0) if column.null_count else column
    numbers = np.frombuffer(column.buffers()[1], np.int64)
    return numbers[column.offset : column.offset + len(column)]


def has_plain_quotes(data: bytes, delimiter: str) -> bool:
    """Tell whether every quote opens a cell, closes one, or stands there twice for itself.

    Examples
    --------
    >>> has_plain_quotes(b'1,"a ""b"" c"', ","), has_plain_quotes(b'1,5" nail', ",")
    (True, False)
    """
    if b'"' not in data:
        return True
    letters = np.frombuffer(b"\n" + data + b"\n", np.uint8)
    at = np.flatnonzero(letters == QUOTE)
    if len(at) % 2:
        return False
    opens, closes = at[::2], at[1::2]
    edges = np.zeros(256, dtype=bool)
    edges[[ord(delimiter) % 256, NEWLINE, RETURN]] = True
    doubled = closes[:-1] + 1 == opens[1:]
    starts, ends = edges[letters[opens - 1]], edges[letters[closes + 1]]
    starts[1:] |= doubled
    ends[:-1] |= doubled
    return bool(starts.all() and ends.all())
