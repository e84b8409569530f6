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
from winrate_tools.cli.judging import demand_output, judged, notes_on
from winrate_tools.cli.loading import (
    demand_one_stdin,
    further_table,
    mapped,
    reading_options,
)
from winrate_tools.cli.misplaced import Place, files_in_place
from winrate_tools.cli.options import (
    Configured,
    Decks,
    Judging,
    Output,
    Reading,
    TableArgument,
    columns_of,
    taking,
)
from winrate_tools.cli.output import STDIN, deliver, say, tell_notes
from winrate_tools.cli.own_output import keep_output_own
from winrate_tools.cli.progress import progress_shown
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.targets import Target, asked, demand_ending

if TYPE_CHECKING:
    from collections.abc import Callable

    from winrate_tools.decide.plan.moves import Plan
    from winrate_tools.goals import Goals
    from winrate_tools.pools import CandidateTable, PoolTable


@dataclass(frozen=True, slots=True)
class Cards:
    """The pool, the cards that might come in, and where the new pool goes."""

    pool: Annotated[str, taking("FILE", "The pool: one row a card, with copies.", "--pool")]
    candidates: Annotated[
        str | None,
        taking(
            "FILE",
            "Cards that might come in, each with a record or a guess; without it only "
            "copies change.",
        ),
    ] = None
    new_pool: Annotated[
        str | None, taking("FILE", "Write the new pool too, as CSV.", "--new-pool")
    ] = None
    journal: Annotated[
        str | None,
        taking(
            "FILE", "Journal to note the forecasts in, for update to hold against your games."
        ),
    ] = None
    first: Annotated[
        dt.date | None,
        typer.Option(
            "--from", parser=day, metavar="DAY", help="First day of the new pool: 2026-01-31."
        ),
    ] = None
    pool_map: Annotated[list[str] | None, columns_of("the pool", "--pool-map")] = None
    candidates_map: Annotated[
        list[str] | None, columns_of("the candidates", "--candidates-map")
    ] = None


