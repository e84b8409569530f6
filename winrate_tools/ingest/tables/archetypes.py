"""Read a table of archetypes: games and wins of whole decks."""

from functools import partial
from typing import Unpack

from winrate_tools.ingest.checks.check import STEPS, Columns
from winrate_tools.ingest.checks.duplicates import add_up
from winrate_tools.ingest.roles.kinds import ARCHETYPES
from winrate_tools.ingest.tables.advice import advising_programs
from winrate_tools.ingest.tables.reader import Reader
from winrate_tools.ingest.tables.reading import Reading
from winrate_tools.ingest.tables.sifting import Built, Sifted, sift
from winrate_tools.ingest.text.source import TableSource
from winrate_tools.tables import ArchetypeTable, Source


@advising_programs
def read_archetypes(source: TableSource, **reading: Unpack[Reading]) -> ArchetypeTable:
    r"""Read a table of whole decks, one row an archetype or one within a skill band.

    Parameters
    ----------
    source, **reading
        As in `winrate_tools.ingest.tables.cards.read_cards`; the roles are those of
        `winrate_tools.columns.ARCHETYPE_ROLES`, and losses.

    Returns
    -------
    ArchetypeTable
        Checked; its source holds the hash, the roles and every note.

    Raises
    ------
    MappingError
        If nobody can tell which column holds what, or which mark is the decimal mark.
    TableError
        If there is no such file, it is no table, or it has problems.
    SettingError
        If a role or the decimal mark is none.

    Examples
    --------
    >>> table = read_archetypes(b"Deck;Spiele;Siege\nKites;1.204;602\nMoths;90;41\n")
    >>> table.archetype, table.games.tolist()
    (('Kites', 'Moths'), [1204.0, 90.0])
    """
    return inspect_archetypes(source, **reading).sound_table()


def _built(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[ArchetypeTable]:
    return sift(columns, source, skip_bad, sum_duplicates).built(partial(_table, columns))


def _table(columns: Columns, sifted: Sifted) -> ArchetypeTable:
    numbers, labels = add_up(columns.numbers, columns.labels, sifted.repeats)
    kept = sifted.kept
    told = {role: [column[row] for row in kept] for role, column in labels.items()}
    return ArchetypeTable(
        [columns.view.card[row] for row in kept],
        numbers["games"][kept],
        numbers["wins"][kept],
        skill_band=told.get("skill_band"),
        factions=told.get("factions"),
        source=sifted.source,
    )


inspect_archetypes = Reader(ARCHETYPES, STEPS, "games", _built).inspect
"""Read a table of archetypes and tell everything about it, be it usable or not."""
