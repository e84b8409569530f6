"""Read candidates for a pool: their labels as in a pool, and a record or a guess of each."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Unpack

import numpy as np

from winrate_tools.ingest.checks.check import Columns
from winrate_tools.ingest.checks.duplicates import add_up
from winrate_tools.ingest.checks.findings import Finding, first_few
from winrate_tools.ingest.roles.kinds import CANDIDATES
from winrate_tools.ingest.tables.advice import advising_programs
from winrate_tools.ingest.tables.evidence import STEPS, candidate, demand_evidence, has_record
from winrate_tools.ingest.tables.pool_columns import PoolCards
from winrate_tools.ingest.tables.reader import Reader
from winrate_tools.ingest.tables.reading import Reading
from winrate_tools.ingest.tables.sifting import Built, Sifted, sift
from winrate_tools.ingest.text.source import TableSource
from winrate_tools.pools import CandidateTable
from winrate_tools.tables import Numbers, Source


@advising_programs
def read_candidates(source: TableSource, **reading: Unpack[Reading]) -> CandidateTable:
    r"""Read a list of candidates, one row a card.

    Each needs a record (games, wins or win rate, and the baseline of where it was measured), a
    guess (weaker, like or stronger than the pool's usual card, with a spread if wished), or
    both: the guess is then where the record starts from.

    Parameters
    ----------
    source, **reading
        As in `winrate_tools.ingest.tables.cards.read_cards`; the roles are those of
        `winrate_tools.columns.CANDIDATE_ROLES`, and losses.
        Copies are the most that can be had, 1 where the table does not say; with
        `sum_duplicates` the records of a card that is listed twice are added up, and its
        baseline is their mean, weighted by games.

    Returns
    -------
    CandidateTable
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
    >>> text = b"card,games,wins,baseline,guess\nAsh Vine,90,50,.54,\nTin Moth,,,,like\n"
    >>> [(one.card.card, one.wins, one.guess) for one in read_candidates(text).candidates]
    [('Ash Vine', 50, None), ('Tin Moth', None, 'like')]
    """
    return inspect_candidates(source, **reading).sound_table()


def _built(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[CandidateTable]:
    columns = demand_evidence(columns)
    cards = PoolCards.of(columns)
    source = replace(source, notes=(*source.notes, *cards.archetypes.notes))
    sifted = sift(columns, source, skip_bad, sum_duplicates)
    if mixed := tuple(found.problem for found in _mixed(columns, sifted)):
        return Built(None, mixed, sifted.source.notes)
    notes = (*sifted.source.notes, *_copies_assumed(columns, sifted))
    sifted = sifted._replace(source=replace(sifted.source, notes=notes))
    return sifted.built(partial(_table, cards))


def _table(cards: PoolCards, sifted: Sifted) -> CandidateTable:
    columns = replace(cards.columns, numbers=_added_up(cards.columns, sifted))
    return CandidateTable(
        [candidate(columns, cards, row, _copies(columns, row)) for row in sifted.kept],
        sifted.source,
        places=[columns.view.place_of(row) for row in sifted.kept],
    )


def _added_up(columns: Columns, sifted: Sifted) -> dict[str, Numbers]:
    """Add up the records of a card that is listed twice; its baselines weigh by games."""
    if not sifted.repeats:
        return columns.numbers
    record = {role: columns.numbers[role] for role in ("games", "wins", "baseline")}
    return {**columns.numbers, **add_up(record, {}, sifted.repeats)[0]}


def _mixed(columns: Columns, sifted: Sifted) -> Iterator[Finding]:
    """Report repeats that cannot be added up, as one of the two is a guess."""
    view = columns.view
    for row, first in sifted.repeats.items():
        if not (has_record(columns, row) and has_record(columns, first)):
            message = f"a guess cannot be added to {view.line_of(first)}"
            yield view.finding(row, "card", message, "delete one of the two lines")


def _copies(columns: Columns, row: int) -> int:
    copies = columns.numbers.get("copies")
    return 1 if copies is None or np.isnan(copies[row]) else int(copies[row])


def _copies_assumed(columns: Columns, sifted: Sifted) -> tuple[str, ...]:
    copies = columns.numbers.get("copies")
    blank = [] if copies is None else [row for row in sifted.kept if np.isnan(copies[row])]
    lines = first_few([columns.view.line_of(row) for row in blank])
    return (f"copies are not known, 1 was taken: {lines}",) if blank else ()


inspect_candidates = Reader(CANDIDATES, STEPS, "games", _built).inspect
"""Read a list of candidates and tell everything about it, be it usable or not."""
