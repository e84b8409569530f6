"""Frames of any library, read as the Parquet file that would hold them."""

from io import BytesIO
from typing import TYPE_CHECKING, Any, Protocol

from winrate_tools.errors import MissingExtraError, TableError

if TYPE_CHECKING:
    import narwhals as nw
    import pyarrow as pa

WANTED = "a path, bytes, a file open for bytes, or a frame of pandas, polars or Arrow"


class Frame(Protocol):
    """A table in memory: a frame of pandas or polars, an Arrow table, a DuckDB relation."""

    @property
    def columns(self) -> Any:
        """Its columns, or their names."""


def frame_bytes(frame: object, name: str) -> bytes:
    """Write a frame as a Parquet file, in memory; an index of pandas is no column of it.

    Returns
    -------
    bytes
        A column that holds values of several kinds, as pandas allows, is written as text; of
        lists, as one text a list, parted by bars.

    Raises
    ------
    TableError
        If it is no frame, or has no columns that can be told apart.
    MissingExtraError
        If narwhals is not installed.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    table = _eager(frame, name)
    columns = {str(header): _arrow(table.get_column(header)) for header in table.columns}
    written = BytesIO()
    pq.write_table(pa.table(columns), written)
    return written.getvalue()


def _eager(frame: object, name: str) -> "nw.DataFrame[Any]":
    """See a frame through narwhals, its rows gathered."""
    try:
        import narwhals as nw
    except ImportError as error:
        msg = 'frames need narwhals: pip install "winrate_tools[frames]"'
        raise MissingExtraError(msg) from error
    try:
        seen: Any = nw.from_native(frame)
        return seen.collect() if isinstance(seen, nw.LazyFrame) else seen
    except TypeError as error:
        msg = f"{WANTED} was wanted, got {type(frame).__name__}"
        raise TableError(msg) from error
    except (nw.exceptions.NarwhalsError, ValueError) as error:
        msg = f"{name}: every column needs a name of its own; {' '.join(str(error).split())}"
        raise TableError(msg) from error


def _arrow(column: "nw.Series[Any]") -> "pa.Array | pa.ChunkedArray":
    """Return a column as Arrow has it, or its cells as text where they are no single values."""
    import pyarrow as pa

    try:
        array = column.to_arrow()
    except (pa.ArrowException, TypeError, ValueError):
        known = zip(column.to_list(), column.is_null().to_list(), strict=True)
        cells = [None if is_blank else cell for cell, is_blank in known]
    else:
        if not pa.types.is_nested(array.type):
            return array
        cells = array.to_pylist()
    return pa.array([None if cell is None else _text(cell) for cell in cells], pa.string())


def _text(cell: object) -> str:
    return "|".join(map(str, cell)) if isinstance(cell, list) else str(cell)
