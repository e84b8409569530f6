"""Read a card table: bytes in, a checked table or every problem out."""

from collections.abc import Mapping
from pathlib import Path

from winrate_tools.ingest.checks.check import check_cards
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.large.large import Choices, inspect_large, is_large
from winrate_tools.ingest.roles.kinds import CARDS
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.tables.cards import Built, build_cards
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import CardSource, load
from winrate_tools.tables import CardTable, Source

__all__ = ["CardSource", "Inspection", "inspect_cards", "read_cards"]

Inspection = TableInspection[CardTable]


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
    return seen.sound_table()


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

    def build(sheet: Sheet, where: dict[str, int], kept: Source) -> Built[CardTable]:
        checked = check_cards(sheet, where)
        return build_cards(checked, kept, skip_bad=skip_bad, sum_duplicates=sum_duplicates)

    if is_large(source):
        said = Choices(columns, decimal, skip_bad, sum_duplicates, use_memory, name)
        seen = inspect_large(Path(str(source)), said)
        if seen is not None:
            return seen
    loaded = load(source, name=name)
    return inspected(
        loaded, CARDS, build, columns=columns, decimal=decimal, use_memory=use_memory
    )
