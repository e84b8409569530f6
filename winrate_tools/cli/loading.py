"""From a command's options to checked tables."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from winrate_tools.cli.asking import ask, can_ask
from winrate_tools.cli.configuration import shown_path
from winrate_tools.cli.failures import without_skipping
from winrate_tools.cli.options import Configured, Decks, PlainReading, Reading
from winrate_tools.cli.output import STDIN, say, tell_notes
from winrate_tools.cli.suggest import astray, did_you_mean_file
from winrate_tools.errors import SettingError, TableError

if TYPE_CHECKING:
    from winrate_tools.ingest.checks.inspection import TableInspection
    from winrate_tools.tables import ArchetypeTable, CardTable

Table = TypeVar("Table")


def read_table(table: str, reading: Reading, configured: Configured) -> "CardTable":
    """Read a table of cards, and keep the roles of its columns if that is asked for.

    Raises
    ------
    MappingError
        If nobody can tell which column is which, and nobody answers.
    TableError
        If the file cannot be read as a table of cards.
    """
    from winrate_tools.ingest.tables.cards import inspect_cards

    found = inspected(inspect_cards, table, reading, configured)
    if found.unclear is not None:
        raise found.unclear
    if found.table is None:
        msg = f"{found.name}: {len(found.problems):,} to mend before this table can be used"
        raise TableError(msg, found.problems)
    if reading.remember:
        remember(table, found)
    return found.table


def inspected(
    inspect: "Callable[..., TableInspection[Table]]",
    table: str,
    reading: PlainReading,
    configured: Configured,
) -> "TableInspection[Table]":
    """Inspect a table, asking which column is which where nobody can tell.

    Parameters
    ----------
    inspect : callable
        Reads it, and tells everything about it.
    table : str
        Path, or ``"-"`` for standard input.
    reading, configured
        How to read it, and whether kept roles count.

    Raises
    ------
    SettingError
        If there is no such file.
    TableError
        If it is no table of rows and cells.
    """
    demand_file(table)
    columns, options = mapped(reading.columns or []), reading_options(reading, configured)
    found = inspect(table, columns=columns, **options)
    if found.unclear is not None and can_ask(table):
        found = inspect(table, columns={**columns, **ask(found.unclear)}, **options)
    return found


def remember(table: str, found: "TableInspection[Any]") -> None:
    """Keep the roles of a table's columns beside it.

    Raises
    ------
    SettingError
        If the table is standard input, or the file that keeps them cannot be used.
    OutputError
        If that file cannot be written.
    """
    from winrate_tools.ingest.roles.memory import remember_mapping

    if table == STDIN:
        msg = "--remember keeps columns beside a file, and standard input is none"
        raise SettingError(msg)
    path = remember_mapping(Path(table).parent, found.headers, found.choices)
    say(f"note: the columns' roles are kept in {shown_path(path)}")


def demand_file(table: str) -> None:
    """Refuse a path where nothing is, and name the nearest file.

    Raises
    ------
    SettingError
        If the path is no file.
    """
    path = Path(table)
    if table == STDIN or (path.exists() and not path.is_dir()):
        return
    if lost := astray(path):
        msg = f"{table} cannot be read: {lost}"
        raise SettingError(msg)
    near = [entry.name for entry in path.parent.iterdir()] if path.parent.is_dir() else []
    what = f"{table} is a folder, not a table" if path.is_dir() else f"no file {table!r}"
    raise SettingError(what + did_you_mean_file(path.name, sorted(near)))


def mapped(pairs: Sequence[str]) -> dict[str, str | int]:
    """Read ``ROLE=HEADER`` pairs.

    Examples
    --------
    >>> mapped(["games=Plays", "card=1"])
    {'games': 'Plays', 'card': '1'}
    """
    columns: dict[str, str | int] = {}
    for pair in pairs:
        role, equals, header = pair.partition("=")
        if not (role.strip() and equals and header.strip()):
            msg = f"--map must be ROLE=HEADER, got {pair!r}"
            raise SettingError(msg)
        if role.strip() in columns:
            msg = f"--map names the role {role.strip()} twice"
            raise SettingError(msg)
        columns[role.strip()] = header.strip()
    return columns


def reading_options(reading: PlainReading, configured: Configured) -> dict[str, Any]:
    """Return what a reader takes from the options, but for the columns."""
    return {
        "decimal": reading.decimal,
        "skip_bad": reading.skip_bad,
        "sum_duplicates": reading.sum_duplicates,
        "use_memory": not configured.no_config,
    }


def whole_decks(
    decks: Decks, reading: Reading, configured: Configured
) -> "ArchetypeTable | None":
    """Read the table of whole decks, if one is named."""
    if decks.archetypes is None:
        return None
    from winrate_tools.ingest.tables.archetypes import inspect_archetypes

    named = decks.archetypes, decks.archetypes_map, "--archetypes-map"
    return further_table(inspect_archetypes, *named, reading, configured)


def tell_near_misses(cards: "CardTable | None", of_decks: "ArchetypeTable | None") -> None:
    """Say which archetypes of the cards the table of whole decks may spell otherwise."""
    if cards is None or of_decks is None or cards.archetype is None:
        return
    from winrate_tools.ingest.checks.near_misses import missing_beside

    labels = [label for label in dict.fromkeys(cards.archetype) if label is not None]
    tell_notes(missing_beside(labels, of_decks.archetype))


def further_table(
    inspect: "Callable[..., TableInspection[Table]]",
    file: str,
    maps: Sequence[str] | None,
    option: str,
    reading: PlainReading,
    configured: Configured,
) -> Table:
    """Read a further table, whose columns an option of its own names and whose rows all count.

    Parameters
    ----------
    inspect : callable
        Reads it, and tells everything about it.
    file : str
        Path, or ``"-"`` for standard input.
    maps : sequence of str or None
        What the option says.
    option : str
        The option, for messages.
    reading, configured
        How to read it, but for its columns and bad rows, and whether kept roles count.

    Returns
    -------
    ArchetypeTable or other checked table
        The table.

    Raises
    ------
    MappingError
        If nobody can tell which column is which.
    TableError
        If the file cannot be read as what it should be.
    SettingError
        If there is no such file.
    """
    demand_file(file)
    options = reading_options(replace(reading, skip_bad=False), configured)
    try:
        return inspect(file, columns=mapped(maps or ()), **options).sound_table()
    except TableError as error:
        problems = [
            replace(one, fix=one.fix.replace("--map ", f"{option} "))
            for one in without_skipping(error.problems)
        ]
        told = str(error).replace("--map ", f"{option} ")
        raise type(error)(told, problems) from error


def demand_one_stdin(files: tuple[str | None, ...]) -> None:
    """Refuse to read two tables from standard input.

    Raises
    ------
    SettingError
        If more than one path is ``"-"``.
    """
    if files.count(STDIN) > 1:
        msg = "standard input holds one table; name files for the others"
        raise SettingError(msg)
