"""The command ``archetypes``: which ones need help, and what cards drag or carry them."""

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.judging import demand_output, resolved
from winrate_tools.cli.loading import (
    demand_file,
    mapped,
    read_table,
    reading_options,
    tell_near_misses,
    whole_decks,
)
from winrate_tools.cli.options import (
    AllowanceOption,
    Configured,
    Decks,
    DesignEffectOption,
    Format,
    Judging,
    Output,
    Reading,
    SeedOption,
    SureOption,
    taking,
)
from winrate_tools.cli.output import STDIN, say, tell_notes
from winrate_tools.cli.signature import with_options
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.ingest.tables.cards import Inspection
    from winrate_tools.tables import ArchetypeTable, CardTable

    Tables = tuple[CardTable | None, ArchetypeTable | None]

TableArgument = Annotated[
    str,
    typer.Argument(
        metavar="TABLE",
        help="File of cards with a column of archetypes, or of archetypes; - for standard "
        "input.",
    ),
]


@dataclass(frozen=True, slots=True)
class Weighing:
    """What the verdicts on archetypes rest on; every default is None: nobody said."""

    margin: Annotated[
        str | None,
        taking(
            "POINTS",
            "How far from the mean still counts as fine, in percentage points [default: 2].",
        ),
    ] = None
    sure: SureOption = None
    measure: Annotated[
        str | None,
        taking("held|opening|deck", "Which games the cards' counts are of [default: held]."),
    ] = None
    allowance: AllowanceOption = None
    design_effect: DesignEffectOption = None
    seed: SeedOption = None


@with_options
def archetypes(
    table: TableArgument,
    decks: Decks,
    weighing: Weighing,
    output: Output,
    reading: Reading,
    configured: Configured,
) -> None:
    """Judge every archetype, split its strength, and name the cards that drag or carry it.

    Example: winrate-tools archetypes sample_data/cards_by_archetype.csv \
    --archetypes sample_data/archetypes.csv
    """
    demand_output(output, table, decks.archetypes, configured=configured)
    settled = resolved(table, Judging(**asdict(weighing)), configured)
    cards, of_decks = tables(table, decks, reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.jobs.archetypes import archetypes as judged
    from winrate_tools.report.archetypes.archetype_cautions import cautions
    from winrate_tools.report.archetypes.archetype_records import (
        archetypes_csv,
        archetypes_json,
    )

    answer = judged(cards, of_decks, settled.settings)
    pool, sources = answer.found, answer.sources
    deliver_result(
        output,
        lambda: answer.document,
        csv=lambda: archetypes_csv(pool),
        json=lambda: archetypes_json(
            pool, sources, settled.settings, origins=settled.origins, version=__version__
        ),
    )
    tell_notes(note for source in sources for note in source.notes)
    if output.chosen() is Format.CSV:
        tell_notes(cautions(pool))
    again = tell_again("rank", table, weighing, decks, reading, configured)
    if cards is not None and again:
        say(f"next: the cards one by one, with the same options: {again}")


def tables(table: str, decks: Decks, reading: Reading, configured: Configured) -> "Tables":
    """Read the table of cards, if it is one, and that of whole decks, if there is one.

    Raises
    ------
    SettingError
        If nothing names archetypes, or two tables do and none lists cards.
    """
    first = _first(table, reading, configured)
    if decks.archetypes is None:
        if first[0] is not None and first[0].archetype is None:
            msg = (
                f"{table} names no archetypes; say which column does with --map "
                "archetype=HEADER, or give games of whole decks with --archetypes FILE"
            )
            raise SettingError(msg)
        return first
    if first[0] is None:
        msg = f"--archetypes goes with a table of cards, and {table} lists archetypes itself"
        raise SettingError(msg)
    of_decks = whole_decks(decks, reading, configured)
    tell_near_misses(first[0], of_decks)
    return first[0], of_decks


def _first(table: str, reading: Reading, configured: Configured) -> "Tables":
    """Read TABLE as what it is: cards, or else archetypes."""
    demand_file(table)
    from winrate_tools.ingest.roles.kinds import ARCHETYPES
    from winrate_tools.ingest.tables.archetypes import inspect_archetypes
    from winrate_tools.ingest.tables.cards import inspect_cards
    from winrate_tools.ingest.text.source import load

    columns = mapped(reading.columns or [])
    options = {**reading_options(reading, configured), "columns": columns}
    data = load(table) if table == STDIN else table
    seen = inspect_cards(data, **options)
    if columns.keys() <= ARCHETYPES.roles.keys() and not _lists_cards(seen):
        other = inspect_archetypes(data, **options)
        if other.unclear is None:
            return None, other.sound_table()
    if table == STDIN or (seen.table is not None and not reading.remember):
        return seen.sound_table(), None
    return read_table(table, reading, configured), None


def _lists_cards(seen: "Inspection") -> bool:
    """Tell whether a table lists cards, and not archetypes beside some other text."""
    from winrate_tools.ingest.roles.vocabulary import role_of

    if seen.unclear is not None:
        return False
    labels = seen.table.archetype if seen.table is not None else None
    if labels is None or role_of(seen.roles["card"]) == "card":
        return True
    bands = seen.table.skill_band if seen.table is not None else None
    return len(set(zip(labels, bands or labels, strict=True))) < len(labels)
