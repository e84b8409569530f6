"""The command ``packs``: what a table that drafts from a pool gets to see."""

import re
import sys
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Any

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.asking import ask, can_ask
from winrate_tools.cli.loading import STDIN, demand_file, demand_output, mapped
from winrate_tools.cli.misuse import count
from winrate_tools.cli.options import Configured, Output, PlainReading
from winrate_tools.cli.output import say
from winrate_tools.cli.signature import with_options
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.decide.packs.exposure import PacksSeen
    from winrate_tools.ingest.tables.pools import PoolInspection
    from winrate_tools.pools import PoolTable

SHOWN = 10
"""Cards that are listed for people; programs get all."""
FEWEST_SEATS = 2


def whole(text: str | int) -> int:
    """Take a whole number; a default is one already."""
    if not re.fullmatch(r"-?\d{1,18}", str(text)):
        msg = f"must be a whole number, got {text!r}"
        raise typer.BadParameter(msg)
    return int(text)


PoolOption = Annotated[
    str,
    typer.Option(
        "--pool",
        metavar="FILE",
        help="CSV, TSV or Parquet file of the pool; - for standard input.",
    ),
]


@dataclass(frozen=True, slots=True)
class Dealing:
    """Who is dealt what."""

    seats: Annotated[int, typer.Option(parser=whole, metavar="N", help="Players, from 2.")]
    packs: Annotated[
        int,
        typer.Option(parser=whole, metavar="N", help="Packs that each player opens."),
    ] = 3
    size: Annotated[int, typer.Option(parser=whole, metavar="N", help="Cards of a pack.")] = 15
    slot: Annotated[
        list[str] | None,
        typer.Option(
            "--slot",
            metavar="NAME=PLACES",
            help="How many cards of a pack come from a special slot of the pool, 0 for none; "
            "repeatable [default: 1 from each].",
        ),
    ] = None
    top: Annotated[
        int | None,
        typer.Option(
            parser=count,
            metavar="N",
            help=f"List the N cards likeliest to be dealt [default: {SHOWN}; CSV, JSON: all].",
        ),
    ] = None


@with_options
def packs(
    pool: PoolOption,
    dealing: Dealing,
    output: Output,
    reading: PlainReading,
    configured: Configured,
) -> None:
    """Say what a table sees of a pool: how much, which cards, and what a copy is worth.

    Example: winrate-tools packs --pool sample_data/pool.csv --seats 5 --packs 3 --size 15
    """
    demand_output(output, pool, configured=configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.decide.packs.packs import packs_seen
    from winrate_tools.report.packs.packs_records import packs_csv, packs_json
    from winrate_tools.report.packs.packs_section import packs_report
    from winrate_tools.stats.packs.exposure import Draft

    draft = Draft(dealing.seats, dealing.packs, dealing.size)
    places = places_asked(dealing.slot or [])
    table = read_pool_file(pool, reading, configured)
    seen = packs_seen(table, draft, places)
    cards = seen.cards[: dealing.top]
    deliver_result(
        output,
        packs_report(seen, table.source.name, dealing.top or SHOWN),
        csv=lambda: packs_csv(cards),
        json=lambda: packs_json(seen, cards, table.source, version=__version__),
    )
    for note in table.source.notes:
        say(f"note: {note}")
    served = served_instead(dealing, seen)
    if pool == STDIN or served is None:
        return
    again = tell_again("packs", f"--pool={pool}", served, reading, configured)
    if seen.is_enough:
        say(f"next: every card, for a spreadsheet: {again} -o packs.csv")
    else:
        say(f"next: a table that the pool serves: {again}")


def served_instead(dealing: Dealing, seen: "PacksSeen") -> Dealing | None:
    """Return the table asked for, with every card, or the nearest one that the pool serves.

    Parameters
    ----------
    dealing : Dealing
        What was asked for.
    seen : PacksSeen
        What came of it.

    Returns
    -------
    Dealing or None
        With fewer seats, else with fewer packs; None if neither will do.
    """
    if seen.is_enough:
        return replace(dealing, top=None)
    if seen.most_seats >= FEWEST_SEATS:
        return replace(dealing, seats=seen.most_seats)
    return replace(dealing, packs=seen.most_packs) if seen.most_packs else None


def places_asked(pairs: list[str]) -> dict[str, int]:
    """Understand ``NAME=PLACES`` pairs.

    Examples
    --------
    >>> places_asked(["lantern=1", "double moth=0"])
    {'lantern': 1, 'double moth': 0}
    """
    places: dict[str, int] = {}
    for pair in pairs:
        name, _, number = (part.strip() for part in pair.rpartition("="))
        if not (name and re.fullmatch(r"\d{1,18}", number)):
            msg = f"--slot must be NAME=PLACES with a whole number of places, got {pair!r}"
            raise SettingError(msg)
        if name in places:
            msg = f"--slot names the slot {name} twice"
            raise SettingError(msg)
        places[name] = int(number)
    return places


def read_pool_file(pool: str, reading: PlainReading, configured: Configured) -> "PoolTable":
    """Read a pool, asking which column is which where nobody can tell.

    Parameters
    ----------
    pool : str
        Path, or ``"-"`` for standard input.
    reading : PlainReading
        How to read it.
    configured : Configured
        Whether kept columns count.

    Returns
    -------
    PoolTable

    Raises
    ------
    MappingError
        If nobody can tell which column is which, and nobody answers.
    TableError
        If the file cannot be read as a pool.
    SettingError
        If there is no such file.
    """
    demand_file(pool)
    data: Any = sys.stdin.buffer.read() if pool == STDIN else pool
    columns = mapped(reading.columns or [])
    found = _inspected(data, columns, reading, configured)
    if found.unclear is not None and can_ask(pool):
        found = _inspected(data, {**columns, **ask(found.unclear)}, reading, configured)
    return found.sound_table()


def _inspected(
    data: Any, columns: dict[str, str | int], reading: PlainReading, configured: Configured
) -> "PoolInspection":
    from winrate_tools.ingest.tables.pools import inspect_pool

    return inspect_pool(
        data,
        columns=columns,
        decimal=reading.decimal,
        skip_bad=reading.skip_bad,
        sum_duplicates=reading.sum_duplicates,
        use_memory=not configured.no_config,
        name="<stdin>" if isinstance(data, bytes) else None,
    )
