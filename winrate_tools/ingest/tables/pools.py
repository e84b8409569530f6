"""Read a pool: which cards it holds, how many copies, and what a plan must know of them."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Unpack

import numpy as np

from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.findings import Finding
from winrate_tools.ingest.roles.kinds import POOL
from winrate_tools.ingest.roles.view import rows_where
from winrate_tools.ingest.tables.advice import advising_programs
from winrate_tools.ingest.tables.pool_columns import (
    PoolCards,
    read_copies,
    read_price_and_protection,
)
from winrate_tools.ingest.tables.reader import Reader
from winrate_tools.ingest.tables.reading import Reading
from winrate_tools.ingest.tables.sifting import Built, Sifted, sift
from winrate_tools.ingest.text.source import TableSource
from winrate_tools.pools import PoolTable
from winrate_tools.tables import Source

STEPS = (read_copies, read_price_and_protection)
WRITE_COPIES = "write how many copies the pool has, 0 for none; or use --skip-bad"


@advising_programs
def read_pool(source: TableSource, **reading: Unpack[Reading]) -> PoolTable:
    r"""Read a pool, one row a card.

    Parameters
    ----------
    source, **reading
        As in `winrate_tools.ingest.tables.cards.read_cards`; the roles are those of
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
    return inspect_pool(source, **reading).sound_table()


def _built(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[PoolTable]:
    columns = replace(columns, findings=(*columns.findings, *_without_copies(columns)))
    cards = PoolCards.of(columns)
    source = replace(source, notes=(*source.notes, *cards.archetypes.notes))
    return sift(columns, source, skip_bad, sum_duplicates).built(partial(_table, cards))


def _table(cards: PoolCards, sifted: Sifted) -> PoolTable:
    copies = copies_with_repeats(cards.columns, sifted)
    return PoolTable(
        [cards.card(row, copies[row]) for row in sifted.kept],
        sifted.source,
        places=[cards.columns.view.place_of(row) for row in sifted.kept],
    )


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


def _protection(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[dict[str, str]]:
    view = columns.view
    is_there = "protected" in view.where
    cells = view.sheet.grid.column(view.where["protected"]) if is_there else []

    def written(sifted: Sifted) -> dict[str, str]:
        return {view.card[row]: cells[row] for row in sifted.kept if is_there}

    return sift(columns, source, skip_bad, sum_duplicates).built(written)


inspect_pool = Reader(POOL, STEPS, "copies", _built).inspect
"""Read a pool and tell everything about it, be it usable or not."""
inspect_protection = Reader(POOL, STEPS, "copies", _protection).inspect
"""Read a pool for what its cells of `protected` say word for word, card to cell."""
