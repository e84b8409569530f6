"""The way from bytes to a checked table, whichever kind of table it is."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Generic, TypeVar

from winrate_tools.errors import MappingError, Problem
from winrate_tools.ingest.cells.numbers import proven
from winrate_tools.ingest.checks.findings import problem_error
from winrate_tools.ingest.roles.kinds import KINDS, Kind
from winrate_tools.ingest.roles.mapping import ColumnChoice, resolve_mapping
from winrate_tools.ingest.roles.memory import FILE_NAME, remembered_mapping
from winrate_tools.ingest.roles.overlooked import overlooked
from winrate_tools.ingest.roles.recognition import spoken
from winrate_tools.ingest.roles.roles import Assignment, find_roles
from winrate_tools.ingest.tables.sifting import Built
from winrate_tools.ingest.text.containers import PARQUET, open_container
from winrate_tools.ingest.text.decode import decode
from winrate_tools.ingest.text.grid import Grid, read_grid
from winrate_tools.ingest.text.parquet import read_parquet
from winrate_tools.ingest.text.sheet import Sheet, read_sheet
from winrate_tools.ingest.text.source import Load
from winrate_tools.tables import Source

Table = TypeVar("Table")


@dataclass(frozen=True)
class TableInspection(Generic[Table]):
    """Everything that reading a table found out.

    Attributes
    ----------
    name, sha256 : str
        What the file is called, and the hash of its bytes.
    encoding : str
        In words, such as ``UTF-8``; ``Parquet`` for that.
    delimiter : str
        One character.
    decimal : str or None
        The decimal mark; None where no cell shows it, or cells disagree.
    header_line : int or None
        Physical line of the header, None where there is none.
    headers : tuple of str
        As written, "" for blank ones.
    rows : int
        Rows as wide as the header.
    assignments : tuple of Assignment
        What each column was taken for, and why.
    unused : tuple of str
        Columns without a role.
    hints : tuple of str
        What unused columns may be meant for, with options to paste.
    is_mixed : bool
        Whether cells show both decimal marks, so that each column goes by most of its own.
    problems : tuple of Problem
        Everything that stops the table, in file order.
    notes : tuple of str
        Everything assumed, mended or left out.
    unclear : MappingError or None
        The question to ask where nobody can tell which column holds what.
    table : CardTable or other checked table, or None
        The table; None if there are problems or a question.
    """

    name: str
    sha256: str
    encoding: str
    delimiter: str
    decimal: str | None
    header_line: int | None
    headers: tuple[str, ...]
    rows: int
    assignments: tuple[Assignment, ...] = ()
    unused: tuple[str, ...] = ()
    hints: tuple[str, ...] = ()
    is_mixed: bool = False
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    unclear: MappingError | None = None
    table: Table | None = None

    @property
    def roles(self) -> dict[str, str]:
        """Role to the header, or ``column N``, of the column that fills it."""
        return {one.role: one.header for one in self.assignments}

    @property
    def choices(self) -> dict[str, str | int]:
        """Role to what names its column for good: its header, else its number."""
        return {
            one.role: one.header if one.header in self.headers else one.column
            for one in self.assignments
        }

    def sound_table(self) -> Table:
        """Return the table.

        Raises
        ------
        MappingError
            If nobody can tell which column holds what.
        TableError
            If it has problems: all of them.
        """
        if self.unclear is not None:
            raise self.unclear
        if self.table is None:
            raise problem_error(self.name, self.problems)
        return self.table


def inspected(
    loaded: Load,
    kind: Kind,
    build: Callable[[Sheet, dict[str, int], Source], Built[Table]],
    *,
    columns: Mapping[str, ColumnChoice] | None,
    decimal: str | None,
    use_memory: bool,
) -> TableInspection[Table]:
    """Read a table of a kind and tell everything about it, be it usable or not.

    Parameters
    ----------
    loaded : Load
        Bytes, with what they are called and where they lie.
    kind : Kind
        What the table is taken for.
    build : callable
        Checks the columns, given by role, and makes the table of them.
    columns, decimal, use_memory
        As in `winrate_tools.ingest.tables.cards.read_cards`.

    Raises
    ------
    TableError
        If it is no table of rows and cells.
    SettingError
        If a role or the decimal mark is none.
    """
    grid, encoding = open_grid(loaded)
    sheet = read_sheet(grid, decimal, kind)
    seen: TableInspection[Table] = _first_look(loaded, sheet, encoding)
    if not grid.rows:
        return replace(seen, problems=tuple(found.problem for found in grid.findings))
    try:
        seen = _with_roles(seen, sheet, columns or {}, loaded.folder if use_memory else None)
        source = Source(seen.name, seen.sha256, seen.roles, seen.notes)
        built = build(sheet, {one.role: one.column for one in seen.assignments}, source)
    except MappingError as error:
        problems = tuple(found.problem for found in grid.findings)
        return replace(seen, unclear=error, problems=problems)
    return replace(seen, problems=built.problems, notes=built.notes, table=built.table)


def open_grid(loaded: Load) -> tuple[Grid, str]:
    """Split the bytes of a table into rows and cells, and name their encoding."""
    data = open_container(loaded.data, loaded.name)
    if data.startswith(PARQUET):
        return read_parquet(data, loaded.name), "Parquet"
    decoded = decode(data, loaded.name)
    grid = read_grid(decoded.text, loaded.name)
    return replace(grid, notes=(*decoded.notes, *grid.notes)), decoded.encoding


def _first_look(loaded: Load, sheet: Sheet, encoding: str) -> TableInspection[Table]:
    grid = sheet.grid
    return TableInspection(
        name=loaded.name,
        sha256=loaded.sha256,
        encoding=encoding,
        delimiter=grid.delimiter,
        decimal=sheet.decimal,
        is_mixed=sheet.decimal is None and len(proven(sheet.tokens.values())) > 1,
        header_line=grid.header_line,
        headers=grid.headers,
        rows=len(grid.rows),
    )


def _with_roles(
    seen: TableInspection[Table],
    sheet: Sheet,
    columns: Mapping[str, ColumnChoice],
    folder: Path | None,
) -> TableInspection[Table]:
    told = resolve_mapping(columns, sheet.grid, sheet.kind.roles)
    kept = remembered_mapping(folder, sheet.grid.headers) if folder is not None else None
    if kept and sheet.kind.name not in {*kept, *spoken(sheet.grid.headers, sheet.kind, told)}:
        _demand_kind(sheet, kept)
    remembered = _remembered(sheet, kept or {}, told)
    assignments = find_roles(sheet, told, remembered)
    taken = {one.column for one in assignments}
    unused = tuple(sheet.grid.label(n) for n in sheet.numbers if n not in taken)
    notes = (f"columns follow the mapping remembered in {FILE_NAME}",) if remembered else ()
    hints = tuple(overlooked(sheet, {one.role: one.column for one in assignments}))
    return replace(seen, assignments=assignments, unused=unused, notes=notes, hints=hints)


def _demand_kind(sheet: Sheet, kept: Mapping[str, ColumnChoice]) -> None:
    """Refuse columns that are remembered as those of another kind of table."""
    other = next((kind for kind in KINDS.values() if not kind.missing(kept)), None)
    if other is not None:
        msg = (
            f"{sheet.grid.name}: {sheet.kind.called} was wanted, and {FILE_NAME} remembers its "
            f"columns as those of {other.called}; such a one is for:\n"
            f"    winrate-tools {other.use}\n"
            f"  if it is {sheet.kind.called}, say which column names its rows:\n"
            f"--map {sheet.kind.name}=HEADER"
        )
        raise MappingError(msg)


def _remembered(
    sheet: Sheet, kept: Mapping[str, ColumnChoice], told: Mapping[str, int]
) -> dict[str, int]:
    """Follow a remembered mapping where the user says nothing else this time."""
    roles = sheet.kind.roles
    kept = {role: choice for role, choice in kept.items() if role in roles}
    known = resolve_mapping(kept, sheet.grid, roles)
    taken = set(told.values()) - {0}
    return {role: n for role, n in known.items() if role not in told and n not in taken}
