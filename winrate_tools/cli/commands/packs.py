"""The command ``packs``: what a table that drafts from a pool gets to see."""

import re
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.judging import demand_output
from winrate_tools.cli.loading import inspected
from winrate_tools.cli.misuse import count
from winrate_tools.cli.options import Configured, Format, Output, PlainReading, taking
from winrate_tools.cli.output import STDIN, say, tell_notes
from winrate_tools.cli.signature import with_options
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from winrate_tools.decide.packs.exposure import PacksSeen

FEWEST_SEATS = 2
WITH_EVERY_CARD = (Format.CSV, Format.JSON)
"""Formats for programs, which get every card unless --top says otherwise."""


def whole(text: str | int) -> int:
    """Take a whole number; a default is one already."""
    if not re.fullmatch(r"-?\d{1,18}", str(text)):
        msg = f"must be a whole number, got {text!r}"
        raise typer.BadParameter(msg)
    return int(text)


PoolOption = Annotated[
    str, taking("FILE", "CSV, TSV or Parquet file of the pool; - for standard input.", "--pool")
]


@dataclass(frozen=True, slots=True)
class Dealing:
    """Who is dealt what."""

    seats: Annotated[int, typer.Option(parser=whole, metavar="N", help="Players, from 2.")]
    packs: Annotated[
        int, typer.Option(parser=whole, metavar="N", help="Packs that each player opens.")
    ] = 3
    size: Annotated[int, typer.Option(parser=whole, metavar="N", help="Cards of a pack.")] = 15
    slot: Annotated[
        list[str] | None,
        taking(
            "NAME=PLACES",
            "How many cards of a pack come from a special slot of the pool, 0 for none; "
            "repeatable [default: 1 from each].",
            "--slot",
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
    from winrate_tools.ingest.tables.pools import inspect_pool
    from winrate_tools.jobs.packs import packs as packs_of
    from winrate_tools.report.packs.packs_records import packs_csv, packs_json

    places = places_asked(dealing.slot or [])
    table = inspected(inspect_pool, pool, reading, configured).sound_table()
    answer = packs_of(table, dealing.seats, dealing.packs, dealing.size, places=places)
    seen, cards = answer.found, answer.found.cards[: dealing.top]
    deliver_result(
        output,
        lambda: replace(answer, shown=dealing.top or answer.shown).document,
        csv=lambda: packs_csv(cards),
        json=lambda: packs_json(seen, cards, table.source, version=__version__),
    )
    tell_notes(table.source.notes)
    served = served_instead(dealing, seen)
    if pool == STDIN or served is None:
        return
    again = tell_again("packs", f"--pool={pool}", served, reading, configured)
    listed = len(cards) if output.chosen() in WITH_EVERY_CARD else dealing.top or answer.shown
    if not seen.is_enough:
        say(f"next: a table that the pool serves: {again}")
    elif listed < len(seen.cards):
        say(f"next: every card, for a spreadsheet: {again} -o packs.csv")


def served_instead(dealing: Dealing, seen: "PacksSeen") -> Dealing | None:
    """Return the table asked for, with every card, or the nearest one that the pool serves.

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
