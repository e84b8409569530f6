"""The command ``packs``: what a table that drafts from a pool gets to see."""

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.asking import ask, can_ask
from winrate_tools.cli.judging import demand_output
from winrate_tools.cli.loading import STDIN, demand_file, mapped, reading_options
from winrate_tools.cli.misuse import count
from winrate_tools.cli.options import Configured, Output, PlainReading
from winrate_tools.cli.output import say
from winrate_tools.cli.signature import with_options
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.decide.packs.exposure import PacksSeen
    from winrate_tools.pools import PoolTable

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
            help="List the N cards likeliest to be dealt [default: 10; CSV, JSON: all].",
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
    from winrate_tools.jobs.packs import packs as packs_of
    from winrate_tools.report.packs.packs_records import packs_csv, packs_json

    places = places_asked(dealing.slot or [])
    table = read_pool_file(pool, reading, configured)
    answer = packs_of(table, dealing.seats, dealing.packs, dealing.size, places=places)
    seen, cards = answer.found, answer.found.cards[: dealing.top]
    deliver_result(
        output,
        lambda: replace(answer, shown=dealing.top or answer.shown).document,
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
    from winrate_tools.ingest.tables.pools import inspect_pool

    columns, options = mapped(reading.columns or []), reading_options(reading, configured)
    found = inspect_pool(pool, columns=columns, **options)
    if found.unclear is not None and can_ask(pool):
        found = inspect_pool(pool, columns={**columns, **ask(found.unclear)}, **options)
    return found.sound_table()
