"""The command ``tally``: game logs to a card table."""

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from shlex import join
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.loading import demand_file, mapped
from winrate_tools.cli.options import Format, Output, SkipBadOption, taking
from winrate_tools.cli.output import STDOUT, demand_apart, demand_target, say, tell_notes
from winrate_tools.cli.progress import progress_shown
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.values import numbers_parted
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.ingest.logs.games import Games
    from winrate_tools.ingest.logs.logs import LogTally
    from winrate_tools.report.document import Document
    from winrate_tools.tables import ArchetypeTable, CardTable

FEWEST_DECKS = 100
"""Decks from which a design effect is worth stating."""
COUNTED = ("archetype", "skill_band", "games", "wins", "unheld_games", "unheld_wins")

LogsArgument = Annotated[
    list[str],
    typer.Argument(
        metavar="LOG...", help="Game logs, CSV (gzip too) or Parquet; - for standard input."
    ),
]


@dataclass(frozen=True, slots=True)
class Counting:
    """How logs are read and counted."""

    columns: Annotated[
        list[str] | None,
        taking(
            "ROLE=HEADER",
            "Which column holds what: game, won, card, cards, held, player, skill, "
            "archetype, deck; repeatable.",
            "--map",
        ),
    ] = None
    skill_cuts: Annotated[
        str | None,
        taking("N,...", "Where a band of players ends and the next begins: 1200,1500."),
    ] = None
    skip_bad: SkipBadOption = False
    cache: Annotated[
        bool,
        typer.Option(
            "--cache", help="Keep a copy of each log in the user's cache, to read next time."
        ),
    ] = False
    cache_folder: Annotated[
        Path | None, taking("DIR", "Keep that copy in this folder instead.")
    ] = None

    @property
    def cuts(self) -> list[float]:
        """Where bands of players part, as numbers."""
        return numbers_parted("--skill-cuts", self.skill_cuts) if self.skill_cuts else []


@dataclass(frozen=True, slots=True)
class Besides:
    """What else may come of it."""

    archetypes: Annotated[
        str | None,
        taking("FILE", "Also write the games of whole decks, for rank --archetypes."),
    ] = None
    merge: Annotated[
        bool,
        typer.Option(
            "--merge", help="Add up tables that tally wrote, of cards or of archetypes."
        ),
    ] = False
    sql: Annotated[
        bool,
        typer.Option("--sql", help="Print the same count as a statement of SQL for DuckDB."),
    ] = False


@with_options
def tally(logs: LogsArgument, counting: Counting, besides: Besides, output: Output) -> None:
    """Count game logs into a card table, by archetype and skill band, held and unheld.

    Example: winrate-tools tally sample_data/games.csv -o cards.csv
    """
    _demand_outputs(logs, besides, output)
    if besides.merge:
        _deliver(_merged(logs), output)
    elif besides.sql:
        _print_sql(logs, counting)
    else:
        _tally(logs, counting, besides, output)


def _demand_outputs(logs: Sequence[str], besides: Besides, output: Output) -> None:
    for path in logs:
        demand_file(path)
    for target in (output.output, besides.archetypes or STDOUT):
        demand_apart(target, "log", logs)
        demand_target(target, force=output.force)
    output.chosen(Format.CSV)
    if besides.archetypes and Path(besides.archetypes) == Path(output.output):
        msg = "-o and --archetypes name the same file; each table needs its own"
        raise SettingError(msg)


def _tally(logs: Sequence[str], counting: Counting, besides: Besides, output: Output) -> None:
    counted = counted_logs(logs, counting)
    cards = counted.tally.card_table()
    effect = measured_effect(counted)
    _deliver(cards, output, games=counted.tally.games, design_effect=effect and effect[0])
    if besides.archetypes:
        _write_archetypes(counted, besides.archetypes, output)
    _tell(counted, cards, len(logs), effect)
    _tell_next(output, besides, effect, knows_hands=counted.tally.knows_hands)


def counted_logs(
    logs: Sequence[str], counting: Counting, *, each: "Callable[[Games], None] | None" = None
) -> "LogTally":
    """Count logs, showing how far it has come; `each` is told every batch of games."""
    from winrate_tools.ingest.logs.log_cache import cache_folder
    from winrate_tools.ingest.logs.logs import count_logs

    folder = counting.cache_folder or (cache_folder(os.environ) if counting.cache else None)
    with progress_shown("reading") as progress:
        return count_logs(
            logs,
            columns=mapped(counting.columns or []),
            skill_cuts=counting.cuts,
            skip_bad=counting.skip_bad,
            progress=progress,
            cache=folder,
            each=each,
        )


