"""The command ``plan``: which cards to swap, how many copies, and what that does."""

import datetime as dt
from dataclasses import asdict, dataclass
from pathlib import Path
from shlex import join
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.config_files import files_for
from winrate_tools.cli.forecasts import day, demand_journal, note_forecasts
from winrate_tools.cli.goals import resolve_goals
from winrate_tools.cli.judging import demand_output, judged, tell_notes
from winrate_tools.cli.loading import (
    STDIN,
    demand_one_stdin,
    further_table,
    mapped,
    reading_options,
)
from winrate_tools.cli.options import Configured, Decks, Judging, Output, Reading, TableArgument
from winrate_tools.cli.output import deliver, say
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.targets import Target, asked, demand_ending

if TYPE_CHECKING:
    from winrate_tools.pools import CandidateTable, PoolTable


@dataclass(frozen=True, slots=True)
class Cards:
    """The pool, the cards that might come in, and where the new pool goes."""

    pool: Annotated[
        str,
        typer.Option("--pool", metavar="FILE", help="The pool: one row a card, with copies."),
    ]
    candidates: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Cards that might come in, each with a record or a guess; without it only "
            "copies change.",
        ),
    ] = None
    new_pool: Annotated[
        str | None,
        typer.Option("--new-pool", metavar="FILE", help="Write the new pool too, as CSV."),
    ] = None
    journal: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="Journal to note the forecasts in, for update to hold against your games.",
        ),
    ] = None
    first: Annotated[
        dt.date | None,
        typer.Option(
            "--from", parser=day, metavar="DAY", help="First day of the new pool: 2026-01-31."
        ),
    ] = None
    pool_map: Annotated[
        list[str] | None,
        typer.Option(
            "--pool-map",
            metavar="ROLE=HEADER",
            help="Which column of the pool holds what; repeatable.",
        ),
    ] = None
    candidates_map: Annotated[
        list[str] | None,
        typer.Option(
            "--candidates-map",
            metavar="ROLE=HEADER",
            help="Which column of the candidates holds what; repeatable.",
        ),
    ] = None


@dataclass(frozen=True, slots=True)
class Aims:
    """What a plan keeps to; every default is None: nobody said."""

    changes: Annotated[
        str | None,
        typer.Option(
            metavar="N", help="The most copies that may come in, and go out [default: 20]."
        ),
    ] = None
    budget: Annotated[
        str | None, typer.Option(metavar="MONEY", help="Money for the cards that come in.")
    ] = None
    size: Annotated[
        str | None,
        typer.Option(
            metavar="N", help="Cards in the main part of the pool [default: as many as now]."
        ),
    ] = None
    copies: Annotated[
        str | None,
        typer.Option(
            metavar="LIMITS",
            help="Most copies of a card by rarity: 'common 3, rare 1' [default: as now].",
        ),
    ] = None
    keep: Annotated[
        str | None,
        typer.Option(
            metavar="LABELS",
            help="Counts that stay as they are: faction, rarity, role, or none "
            "[default: faction, rarity].",
        ),
    ] = None
    slack: Annotated[
        str | None,
        typer.Option(metavar="N", help="How far each kept count may move [default: 0]."),
    ] = None
    quotas: Annotated[
        list[str] | None,
        typer.Option(
            "--quota",
            metavar="LIMITS",
            help="A count to keep to, such as 'role guest 60-80'; repeatable.",
        ),
    ] = None


@with_options
def plan(
    table: TableArgument,
    cards: Cards,
    aims: Aims,
    judging: Judging,
    decks: Decks,
    output: Output,
    reading: Reading,
    configured: Configured,
) -> None:
    """Plan a new pool: what goes out and why, what comes in and how sure that is.

    Aims and their weights stand in winrate.toml, under [goals].

    Example: winrate-tools plan sample_data/cards_by_archetype.csv --pool sample_data/pool.csv \
    --candidates sample_data/candidates.csv -o plan.md --new-pool new_pool.csv
    """
    targets = asked(**{"new-pool": cards.new_pool})
    for target in targets:
        demand_ending(target, [".csv"])
    files = (table, decks.archetypes, cards.pool, cards.candidates)
    demand_output(output, *files, configured=configured, others=targets)
    demand_journal(cards.journal, cards.first, [Target("-o", output.output), *targets], files)
    demand_one_stdin(files)
    found = files_for(table, config=configured.config, no_config=configured.no_config)
    ranking, _ = judged(table, judging, decks, output, reading, configured)
    resolved = resolve_goals(asdict(aims), found)
    old, new = tables(cards, reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.jobs.plan import plan as planned
    from winrate_tools.report.plan.plan_records import plan_csv, plan_json
    from winrate_tools.report.plan.pool_file import pool_csv

    made = planned(ranking, old, new, resolved.goals)
    deliver_result(
        output,
        lambda: made.document,
        csv=lambda: plan_csv(made.found),
        json=lambda: plan_json(
            made.found,
            made.sources,
            resolved.goals,
            origins=resolved.origins,
            seed=ranking.settings.seed,
            version=__version__,
        ),
    )
    if cards.new_pool:
        marks = style_of(cards, reading, configured)
        deliver(pool_csv(made.found, *marks), cards.new_pool, force=output.force)
        say(f"wrote {cards.new_pool}")
    if cards.journal and cards.first:
        note_forecasts(made.found, ranking.archetypes, Path(cards.journal), cards.first)
    tell_notes(ranking)
    for note in (*old.source.notes, *new.source.notes):
        say(f"note: {note}")
    say(next_step(cards))


def next_step(cards: Cards) -> str:
    """Say what to do with a plan."""
    if not cards.new_pool:
        return "next: keep the new pool: the same command with --new-pool new_pool.csv"
    sheet = join(["winrate-tools", "changes", cards.pool, cards.new_pool, "-o", "changes.md"])
    packs = join(["winrate-tools", "packs", "--pool", cards.new_pool, "--seats", "8"])
    return f"next: the sheet for the table: {sheet}; what 8 seats get to see: {packs}"


def style_of(cards: Cards, reading: Reading, configured: Configured) -> tuple[str, str]:
    """Tell how the pool is written, so that the new one opens in the same spreadsheet.

    Returns
    -------
    tuple of str
        Delimiter and decimal mark; a pool of semicolons that shows no mark takes commas.
    """
    if cards.pool == STDIN:
        return ",", "."
    from winrate_tools.ingest.tables.pools import inspect_pool

    columns, options = mapped(cards.pool_map or []), reading_options(reading, configured)
    found = inspect_pool(cards.pool, columns=columns, **options)
    return found.delimiter, found.decimal or ("," if found.delimiter == ";" else ".")


def tables(
    cards: Cards, reading: Reading, configured: Configured
) -> "tuple[PoolTable, CandidateTable]":
    """Read the pool and the candidates.

    Returns
    -------
    tuple of PoolTable and CandidateTable
        No candidates if no file of them is named.

    Raises
    ------
    MappingError
        If nobody can tell which column is which.
    TableError
        If a file cannot be read as what it should be.
    SettingError
        If there is no such file.
    """
    from winrate_tools.ingest.tables.candidates import read_candidates
    from winrate_tools.ingest.tables.pools import read_pool
    from winrate_tools.pools import CandidateTable

    options = reading_options(reading, configured)
    pool = further_table(read_pool, cards.pool, cards.pool_map, "--pool-map", options)
    if cards.candidates is None:
        return pool, CandidateTable([])
    maps = cards.candidates_map
    return pool, further_table(
        read_candidates, cards.candidates, maps, "--candidates-map", options
    )
