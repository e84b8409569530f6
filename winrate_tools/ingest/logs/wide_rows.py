"""Logs with a column a card, read from the bytes where every count is one digit."""

from dataclasses import replace

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from winrate_tools.ingest.logs.coded import CodedRows, Copies, Wanted
from winrate_tools.ingest.logs.quick_rows import quick_rows
from winrate_tools.ingest.text.blocks import Block, line_ends
from winrate_tools.ingest.text.grid import Grid

PAIR = np.dtype("<u2")
"""A delimiter and a digit."""


def quick_wide_rows(block: Block, like: Grid, wanted: Wanted) -> CodedRows | None:
    r"""Read a block whose last columns count copies, fast if each count is one digit.

    The end of every line then has the same length, so digits and delimiters have fixed places
    there; all of them are checked, and only what stands before has to be parsed.

    Parameters
    ----------
    block, like, wanted
        As in `quick_rows`.

    Returns
    -------
    CodedRows or None
        None where there is more than one way to read the block.

    Examples
    --------
    >>> from winrate_tools.ingest.text.grid import read_grid
    >>> head = read_grid("won,Fox,Moth\nyes,2,0\n", "log.csv")
    >>> block = Block(b"no,0,1\nyes,1,1\n", 3)
    >>> rows = quick_wide_rows(block, head, Wanted((1,), copies=(2, 3)))
    >>> rows.copies.tolist(), rows.columns[1].texts
    ([[0, 1], [1, 1]], ('no', 'yes'))
    """
    first, width = min(wanted.copies), len(like.headers)
    others = (*wanted.texts, *wanted.numbers)
    stand_last = sorted(wanted.copies) == list(range(first, width + 1)) and first > 2
    split = _split(block, width + 1 - first, like.delimiter) if stand_last else None
    if split is None or max(others) >= first:
        return quick_rows(block, like, wanted)
    head, copies = split
    front = replace(like, headers=like.headers[: first - 1])
    rows = quick_rows(Block(head, block.line), front, replace(wanted, copies=()))
    if rows is None or rows.rows != len(copies):
        return None
    order = np.array(wanted.copies) - first
    in_order = (order[1:] > order[:-1]).all()
    return replace(rows, copies=copies if in_order else copies[:, order])


def _split(block: Block, columns: int, delimiter: str) -> tuple[bytes, Copies] | None:
    """Cut the counts off the lines, None where they do not stand in their places."""
    data = block.data.replace(b"\r\n", b"\n") if b"\r" in block.data else block.data
    data = data if data.endswith(b"\n") else data + b"\n"
    letters = np.frombuffer(data, np.uint8)
    ends = block.ends if block.ends is not None and data is block.data else line_ends(data)
    starts = np.append(0, ends[:-1] + 1)
    tails = ends - 2 * columns
    if (tails < starts).any():
        return None
    pairs = sliding_window_view(letters, 2 * columns)[tails].view(PAIR)
    above = pairs - np.frombuffer(f"{delimiter}0".encode(), PAIR)
    copies = (above >> 8).astype(np.uint8)
    if copies.max() > 9 or np.bitwise_or.reduce(above, axis=None) & 0xFF:
        return None
    spans = zip(starts.tolist(), tails.tolist(), strict=True)
    return b"\n".join([data[start:end] for start, end in spans]) + b"\n", copies
