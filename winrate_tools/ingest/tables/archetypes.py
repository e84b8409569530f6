"""Read a table of archetypes: games and wins of whole decks."""

from collections.abc import Mapping

from winrate_tools.ingest.checks.check import Columns, check_cards
from winrate_tools.ingest.checks.duplicates import add_up
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.roles.kinds import ARCHETYPES
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.tables.cards import Built, sift
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import CardSource, load
from winrate_tools.tables import ArchetypeTable, Source

ArchetypeInspection = TableInspection[ArchetypeTable]


def read_archetypes(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> ArchetypeTable:
    r"""Read a table of whole decks, one row an archetype or one within a skill band.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `winrate_tools.ingest.tables.read.read_cards`; the roles are those of
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
    return inspect_archetypes(
        source,
        columns=columns,
        decimal=decimal,
        skip_bad=skip_bad,
        sum_duplicates=sum_duplicates,
        use_memory=use_memory,
        name=name,
    ).sound_table()


def inspect_archetypes(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> ArchetypeInspection:
    """Read a table of archetypes and tell everything about it, be it usable or not.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `read_archetypes`.

    Returns
    -------
    TableInspection
        What each column was taken for and why, all problems, and the table if it is sound.

    Raises
    ------
    TableError
        If there is no such file or it is no table of rows and cells.
    SettingError
        If a role or the decimal mark is none.
    """

    def build(sheet: Sheet, where: dict[str, int], kept: Source) -> Built[ArchetypeTable]:
        checked = check_cards(sheet, where)
        return _built(checked, kept, skip_bad=skip_bad, sum_duplicates=sum_duplicates)

    loaded = load(source, name=name)
    return inspected(
        loaded, ARCHETYPES, build, columns=columns, decimal=decimal, use_memory=use_memory
    )


def _built(
    columns: Columns, source: Source, *, skip_bad: bool, sum_duplicates: bool
) -> Built[ArchetypeTable]:
    sifted = sift(columns, source, skip_bad=skip_bad, sum_duplicates=sum_duplicates)
    if sifted.problems:
        return Built(None, sifted.problems, sifted.notes)
    numbers, labels = add_up(columns.numbers, columns.labels, sifted.repeats)
    kept = sifted.kept
    told = {role: [column[row] for row in kept] for role, column in labels.items()}
    table = ArchetypeTable(
        [columns.view.card[row] for row in kept],
        numbers["games"][kept],
        numbers["wins"][kept],
        skill_band=told.get("skill_band"),
        factions=told.get("factions"),
        source=Source(source.name, source.sha256, source.roles, sifted.notes),
    )
    return Built(table, (), sifted.notes)
