"""Read candidates for a pool: their labels as in a pool, and a record or a guess of each."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from winrate_tools.ingest.checks.check import Columns, check_rows
from winrate_tools.ingest.checks.duplicates import add_up
from winrate_tools.ingest.checks.findings import Finding, first_few
from winrate_tools.ingest.checks.inspection import TableInspection, inspected
from winrate_tools.ingest.roles.kinds import CANDIDATES
from winrate_tools.ingest.roles.mapping import ColumnChoice
from winrate_tools.ingest.tables.cards import Built, Sifted, sift
from winrate_tools.ingest.tables.evidence import STEPS, candidate, demand_evidence, has_record
from winrate_tools.ingest.tables.pool_columns import PoolCards
from winrate_tools.ingest.text.sheet import Sheet
from winrate_tools.ingest.text.source import CardSource, load
from winrate_tools.pools import CandidateTable
from winrate_tools.tables import Numbers, Source

CandidateInspection = TableInspection[CandidateTable]


def read_candidates(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> CandidateTable:
    r"""Read a list of candidates, one row a card.

    Each needs a record (games, wins or win rate, and the baseline of where it was measured), a
    guess (weaker, like or stronger than the pool's usual card, with a spread if wished), or
    both: the guess is then where the record starts from.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `winrate_tools.ingest.tables.read.read_cards`; the roles are those of
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
    return inspect_candidates(
        source,
        columns=columns,
        decimal=decimal,
        skip_bad=skip_bad,
        sum_duplicates=sum_duplicates,
        use_memory=use_memory,
        name=name,
    ).sound_table()


def inspect_candidates(
    source: CardSource,
    *,
    columns: Mapping[str, ColumnChoice] | None = None,
    decimal: str | None = None,
    skip_bad: bool = False,
    sum_duplicates: bool = False,
    use_memory: bool = True,
    name: str | None = None,
) -> CandidateInspection:
    """Read a list of candidates and tell everything about it, be it usable or not.

    Parameters
    ----------
    source, columns, decimal, skip_bad, sum_duplicates, use_memory, name
        As in `read_candidates`.

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

    def build(sheet: Sheet, where: dict[str, int], kept: Source) -> Built[CandidateTable]:
        return _built(
            check_rows(sheet, where, STEPS, total="games"), kept, skip_bad, sum_duplicates
        )

    loaded = load(source, name=name)
    return inspected(
        loaded, CANDIDATES, build, columns=columns, decimal=decimal, use_memory=use_memory
    )


def _built(
    columns: Columns, source: Source, skip_bad: bool, sum_duplicates: bool
) -> Built[CandidateTable]:
    columns = demand_evidence(columns)
    cards = PoolCards.of(columns)
    source = replace(source, notes=(*source.notes, *cards.archetypes.notes))
    sifted = sift(columns, source, skip_bad=skip_bad, sum_duplicates=sum_duplicates)
    mixed = [*_mixed(columns, sifted)]
    if sifted.problems or mixed:
        problems = sifted.problems or tuple(found.problem for found in mixed)
        return Built(None, problems, sifted.notes)
    summed = replace(columns, numbers=_added_up(columns, sifted))
    notes = (*sifted.notes, *_copies_assumed(columns, sifted))
    table = CandidateTable(
        [candidate(summed, cards, row, _copies(summed, row)) for row in sifted.kept],
        replace(source, notes=notes),
        places=[columns.view.place_of(row) for row in sifted.kept],
    )
    return Built(table, (), notes)


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
