"""From a command's options to a checked table and to a judged pool."""

import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from winrate_tools.cli.asking import ask, can_ask
from winrate_tools.cli.config_files import files_for
from winrate_tools.cli.configuration import Resolved, resolve, shown_path
from winrate_tools.cli.options import Configured, Decks, Judging, Output, Reading
from winrate_tools.cli.output import say
from winrate_tools.cli.suggest import did_you_mean_file
from winrate_tools.cli.targets import Target, demand_targets
from winrate_tools.errors import MappingError, SettingError, TableError

if TYPE_CHECKING:
    from winrate_tools.ingest.tables.read import Inspection
    from winrate_tools.ranking import Ranking
    from winrate_tools.tables import ArchetypeTable, CardTable

STDIN = "-"


def read_table(table: str, reading: Reading, configured: Configured) -> "CardTable":
    """Read a table, asking which column is which where nobody can tell.

    Parameters
    ----------
    table : str
        Path, or ``"-"`` for standard input.
    reading : Reading
        How to read it, and whether to keep the columns' roles.
    configured : Configured
        Whether kept roles count.

    Returns
    -------
    CardTable

    Raises
    ------
    MappingError
        If nobody can tell which column is which, and nobody answers.
    TableError
        If the file cannot be read as a table of cards.
    """
    columns = mapped(reading.columns or [])
    found = inspected(table, columns, reading, configured)
    if found.unclear is not None and can_ask(table):
        answer = ask(found.unclear)
        found = inspected(table, {**columns, **answer}, reading, configured)
    if found.unclear is not None:
        raise found.unclear
    if found.table is None:
        msg = f"{found.name}: {len(found.problems):,} to mend before this table can be used"
        raise TableError(msg, found.problems)
    if reading.remember:
        _remember(table, found)
    return found.table


def inspected(
    table: str,
    columns: "Mapping[str, str | int]",
    reading: Reading,
    configured: Configured,
) -> "Inspection":
    """Read a table and tell everything about it.

    Raises
    ------
    SettingError
        If there is no such file.
    TableError
        If it is no table of rows and cells.
    """
    demand_file(table)
    from winrate_tools.ingest.tables.read import inspect_cards

    return inspect_cards(table, columns=columns, **reading_options(reading, configured))


def _remember(table: str, found: "Inspection") -> None:
    from winrate_tools.ingest.roles.memory import remember_mapping

    if table == STDIN:
        msg = "--remember keeps columns beside a file, and standard input is none"
        raise SettingError(msg)
    roles = {
        one.role: one.header if one.header in found.headers else one.column
        for one in found.assignments
    }
    path = remember_mapping(Path(table).parent, found.headers, roles)
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
    near = [entry.name for entry in path.parent.iterdir()] if path.parent.is_dir() else []
    what = f"{table} is a folder, not a table" if path.is_dir() else f"no file {table!r}"
    raise SettingError(what + did_you_mean_file(path.name, sorted(near)))


def mapped(pairs: list[str]) -> dict[str, str | int]:
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


def reading_options(reading: Reading, configured: Configured) -> dict[str, Any]:
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
    """Read the table of whole decks, if one is named.

    Raises
    ------
    MappingError
        If nobody can tell which column is which.
    TableError
        If the file cannot be read as a table of archetypes.
    SettingError
        If there is no such file.
    """
    if decks.archetypes is None:
        return None
    file = decks.archetypes
    demand_file(file)
    from winrate_tools.ingest.tables.archetypes import read_archetypes

    columns = mapped(decks.archetypes_map or [])
    try:
        return read_archetypes(file, columns=columns, **reading_options(reading, configured))
    except MappingError as error:
        raise MappingError(
            str(error).replace("--map ", "--archetypes-map "), error.problems
        ) from error


def judged(
    table: str,
    judging: Judging,
    decks: Decks,
    output: Output,
    reading: Reading,
    configured: Configured,
    *,
    others: Sequence[Target] = (),
    earlier: str | None = None,
) -> "tuple[Ranking, Mapping[str, str]]":
    """Read and judge a table, once it is sure that the result can be written.

    Parameters
    ----------
    table : str
        Path, or ``"-"`` for standard input.
    judging, decks, output, reading, configured
        What was asked for.
    others : sequence of Target, optional
        Files to write besides the result.
    earlier : str, optional
        Path of an earlier ranking that is read too.

    Returns
    -------
    tuple of Ranking and mapping of str to str
        The judged pool, and where each setting came from.
    """
    demand_output(
        output,
        table,
        decks.archetypes,
        configured=configured,
        others=others,
        earlier=earlier,
    )
    settled = resolved(table, judging, configured)
    cards = read_table(table, reading, configured)
    of_decks = whole_decks(decks, reading, configured)
    from winrate_tools.cli.players import players_named
    from winrate_tools.ranking import rank

    with players_named(cards, settled.origins):
        return rank(cards, settled.settings, archetypes=of_decks), settled.origins


def demand_output(
    output: Output,
    *tables: str | None,
    configured: Configured,
    others: Sequence[Target] = (),
    earlier: str | None = None,
) -> None:
    """Refuse an output that cannot be written, before anything is read.

    Parameters
    ----------
    output : Output
        Where the result goes and in which format.
    *tables : str or None
        The tables that are read, the one that a configuration may stand beside first.
    configured : Configured
        Which configuration files count.
    others : sequence of Target, optional
        Files to write besides the result.
    earlier : str, optional
        Path of an earlier ranking that is read too.

    Raises
    ------
    OutputError
        If it is one of the files that are read, exists and may not go, has no folder, or its
        ending promises a format that is not written; or if two outputs are one file.
    SettingError
        If a configuration file is asked for and not there.
    """
    read: dict[str, Sequence[str | Path]] = {
        "table": [table for table in tables if table is not None],
        "configuration": _configuration(next(iter(tables), None), configured),
        "earlier ranking": [earlier] if earlier else [],
    }
    demand_targets([Target("-o", output.output), *others], read, force=output.force)
    output.chosen()


def tell_notes(ranking: "Ranking") -> None:
    """Say what was assumed on reading and what limits the verdicts."""
    from winrate_tools.report.cards.cautions import cautions

    for note in (*ranking.source.notes, *cautions(ranking.verdict)):
        say(f"note: {note}")


def resolved(table: str | None, judging: Judging, configured: Configured) -> Resolved:
    """Settle every setting for a table.

    Parameters
    ----------
    table : str or None
        Path of the table, beside which a configuration may stand.
    judging : Judging
        What the command line says.
    configured : Configured
        Which files count.

    Returns
    -------
    Resolved
    """
    files = _configuration(table, configured)
    return resolve(asdict(judging), environment=os.environ, files=files)


def _configuration(table: str | None, configured: Configured) -> list[Path]:
    return files_for(table, config=configured.config, no_config=configured.no_config)
