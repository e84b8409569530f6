"""The first rows of a log: what its columns hold, and what is wrong with them."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path

from winrate_tools.errors import MappingError, Problem, TableError
from winrate_tools.ingest.checks.findings import in_order
from winrate_tools.ingest.logs.careful_rows import rows_of
from winrate_tools.ingest.logs.log_parquet import parquet_head, parquet_log
from winrate_tools.ingest.logs.log_reader import LogReader
from winrate_tools.ingest.logs.log_roles import LogRoles, find_log_roles
from winrate_tools.ingest.logs.tally import Tally
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.roles.recognition import speaks_of_games
from winrate_tools.ingest.text.containers import PARQUET
from winrate_tools.ingest.text.grid import Grid, read_grid
from winrate_tools.ingest.text.text_stream import raw_file, text_stream


@dataclass(frozen=True, slots=True)
class LogInspection:
    """What the first rows of a log tell.

    Attributes
    ----------
    head : Grid
        These rows.
    roles : LogRoles
        How the log would be read.
    problems : tuple of Problem
        What is wrong with the rows.
    """

    head: Grid
    roles: LogRoles
    problems: tuple[Problem, ...]


def log_head(path: str) -> Grid:
    """Read the first rows of a log.

    Raises
    ------
    TableError
        If it is no table of rows and cells.
    """
    if is_parquet(path):
        with parquet_log(path) as file:
            return parquet_head(file, Path(path).name)
    with text_stream(path) as stream:
        return read_grid(stream.text, stream.name)


def described_log(
    path: str, columns: Mapping[str, ColumnChoice] | None = None
) -> tuple[Grid, LogRoles]:
    """Read the head of a log, and tell how it would be read.

    Raises
    ------
    MappingError
        If nobody can tell what a column holds.
    TableError
        If it is no log.
    """
    head = log_head(path)
    return head, find_log_roles(head, columns or {})


def inspect_log(path: str, columns: Mapping[str, ColumnChoice] | None = None) -> LogInspection:
    """Read the head of a log and check its rows; what is raised is as in `described_log`."""
    head, roles = described_log(path, columns)
    reader = LogReader(head, roles, Tally())
    try:
        reader.add(None, lambda: rows_of(head, reader.wanted, 1))
    except TableError as error:
        return LogInspection(head, roles, tuple(error.problems))
    return LogInspection(head, roles, tuple(one.problem for one in in_order(reader.findings)))


def is_log(path: str, told: Collection[str] = ()) -> bool:
    """Tell whether the headers of a file speak for a log; what is no table is none."""
    try:
        return speaks_of_games(log_head(path).headers, told)
    except (MappingError, TableError):
        return False


def is_parquet(path: str) -> bool:
    """Tell whether a file is Parquet; standard input never is."""
    if path == "-":
        return False
    with raw_file(path) as file:
        return file.read(len(PARQUET)) == PARQUET
