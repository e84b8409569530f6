"""Read a card table: bytes in, a checked table or every problem out."""

from functools import partial
from pathlib import Path
from typing import Unpack

from winrate_tools.ingest.checks.check import STEPS, Columns
from winrate_tools.ingest.checks.duplicates import add_up
from winrate_tools.ingest.checks.inspection import TableInspection
from winrate_tools.ingest.large.size import is_large
from winrate_tools.ingest.roles.kinds import CARDS
from winrate_tools.ingest.tables.advice import advising_programs
from winrate_tools.ingest.tables.reader import Reader
from winrate_tools.ingest.tables.reading import Reading, with_known_options
from winrate_tools.ingest.tables.sifting import Built, Sifted, sift
from winrate_tools.ingest.text.source import TableSource
from winrate_tools.tables import LABELS, NUMBERS, CardTable, Source

Inspection = TableInspection[CardTable]


@advising_programs
def read_cards(source: TableSource, **reading: Unpack[Reading]) -> CardTable:
    r"""Read a table of cards, one row a card or a card within a stratum.

    Parameters
    ----------
    source : str, Path, bytes, binary file or frame
        A path, ``"-"`` for standard input, the bytes, or a file open for bytes: text with any
        usual delimiter, encoding and number style; gzip; Parquet. Or a frame of pandas, polars
        or Arrow, with the extra ``frames``.
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
    MissingExtraError
        If `source` is a frame and the library that reads it is not installed.
    SettingError
        If a role or the decimal mark is none.
    TypeError
        If there is no such option.

    Examples
    --------
    >>> table = read_cards(b"Karte;Spiele;Siege\nAsh Vine;1.204;602\nTin Moth;90;41\n")
    >>> table.card, table.games.tolist(), table.source.roles["wins"]
    (('Ash Vine', 'Tin Moth'), [1204.0, 90.0], 'Siege')
    """
    return inspect_cards(source, **reading).sound_table()


@with_known_options
def inspect_cards(source: TableSource, **reading: Unpack[Reading]) -> Inspection:
    """Read a table of cards, however large, and tell everything about it.

    Parameters
    ----------
    source, **reading
        As in `read_cards`; what is raised and returned is as in `Reader.inspect`.
    """
    if is_large(source):
        from winrate_tools.ingest.large.large import Choices, inspect_large

        seen = inspect_large(Path(str(source)), Choices(**reading))
        if seen is not None:
            return seen
    return Reader(CARDS, STEPS, "games", build_cards).inspect(source, **reading)


def build_cards(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[CardTable]:
    """Build the table of those rows that `sift` lets stand."""
    return sift(columns, source, skip_bad, sum_duplicates).built(partial(_table, columns))


def _table(columns: Columns, sifted: Sifted) -> CardTable:
    numbers, labels = add_up(columns.numbers, columns.labels, sifted.repeats)
    kept = sifted.kept
    cut: dict[str, object] = {role: numbers[role][kept] for role in NUMBERS if role in numbers}
    for role in LABELS:
        if role in labels:
            cut[role] = [labels[role][row] for row in kept]
    games, wins = cut.pop("games"), cut.pop("wins")
    names = [columns.view.card[row] for row in kept]
    return CardTable(names, games, wins, source=sifted.source, **cut)  # type: ignore[arg-type]
