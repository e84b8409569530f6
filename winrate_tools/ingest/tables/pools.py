"""Read a pool: which cards it holds, how many copies, and what a plan must know of them."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from winrate_tools.ingest.checks.check import Columns, check_rows
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.roles.kinds import POOL
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.roles.view import rows_where
from winrate_tools.ingest.tables.cards import Built, Sifted, sift
from winrate_tools.ingest.tables.pool_columns import (
    PoolCards,
    read_copies,
    read_price_and_protection,
)
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import CardSource, load
from winrate_tools.pools import PoolTable
from winrate_tools.tables import Source

PoolInspection = TableInspection[PoolTable]
STEPS = (read_copies, read_price_and_protection)
WRITE_COPIES = "write how many copies the pool has, 0 for none; or use --skip-bad"


def read_pool(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> PoolTable:
    r"""Read a pool, one row a card.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `winrate_tools.ingest.tables.read.read_cards`; the roles are those of
        `winrate_tools.columns.POOL_ROLES`.
        Prices may carry a sign and a decimal comma; `protected` is yes or no in several
        languages; `archetypes` is a list in one cell, parted by semicolons or bars; with
        `sum_duplicates` the copies of a card that is listed twice are added up.

    Returns
    -------
    PoolTable
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
    >>> pool = read_pool(b"Karte;Anzahl;Preis\nAsh Vine;3;0,40 EUR\nTin Moth;1;1,20 EUR\n")
    >>> pool.size, pool.cards[1].price
    (4, 1.2)
    """
    return inspect_pool(
        source,
        columns=columns,
        decimal=decimal,
        skip_bad=skip_bad,
        sum_duplicates=sum_duplicates,
        use_memory=use_memory,
        name=name,
    ).sound_table()


def inspect_pool(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> PoolInspection:
    """Read a pool and tell everything about it, be it usable or not.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `read_pool`.

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

    def build(sheet: Sheet, where: dict[str, int], kept: Source) -> Built[PoolTable]:
        return _built(
            check_rows(sheet, where, STEPS, total="copies"), kept, skip_bad, sum_duplicates
        )

    loaded = load(source, name=name)
    return inspected(
        loaded, POOL, build, columns=columns, decimal=decimal, use_memory=use_memory
    )


def _built(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[PoolTable]:
    columns = replace(columns, findings=(*columns.findings, *_without_copies(columns)))
    cards = PoolCards.of(columns)
    source = replace(source, notes=(*source.notes, *cards.archetypes.notes))
    sifted = sift(columns, source, skip_bad=skip_bad, sum_duplicates=sum_duplicates)
    if sifted.problems:
        return Built(None, sifted.problems, sifted.notes)
    copies = copies_with_repeats(columns, sifted)
    table = PoolTable(
        [cards.card(row, copies[row]) for row in sifted.kept],
        replace(source, notes=sifted.notes),
        places=[columns.view.place_of(row) for row in sifted.kept],
    )
    return Built(table, (), sifted.notes)


def copies_with_repeats(columns: Columns, sifted: Sifted) -> dict[int, int]:
    """Count the copies of each row, those of its repeats among them."""
    copies = {row: int(columns.numbers["copies"][row]) for row in sifted.rows}
    for row, first in sifted.repeats.items():
        copies[first] += copies[row]
    return copies


def _without_copies(columns: Columns) -> Iterator[Finding]:
    view = columns.view
    wrong = {found.row for found in columns.findings}
    for row in rows_where(np.isnan(columns.numbers["copies"])):
        if row in columns.rows and row not in wrong:
            message = "copies were wanted, got a blank cell"
            yield view.finding(row, "copies", message, WRITE_COPIES)
