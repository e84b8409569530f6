"""A log kept as Parquet for the next time, under a name that changes with its content."""

from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager
from hashlib import file_digest, sha256
from pathlib import Path
from typing import Any

import numpy as np

from winrate_tools import __version__
from winrate_tools.errors import OutputError
from winrate_tools.files import unfinished
from winrate_tools.ingest.logs.coded import Coded, CodedLists, CodedRows
from winrate_tools.ingest.logs.log_roles import LogRoles
from winrate_tools.ingest.roles.mapping import ColumnChoice

FAST = {"compression": "none", "write_statistics": False}
"""What makes a copy that is read as a whole quick to write and to read."""


def cache_folder(environment: Mapping[str, str]) -> Path:
    """Return the user's own folder for what can be made again.

    Examples
    --------
    >>> cache_folder({"XDG_CACHE_HOME": "caches"}).as_posix()
    'caches/winrate_tools'
    """
    base = environment.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "winrate_tools"


def cached_path(path: str, columns: Mapping[str, ColumnChoice], folder: Path) -> Path:
    """Name the copy of a log by its bytes, by what its columns hold, and by our version."""
    digest = sha256(repr((sorted(columns.items()), __version__)).encode())
    with Path(path).open("rb", buffering=0) as file:
        file_digest(file, lambda: digest)
    return folder / f"{digest.hexdigest()[:32]}.parquet"


class Copy:
    """A log on its way into Parquet: its columns under the names of their roles.

    Parameters
    ----------
    file : path
        File to write.
    roles : LogRoles
        What the columns hold.
    """

    def __init__(self, file: Path, roles: LogRoles) -> None:
        self._file, self._roles = file, roles
        self._writer: Any = None
        self.is_whole = True

    def add(self, rows: CodedRows) -> None:
        """Add a block; one whose columns are of another kind than before ends the copy."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        if not self.is_whole:
            return
        columns = _columns(rows, self._roles)
        fields = [pa.field(role, kept.type, nullable=False) for role, kept in columns.items()]
        table = pa.table(columns, pa.schema(fields))
        if self._writer is None:
            self._writer = pq.ParquetWriter(self._file, table.schema, **FAST)
        self.is_whole = table.schema == self._writer.schema
        if self.is_whole:
            self._writer.write_table(table)

    def close(self) -> bool:
        """Finish the file, and tell whether it holds the whole log."""
        if self._writer is not None:
            self._writer.close()
        return self.is_whole and self._writer is not None


@contextmanager
def kept_copy(target: Path, roles: LogRoles) -> Iterator[Copy]:
    """Write a copy beside its place, and move it there once the log has been read to its end.

    Raises
    ------
    OutputError
        If the folder cannot be written to.
    """
    with ExitStack() as stack:
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            beside = stack.enter_context(unfinished(target.parent))
        except OSError as error:
            msg = f"cannot keep a copy in {target.parent}: {(error.strerror or '').lower()}"
            raise OutputError(msg) from error
        copy = Copy(beside, roles)
        stack.callback(copy.close)
        yield copy
        if copy.close():
            beside.replace(target)


def _columns(rows: CodedRows, roles: LogRoles) -> dict[str, Any]:
    import pyarrow as pa

    columns: dict[str, Any] = {}
    for role, number in roles.where.items():
        if number in rows.lists:
            columns[role] = _listed(rows.lists[number])
        elif number in rows.numbers:
            columns[role] = pa.array(rows.numbers[number])
        else:
            columns[role] = _dictionary(rows.columns[number])
    if roles.layout == "wide":
        columns["cards"] = _counted(rows, list(roles.deck), 0)
        if roles.held:
            columns["held"] = _counted(rows, list(roles.held), len(roles.deck))
    return columns


def _counted(rows: CodedRows, cards: list[str], first: int) -> Any:
    copies = rows.copies[:, first : first + len(cards)]
    game, card = np.nonzero(copies)
    codes = np.repeat(card, copies[game, card]).astype(np.int32)
    ends = np.cumsum(copies.sum(axis=1, dtype=np.int64), dtype=np.int32)
    return _listed(CodedLists(ends, codes, tuple(cards)))


def _listed(lists: CodedLists) -> Any:
    import pyarrow as pa

    starts = pa.array(np.concatenate([[0], lists.ends]), pa.int32())
    entries = _dictionary(Coded(lists.codes, lists.texts))
    kind = pa.list_(pa.field("element", entries.type, nullable=False))
    return pa.ListArray.from_arrays(starts, entries, type=kind)


def _dictionary(coded: Coded) -> Any:
    import pyarrow as pa

    return pa.DictionaryArray.from_arrays(
        pa.array(coded.codes, pa.int32()), pa.array(list(coded.texts), pa.string())
    )
