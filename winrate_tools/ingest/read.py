"""Read a card table: bytes in, a checked table or every problem out."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from winrate_tools.errors import MappingError, Problem, TableError
from winrate_tools.ingest.cards import build_cards
from winrate_tools.ingest.check import check_cards
from winrate_tools.ingest.containers import PARQUET, open_container
from winrate_tools.ingest.decode import decode
from winrate_tools.ingest.grid import Grid, read_grid
from winrate_tools.ingest.mapping import ColumnChoice, resolve_mapping
from winrate_tools.ingest.memory import FILE_NAME, remembered_mapping
from winrate_tools.ingest.parquet import read_parquet
from winrate_tools.ingest.roles import ROLES, Assignment, find_roles
from winrate_tools.ingest.sheet import Sheet, read_sheet
from winrate_tools.ingest.source import CardSource, Load, load
from winrate_tools.tables import CardTable, Source

__all__ = ["CardSource", "Inspection", "inspect_cards", "read_cards"]


@dataclass(frozen=True, slots=True)
class Inspection:
    """Everything that reading a card table found out.

    Attributes
    ----------
    name, sha256 : str
        What the file is called, and the hash of its bytes.
    encoding : str
        In words, such as ``UTF-8``; ``Parquet`` for that.
    delimiter : str
        One character.
    decimal : str or None
        The decimal mark; None where no cell shows it.
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
    problems : tuple of Problem
        Everything that stops the table, in file order.
    notes : tuple of str
        Everything assumed, mended or left out.
    unclear : MappingError or None
        The question to ask where nobody can tell which column holds what.
    table : CardTable or None
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
    problems: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    unclear: MappingError | None = None
    table: CardTable | None = None

    @property
    def roles(self) -> dict[str, str]:
        """Role to the header, or ``column N``, of the column that fills it."""
        return {one.role: one.header for one in self.assignments}


def read_cards(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> CardTable:
    r"""Read a table of cards, one row a card or a card within a stratum.

    Parameters
    ----------
    source : str, Path, bytes or binary file
        A path, ``"-"`` for standard input, the bytes, or a file open for bytes. Text with
        any usual delimiter, encoding and number style; gzip; Parquet.
    columns : mapping of str to (str or int), optional
        Role to a header or a column number from 1; 0 leaves the role empty. What is not
        named is found by arithmetic (wins / games = rate), then by plain words.
    decimal : str, optional
        ``"."`` or ``","`` where the file does not show its decimal mark.
    skip_bad : bool, optional
        Leave bad rows out, each with a note.
    sum_duplicates : bool, optional
        Add up the rows of a card that is listed twice.
    use_memory : bool, optional
        Whether to follow a mapping in ``winrate.toml`` beside the file.
    name : str, optional
        What to call the table in messages.

    Returns
    -------
    CardTable
        Checked; its source holds the hash, the roles and every note.

    Raises
    ------
    MappingError
        If nobody can tell which column holds what, or which mark is the decimal mark; the
        message ends in an option to paste.
    TableError
        If there is no such file, it is no table, or it has problems: all of them, each with
        its place.
    SettingError
        If a role or the decimal mark is none.

    Examples
    --------
    >>> table = read_cards(b"Karte;Spiele;Siege\nAsh Vine;1.204;602\nTin Moth;90;41\n")
    >>> table.card, table.games.tolist(), table.source.roles["wins"]
    (('Ash Vine', 'Tin Moth'), [1204.0, 90.0], 'Siege')
    """
    seen = inspect_cards(
        source,
        columns=columns,
        decimal=decimal,
        skip_bad=skip_bad,
        sum_duplicates=sum_duplicates,
        use_memory=use_memory,
        name=name,
    )
    if seen.unclear is not None:
        raise seen.unclear
    if seen.table is None:
        raise TableError(_summary(seen), seen.problems)
    return seen.table


def inspect_cards(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> Inspection:
    """Read a table of cards and tell everything about it, be it usable or not.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `read_cards`.

    Returns
    -------
    Inspection
        What each column was taken for and why, all problems, and the table if it is sound.

    Raises
    ------
    TableError
        If there is no such file or it is no table of rows and cells.
    SettingError
        If a role or the decimal mark is none.
    """
    loaded = load(source, name=name)
    grid, encoding = _grid(loaded)
    sheet = read_sheet(grid, decimal)
    seen = _first_look(loaded, sheet, encoding)
    if not grid.rows:
        return replace(seen, problems=tuple(found.problem for found in grid.findings))
    try:
        seen = _with_roles(seen, sheet, columns or {}, loaded.folder if use_memory else None)
        checked = check_cards(sheet, {one.role: one.column for one in seen.assignments})
    except MappingError as error:
        problems = tuple(found.problem for found in grid.findings)
        return replace(seen, unclear=error, problems=problems)
    kept = Source(seen.name, seen.sha256, seen.roles, seen.notes)
    built = build_cards(checked, kept, skip_bad=skip_bad, sum_duplicates=sum_duplicates)
    return replace(seen, problems=built.problems, notes=built.notes, table=built.table)


def _grid(loaded: Load) -> tuple[Grid, str]:
    data = open_container(loaded.data, loaded.name)
    if data.startswith(PARQUET):
        return read_parquet(data, loaded.name), "Parquet"
    decoded = decode(data, loaded.name)
    grid = read_grid(decoded.text, loaded.name)
    return replace(grid, notes=(*decoded.notes, *grid.notes)), decoded.encoding


def _first_look(loaded: Load, sheet: Sheet, encoding: str) -> Inspection:
    grid = sheet.grid
    return Inspection(
        name=loaded.name,
        sha256=loaded.sha256,
        encoding=encoding,
        delimiter=grid.delimiter,
        decimal=sheet.decimal,
        header_line=grid.header_line,
        headers=grid.headers,
        rows=len(grid.rows),
    )


def _with_roles(
    seen: Inspection, sheet: Sheet, columns: Mapping[str, ColumnChoice], folder: Path | None
) -> Inspection:
    told = resolve_mapping(columns, sheet.grid, ROLES)
    kept = remembered_mapping(folder, sheet.grid.headers) if folder is not None else None
    remembered = _remembered(sheet.grid, kept or {}, told)
    assignments = find_roles(sheet, told, remembered)
    taken = {one.column for one in assignments}
    unused = tuple(sheet.grid.label(n) for n in sheet.numbers if n not in taken)
    notes = (f"columns follow the mapping remembered in {FILE_NAME}",) if remembered else ()
    return replace(seen, assignments=assignments, unused=unused, notes=notes)


def _remembered(
    grid: Grid, kept: Mapping[str, ColumnChoice], told: Mapping[str, int]
) -> dict[str, int]:
    """Follow a remembered mapping where the user says nothing else this time."""
    known = resolve_mapping(kept, grid, ROLES)
    taken = set(told.values()) - {0}
    return {role: n for role, n in known.items() if role not in told and n not in taken}


def _summary(seen: Inspection) -> str:
    count = len(seen.problems)
    first = seen.problems[0]
    words = "1 problem" if count == 1 else f"{count} problems"
    return f"{seen.name}: {words}; first: {first.place}: {first.message}"
