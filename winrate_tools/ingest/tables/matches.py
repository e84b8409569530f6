"""Read matches of the user's own table: who met whom, and how many games each won."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Unpack

from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.sides import Sides, find_sides
from winrate_tools.ingest.roles.kinds import MATCHES
from winrate_tools.ingest.tables.advice import advising_programs
from winrate_tools.ingest.tables.match_columns import STEPS, MatchColumns
from winrate_tools.ingest.tables.reader import Reader
from winrate_tools.ingest.tables.reading import Reading
from winrate_tools.ingest.tables.sifting import Built, Sifted, sift
from winrate_tools.ingest.text.source import TableSource
from winrate_tools.matches import Match, MatchTable
from winrate_tools.tables import Source


@advising_programs
def read_matches(source: TableSource, **reading: Unpack[Reading]) -> MatchTable:
    r"""Read the matches of a table of players, one row a match.

    Parameters
    ----------
    source, **reading
        As in `winrate_tools.ingest.tables.cards.read_cards`; the roles are those of
        `winrate_tools.columns.MATCH_ROLES`, and ``day_first_date`` or ``month_first_date``
        in place of ``date`` where the column does not show its order. Players whose names
        differ in case or blanks only are one; a match that both players told is counted
        once; `cards` is a list in one cell, parted by semicolons or bars. Two players may
        meet twice, so that `sum_duplicates` finds nothing to add up.

    Returns
    -------
    MatchTable
        Checked; its source holds the hash, the roles and every note.

    Raises
    ------
    MappingError
        If nobody can tell which column holds what, or a date's day from its month.
    TableError
        If there is no such file, it is no table, or it has problems.
    SettingError
        If a role or the decimal mark is none.

    Examples
    --------
    >>> text = b"Spieler,Gegner,Siege,Niederlagen,Datum\nAda,Bo,2,1,31.1.2026\n"
    >>> match = read_matches(text).matches[0]
    >>> match.player, match.games_won, str(match.date)
    ('Ada', 2, '2026-01-31')
    """
    return inspect_matches(source, **reading).sound_table()


def _built(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[MatchTable]:
    told = MatchColumns.of(columns)
    sides = find_sides(told)
    columns = replace(told.columns, findings=(*told.columns.findings, *sides.findings))
    sifted = sift(columns, source, skip_bad, sum_duplicates)
    if not sifted.problems:
        notes = (*sifted.source.notes, *told.notes, *sides.notes)
        sifted = sifted._replace(source=replace(sifted.source, notes=notes))
    return sifted.built(partial(_table, told, sides))


def _table(told: MatchColumns, sides: Sides, sifted: Sifted) -> MatchTable:
    matches = dict(_matches(told, sides, sifted.rows))
    return MatchTable(
        list(matches.values()),
        sifted.source,
        places=[told.columns.view.place_of(row) for row in matches],
    )


def _matches(
    told: MatchColumns, sides: Sides, rows: tuple[int, ...]
) -> Iterator[tuple[int, Match]]:
    """Make the match of each row that does not retell another, with what both rows know."""
    other = {first: row for row, first in sides.retold.items()}
    for row in rows:
        if row not in sides.retold:
            match = told.match(row)
            yield row, match.joined(told.match(other[row])) if row in other else match


inspect_matches = Reader(MATCHES, STEPS, None, _built).inspect
"""Read matches and tell everything about them, be they usable or not."""