def _write_archetypes(counted: "LogTally", target: str, output: Output) -> None:
    from winrate_tools.cli.output import deliver
    from winrate_tools.report.cards import records

    rows = table_rows(counted.tally.archetype_table())
    deliver(records.rows_csv(rows), target, force=output.force)
    say(f"wrote {target}")


def measured_effect(counted: "LogTally") -> tuple[float, float] | None:
    """Measure the design effect of a log's decks, with its standard error."""
    from winrate_tools.stats.records.overdispersion import design_effect_from_decks

    runs = counted.tally.runs()
    if runs is None or len(runs.games) < FEWEST_DECKS or runs.games.max() < 2:
        return None
    effect = design_effect_from_decks(*runs)
    return effect, float(effect * (2 / len(runs.games)) ** 0.5)


def table_rows(table: "CardTable | ArchetypeTable") -> list[dict[str, object]]:
    """Lay a table of counts out as rows for a file; unknown is blank."""
    from winrate_tools.tables import CardTable

    name = "card" if isinstance(table, CardTable) else "archetype"
    roles = [name, *(r for r in COUNTED if r != name and getattr(table, r, None) is not None)]
    columns = [getattr(table, role) for role in roles]
    return [
        {role: _plain(cell) for role, cell in zip(roles, row, strict=True)}
        for row in zip(*columns, strict=True)
    ]


def _plain(cell: object) -> object:
    return int(cell) if isinstance(cell, float) else cell


def _deliver(table: "CardTable | ArchetypeTable", output: Output, **facts: object) -> None:
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report.cards import records

    rows = table_rows(table)
    deliver_result(
        output,
        lambda: counts_document(rows),
        csv=lambda: records.rows_csv(rows),
        json=lambda: records.object_json(version=__version__, **facts, rows=rows),
        default=Format.CSV,
    )


def counts_document(rows: "Sequence[Mapping[str, object]]") -> "Document":
    """Describe counts for people."""
    from winrate_tools.columns import CARD_ROLES
    from winrate_tools.report.document import Document, Section, Table, TableColumn

    columns = tuple(
        TableColumn(CARD_ROLES[role].heading, is_number=CARD_ROLES[role].kind == "count")
        for role in (rows[0] if rows else ())
    )
    cells = tuple(
        tuple(
            f"{cell:,}" if isinstance(cell, int) else str(cell or "") for cell in row.values()
        )
        for row in rows
    )
    return Document("Games counted", (Section("", (Table(columns, cells),) if rows else ()),))


def _merged(paths: Sequence[str]) -> "CardTable | ArchetypeTable":
    from winrate_tools.ingest.logs.merge import merged_archetypes, merged_cards
    from winrate_tools.ingest.roles.vocabulary import plain_role
    from winrate_tools.ingest.tables.archetypes import inspect_archetypes
    from winrate_tools.ingest.tables.cards import inspect_cards

    headers = inspect_cards(paths[0]).headers
    if "card" in {plain_role(header) for header in headers}:
        return merged_cards([inspect_cards(path).sound_table() for path in paths])
    return merged_archetypes([inspect_archetypes(path).sound_table() for path in paths])


def _print_sql(logs: Sequence[str], counting: Counting) -> None:
    from winrate_tools.ingest.logs.log_head import described_log
    from winrate_tools.ingest.logs.log_sql import log_sql

    for path in logs:
        head, roles = described_log(path, mapped(counting.columns or []))
        typer.echo(log_sql(path, head, roles, counting.cuts), nl=False)


def _tell(
    counted: "LogTally", cards: "CardTable", logs: int, effect: tuple[float, float] | None
) -> None:
    from winrate_tools.report.words import plural

    games, names = plural(counted.tally.games, "game"), plural(len(set(cards.card)), "card")
    say(f"counted {games} of {names} in {plural(logs, 'log')}")
    tell_notes(counted.notes)
    if effect is not None:
        say(
            f"note: games with one deck resemble each other: {effect[0]:.2f} of them, give or "
            f"take {effect[1]:.2f}, count as one independent game (design effect)"
        )


def _tell_next(
    output: Output, besides: Besides, effect: tuple[float, float] | None, *, knows_hands: bool
) -> None:
    if output.output == STDOUT:
        return
    words = ["winrate-tools", "rank", output.output]
    words += [] if knows_hands else ["--measure", "deck"]
    words += ["--archetypes", besides.archetypes] if besides.archetypes else []
    words += ["--design-effect", f"{effect[0]:.2f}"] if effect else []
    say(f"next: {join(words)}")