@dataclass(frozen=True, slots=True)
class Aims:
    """What a plan keeps to; every default is None: nobody said."""

    changes: Annotated[
        str | None, taking("N", "The most copies that may come in, and go out [default: 20].")
    ] = None
    budget: Annotated[str | None, taking("MONEY", "Money for the cards that come in.")] = None
    size: Annotated[
        str | None, taking("N", "Cards in the main part of the pool [default: as many as now].")
    ] = None
    copies: Annotated[
        str | None,
        taking(
            "LIMITS", "Most copies of a card by rarity: 'common 3, rare 1' [default: as now]."
        ),
    ] = None
    keep: Annotated[
        str | None,
        taking(
            "LABELS",
            "Counts that stay as they are: faction, rarity, role, or none "
            "[default: faction, rarity].",
        ),
    ] = None
    slack: Annotated[
        str | None, taking("N", "How far each kept count may move [default: 0].")
    ] = None
    quotas: Annotated[
        list[str] | None,
        taking(
            "LIMITS", "A count to keep to, such as 'role guest 60-80'; repeatable.", "--quota"
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
    keep_output_own()
    targets = asked(**{"new-pool": cards.new_pool})
    for target in targets:
        demand_ending(target, [".csv"])
    files = (table, decks.archetypes, cards.pool, cards.candidates)
    demand_output(output, *files, configured=configured, others=targets)
    demand_journal(cards.journal, cards.first, [Target("-o", output.output), *targets], files)
    demand_one_stdin(files)
    found = files_for(table, configured)
    with files_in_place(
        Place("TABLE", table, "cards"),
        Place("--pool", cards.pool, "pool"),
        Place("--candidates", cards.candidates, "candidates"),
        Place("--archetypes", decks.archetypes, "archetypes"),
    ):
        ranking, _ = judged(table, judging, decks, output, reading, configured)
        resolved = resolve_goals(asdict(aims), found)
        old, new = tables(cards, reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.jobs.plan import plan as planned
    from winrate_tools.report.plan.plan_records import plan_csv, plan_json
    from winrate_tools.report.plan.pool_file import pool_csv

    with progress_shown("planning", _made_again(resolved.goals), patience=0) as progress:
        progress(0)
        made = planned(ranking, old, new, resolved.goals, progress=progress)
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
        delimiter, decimal, protected = style_of(cards, reading, configured)
        written = pool_csv(made.found, delimiter, decimal, headers_of(old), protected)
        deliver(written, cards.new_pool, force=output.force)
        say(f"wrote {cards.new_pool}")
    if cards.journal and cards.first:
        note_forecasts(made.found, ranking.archetypes, Path(cards.journal), cards.first)
    notes = (*old.source.notes, *new.source.notes, *in_pool_already(made.found))
    tell_notes((*notes_on(ranking), *notes))
    say(next_step(cards))


def _made_again(goals: "Goals") -> "Callable[[int], str]":
    return lambda done: f"made again {done} of {goals.resolves} times, to see what survives"


def in_pool_already(made: "Plan") -> tuple[str, ...]:
    """Say what becomes of candidates that are no new cards, if there are any."""
    from winrate_tools.report.plan.plan_words import some

    if not made.in_pool:
        return ()
    note = (
        f"in the pool already, so no new cards: {some(made.in_pool)}; what the candidates' "
        "file tells of them counts only where TABLE has no games of theirs"
    )
    return (note,)


def next_step(cards: Cards) -> str:
    """Say what to do with a plan."""
    if not cards.new_pool:
        return "next: keep the new pool: the same command with --new-pool new_pool.csv"
    sheet = join(["winrate-tools", "changes", cards.pool, cards.new_pool, "-o", "changes.md"])
    packs = join(["winrate-tools", "packs", "--pool", cards.new_pool, "--seats", "8"])
    return f"next: the sheet for the table: {sheet}; what 8 seats get to see: {packs}"


def style_of(
    cards: Cards, reading: Reading, configured: Configured
) -> tuple[str, str, dict[str, str]]:
    """Tell how the pool is written, so that the new one opens in the same spreadsheet.

    Returns
    -------
    tuple
        Delimiter and decimal mark; a pool of semicolons that shows no mark takes commas. Last,
        each card's cell of protection.
    """
    if cards.pool == STDIN:
        return ",", ".", {}
    from winrate_tools.ingest.tables.pools import inspect_protection

    columns, options = mapped(cards.pool_map or []), reading_options(reading, configured)
    found = inspect_protection(cards.pool, columns=columns, **options)
    decimal = found.decimal or ("," if found.delimiter == ";" else ".")
    return found.delimiter, decimal, found.table or {}


def headers_of(pool: "PoolTable") -> dict[str, str]:
    """Return the headers of a pool that say by themselves which role their column has.

    Others would have to be named again wherever the new pool is read.
    """
    from winrate_tools.ingest.roles.kinds import POOL
    from winrate_tools.ingest.roles.recognition import spoken

    told = pool.source.roles.items()
    return {role: header for role, header in told if spoken([header], POOL) == {role}}


def tables(
    cards: Cards, reading: Reading, configured: Configured
) -> "tuple[PoolTable, CandidateTable]":
    """Read the pool, and the candidates if a file of them is named."""
    from winrate_tools.ingest.tables.candidates import inspect_candidates
    from winrate_tools.ingest.tables.pools import inspect_pool
    from winrate_tools.pools import CandidateTable

    named = cards.pool, cards.pool_map, "--pool-map"
    pool = further_table(inspect_pool, *named, reading, configured)
    if cards.candidates is None:
        return pool, CandidateTable([])
    further = cards.candidates, cards.candidates_map, "--candidates-map"
    return pool, further_table(inspect_candidates, *further, reading, configured)
