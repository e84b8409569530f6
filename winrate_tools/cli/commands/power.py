"""The command ``power``: how many games it takes, and what a number of games can show."""

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.again import tell_again
from winrate_tools.cli.judging import demand_output, ranked, resolved
from winrate_tools.cli.loading import read_table
from winrate_tools.cli.options import (
    Configured,
    Judging,
    MarginOption,
    Output,
    Reading,
    SureOption,
    taking,
)
from winrate_tools.cli.output import say, tell_notes
from winrate_tools.cli.signature import with_options
from winrate_tools.cli.values import numbers_parted
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from winrate_tools.cli.configuration import Resolved
    from winrate_tools.jobs.power import GamesNeeded
    from winrate_tools.ranking import Ranking

TINY_GAP = 0.1
MOST_GAMES = 10_000_000
PLANNED = ("baseline", "margin", "sure", "design_effect")
"""Settings that bear on what games can show."""

TableArgument = Annotated[
    str | None,
    typer.Argument(
        metavar="TABLE",
        help="CSV, TSV or Parquet file of cards, for their baseline, spread and games; - for "
        "standard input.",
        show_default=False,
    ),
]


@dataclass(frozen=True, slots=True)
class Planning:
    """What games are to show."""

    baseline: Annotated[
        str | None,
        taking(
            "RATE", "Win rate of an average card: 0.55, 55 or 55% [default: TABLE's, else 55%]."
        ),
    ] = None
    margin: MarginOption = None
    sure: SureOption = None
    design_effect: Annotated[
        str | None,
        taking(
            "NUMBER", "How many games count as one independent game, from 1 [default: 1.28]."
        ),
    ] = None
    gaps: Annotated[
        str, taking("POINTS,...", "How far below the line, in percentage points.")
    ] = "1,2,3,5"
    games: Annotated[
        str | None,
        taking(
            "N,...",
            "Numbers of games of one card [default: as TABLE's cards have, else "
            "100,300,1000,3000].",
        ),
    ] = None


@with_options
def power(
    planning: Planning,
    output: Output,
    reading: Reading,
    configured: Configured,
    table: TableArgument = None,
) -> None:
    """Say how many games tell a weak card from a fine one, and what games can show.

    With a TABLE the baseline is that of its cards, which are counted by how far they lie below
    the line.

    Example: winrate-tools power sample_data/cards.csv --gaps 1,2,3,5
    """
    demand_output(output, table, configured=configured)
    asked = Judging(**{name: getattr(planning, name) for name in PLANNED})
    gaps = gaps_asked(planning.gaps)
    games = None if planning.games is None else games_asked(planning.games)
    ranking, settled = behind(table, asked, reading, configured)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.jobs.power import power as games_needed
    from winrate_tools.report.cards import records

    needed = games_needed(settled.settings, ranking=ranking, gaps=gaps, games=games)
    deliver_result(
        output,
        lambda: needed.document,
        csv=lambda: records.rows_csv(needed.rows),
        json=lambda: power_json(needed, ranking, settled.origins),
    )
    tell_notes(ranking.source.notes if ranking else ())
    rank = tell_again("rank", table or "TABLE", asked, reading, configured)
    if rank is not None:
        say(f"next: how many more games each card needs, or that games will not do: {rank}")


def behind(
    table: str | None, asked: Judging, reading: Reading, configured: Configured
) -> "tuple[Ranking | None, Resolved]":
    """Settle the settings, and judge the table if there is one.

    Raises
    ------
    SettingError
        If options say how to read a table that is not named.
    """
    settled = resolved(table, asked, configured)
    if table is None:
        if reading != Reading():
            msg = "nothing is read without a TABLE; name the file whose columns these are"
            raise SettingError(msg)
        return None, settled
    return ranked(read_table(table, reading, configured), settled), settled


def gaps_asked(text: str) -> tuple[float, ...]:
    """Understand points below the line, parted by commas.

    Examples
    --------
    >>> gaps_asked("1, 2.5")
    (0.01, 0.025)
    """
    points = numbers_parted("--gaps", text)
    for number in points:
        if 0 < number < TINY_GAP:
            wanted = f"did you mean {100 * number:g}?"
            msg = f"--gaps are in points, and {number:g} is tiny; {wanted}"
            raise SettingError(msg)
        if not 0 < number < 100:
            msg = f"--gaps must lie between 0 and 100 points, got {number:g}"
            raise SettingError(msg)
    return tuple(round(number / 100, 12) for number in points)


def games_asked(text: str) -> tuple[int, ...]:
    """Understand numbers of games, parted by commas.

    Examples
    --------
    >>> games_asked("100,3000")
    (100, 3000)
    """
    numbers = numbers_parted("--games", text)
    for number in numbers:
        if not (number.is_integer() and 1 <= number <= MOST_GAMES):
            msg = f"--games must be whole numbers from 1 to {MOST_GAMES:,}, got {number:g}"
            raise SettingError(msg)
    return tuple(int(number) for number in numbers)


def power_json(
    needed: "GamesNeeded", ranking: "Ranking | None", origins: "Mapping[str, str]"
) -> str:
    """Write what games can show for programs."""
    from winrate_tools.report.cards.records import object_json

    found = needed.found
    pool: dict[str, object] = {}
    if ranking is not None and found.pool is not None:
        origins = origins if found.is_given else {**origins, "baseline": "table"}
        pool = {
            "source": asdict(ranking.source),
            "cards": found.pool.cards,
            "spread": found.pool.spread,
            "spread_low": found.pool.spread_range[0],
            "spread_high": found.pool.spread_range[1],
        }
    return object_json(
        version=__version__,
        **pool,
        settings={
            name: {"value": getattr(found, name), "origin": origins[name]} for name in PLANNED
        },
        line=found.line,
        chance=found.chance,
        rows=needed.rows,
    )
