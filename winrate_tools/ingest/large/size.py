"""How large a file has to be for its table to stream."""

from pathlib import Path

from winrate_tools.ingest.text.containers import GZIP, PARQUET
from winrate_tools.ingest.text.source import TableSource

LARGE = 1 << 24
"""Bytes from which a table streams."""
PACKED = 8
"""How many times as much a compressed table is taken to hold."""


def is_large(source: TableSource) -> bool:
    """Tell whether a table is a file of text so large that it had better stream."""
    if not isinstance(source, str | Path) or not Path(source).is_file():
        return False
    size = Path(source).stat().st_size
    if size < LARGE // PACKED:
        return False
    from winrate_tools.ingest.text.text_stream import raw_file

    with raw_file(str(source)) as file:
        start = file.read(len(PARQUET))
    enough = LARGE // PACKED if start.startswith(GZIP) else LARGE
    return size >= enough and start != PARQUET
