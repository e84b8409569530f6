"""The command ``update``: what the table's own games make of strangers' word."""

import datetime as dt
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.alike import folded
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.forecasts import day
from winrate_tools.cli.judging import demand_output, ranked, resolved
from winrate_tools.cli.loading import (
    demand_file,
    demand_one_stdin,
    further_table,
    read_table,
    whole_decks,
)
from winrate_tools.cli.misplaced import Place, files_in_place
from winrate_tools.cli.options import (
    Configured,
    Decks,
    Format,
    Judging,
    Output,
    Reading,
    TableArgument,
    columns_of,
    taking,
)
from winrate_tools.cli.output import STDIN, say, tell_notes
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.targets import Target, demand_targets
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.decide.home.home_counts import Change
    from winrate_tools.journal import JournalRow
    from winrate_tools.matches import MatchTable
    from winrate_tools.tables import ArchetypeTable, CardTable


@dataclass(frozen=True, slots=True)
class Played:
    """The table's own games, and what was changed for them."""

    matches: Annotated[
        str,
        taking(
            "FILE",
            "CSV, TSV or Parquet file of your own matches, a row each; - for standard input.",
        ),
    ]
    matches_map: Annotated[list[str] | None, columns_of("that file", "--matches-map")] = None
    changed: Annotated[
        list[str] | None,
        taking(
            "ARCHETYPE", "An archetype that is not what strangers played, or new; repeatable."
        ),
    ] = None
    since: Annotated[
        dt.date | None,
        typer.Option(
            parser=day,
            metavar="DAY",
            help="First day of what --changed names, as 2026-01-31 [default: all matches].",
        ),
    ] = None
    journal: Annotated[
        str | None,
        taking("FILE", "Journal of changes and forecasts; what was seen is filled in."),
    ] = None


@with_options
def update(
    table: TableArgument,
    played: Played,
    judging: Judging,
    decks: Decks,
    output: Output,
    reading: Reading,
    configured: Configured,
) -> None:
    """Fold your own games in: players, archetypes, cards, and whether a change has worked.

    Example: winrate-tools update sample_data/cards_by_archetype.csv \
    --archetypes sample_data/archetypes.csv --matches sample_data/home.csv \
    --changed "Floating Flowers"
    """
    demand_one_stdin((table, played.matches, decks.archetypes))
    demand_output(output, table, decks.archetypes, played.matches, configured=configured)
    kept, told = journal_rows(played, output, (table, decks.archetypes, played.matches))
    rows = (*kept, *told)
    settled = resolved(table, judging, configured)
    cards, of_decks, matches = tables(table, played, decks, reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.decide.home.journal import filled, reviews
    from winrate_tools.jobs.update import update as joined
    from winrate_tools.report.home.home_records import home_csv, home_json
    from winrate_tools.report.home.home_sections import cautions

    ranking = ranked(cards, settled, of_decks)
    answer = joined(ranking, matches, changes_told(played, rows))
    found = answer.found
    rows = filled(rows, found)
    answer = replace(answer, reviews=reviews(rows, answer.found))
    sources = [one.source for one in (cards, of_decks, matches) if one is not None]
    deliver_result(
        output,
        lambda: answer.document,
        csv=lambda: home_csv(found),
        json=lambda: home_json(
            found,
            answer.reviews,
            sources,
            settled.settings,
            origins=settled.origins,
            version=__version__,
        ),
    )
    if played.journal is not None:
        from winrate_tools.ingest.tables.journal import write_journal

        write_journal(Path(played.journal), rows, over=kept)
        say(f"wrote {played.journal}")
    tell_notes(note for source in sources for note in source.notes)
    if output.chosen() is Format.CSV:
        tell_notes(cautions(found))
    if not found.archetypes or played.changed or rows or played.matches == STDIN:
        return
    if again := tell_again("update", table, played, judging, decks, reading, configured):
        say(f"next: say what you rebuilt, and ask whether it worked: {again} --changed NAME")


def tables(
    table: str, played: Played, decks: Decks, reading: Reading, configured: Configured
) -> "tuple[CardTable, ArchetypeTable | None, MatchTable]":
    """Read strangers' cards, whole decks if there are any, and the table's own matches."""
    from winrate_tools.ingest.tables.matches import inspect_matches

    own = played.matches, played.matches_map, "--matches-map"
    with files_in_place(
        Place("TABLE", table, "cards"),
        Place("--matches", played.matches, "matches"),
        Place("--archetypes", decks.archetypes, "archetypes"),
    ):
        cards = read_table(table, reading, configured)
        of_decks = whole_decks(decks, reading, configured)
        return cards, of_decks, further_table(inspect_matches, *own, reading, configured)


def journal_rows(
    played: Played, output: Output, read: tuple[str | None, ...]
) -> "tuple[tuple[JournalRow, ...], tuple[JournalRow, ...]]":
    """Read the journal, if one is named, and make the rows of --changed and --since.

    Returns
    -------
    tuple of two tuples of JournalRow
        What the journal holds, and what is to be added to it.

    Raises
    ------
    OutputError
        If it is a table that is read, or the file that -o names.
    TableError
        If it makes no sense.
    CountError
        If --since lies before its last row.
    SettingError
        If --since has nothing to go with, or there is no journal and nothing to put in one.
    """
    if played.since is not None and not played.changed:
        msg = "--since goes with --changed, and nothing is named as changed"
        raise SettingError(msg)
    if played.journal is None:
        return (), ()
    targets = [Target("-o", output.output), Target("--journal", played.journal)]
    demand_targets(targets, {"table": read}, force=True)
    if played.since is None:
        demand_file(played.journal)
    from winrate_tools.ingest.tables.journal import read_journal
    from winrate_tools.journal import JournalRow, demand_in_order

    rows = read_journal(Path(played.journal))
    noted = {(folded(row.archetype), row.date) for row in rows}
    told = tuple(
        JournalRow(played.since, "rebuilt", name)
        for name in played.changed or ()
        if played.since is not None and (folded(name), played.since) not in noted
    )
    demand_in_order((*rows, *told))
    return rows, told


def changes_told(played: Played, rows: "tuple[JournalRow, ...]") -> "list[Change]":
    """List what was changed: what the journal says, and what the options add."""
    from winrate_tools.decide.home.home_counts import Change
    from winrate_tools.decide.home.journal import journal_changes

    noted = journal_changes(rows)
    names = {folded(change.archetype) for change in noted}
    told = [name for name in played.changed or () if folded(name) not in names]
    return [*noted, *(Change(name, played.since) for name in told)]
