"""The command ``power``: how many games it takes, and what a number of games can show."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.judging import demand_output, resolved
from winrate_tools.cli.options import (
    Configured,
    Judging,
    MarginOption,
    Output,
    SureOption,
)
from winrate_tools.cli.output import say
from winrate_tools.cli.signature import with_options
from winrate_tools.errors import SettingError

if TYPE_CHECKING:
    from collections.abc import Mapping

    from winrate_tools.jobs.power import GamesNeeded

TINY_GAP = 0.1
MOST_GAMES = 10_000_000
PLANNED = ("baseline", "margin", "sure", "design_effect")
"""Settings that bear on what games can show."""


@dataclass(frozen=True, slots=True)
class Planning:
    """What games are to show."""

    baseline: Annotated[
        str | None,
        typer.Option(
            metavar="RATE", help="Win rate of an average card: 0.55, 55 or 55% [default: 55%]."
        ),
    ] = None
    margin: MarginOption = None
    sure: SureOption = None
    design_effect: Annotated[
        str | None,
        typer.Option(
            metavar="NUMBER",
            help="How many games count as one independent game, from 1 [default: 1.28].",
        ),
    ] = None
    gaps: Annotated[
        str,
        typer.Option(
            metavar="POINTS,...", help="How far below the line, in percentage points."
        ),
    ] = "1,2,3,5"
    games: Annotated[
        str, typer.Option(metavar="N,...", help="Numbers of games of one card.")
    ] = "100,300,1000,3000"


@with_options
def power(planning: Planning, output: Output, configured: Configured) -> None:
    """Say how many games tell a weak card from a fine one, and what games can show.

    Example: winrate-tools power --baseline 55% --gaps 1,2,3,5 --games 100,1000
    """
    demand_output(output, configured=configured)
    asked = Judging(**{name: getattr(planning, name) for name in PLANNED})
    settled = resolved(None, asked, configured)
    gaps, games = gaps_asked(planning.gaps), games_asked(planning.games)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.jobs.power import power as games_needed
    from winrate_tools.report.cards import records

    needed = games_needed(settled.settings, gaps=gaps, games=games)
    deliver_result(
        output,
        lambda: needed.document,
        csv=lambda: records.rows_csv(needed.rows),
        json=lambda: power_json(needed, settled.origins),
    )
    say(
        "next: winrate-tools rank TABLE says how many games each of your cards still needs, or "
        "that games will not do"
    )


def gaps_asked(text: str) -> tuple[float, ...]:
    """Understand points below the line, parted by commas.

    Examples
    --------
    >>> gaps_asked("1, 2.5")
    (0.01, 0.025)
    """
    points = _numbers("--gaps", text)
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
    numbers = _numbers("--games", text)
    for number in numbers:
        if not (number.is_integer() and 1 <= number <= MOST_GAMES):
            msg = f"--games must be whole numbers from 1 to {MOST_GAMES:,}, got {number:g}"
            raise SettingError(msg)
    return tuple(int(number) for number in numbers)


def _numbers(option: str, text: str) -> list[float]:
    try:
        return [float(part) for part in text.split(",")]
    except ValueError:
        msg = f"{option} must be numbers parted by commas, got {text!r}"
        raise SettingError(msg) from None


def power_json(needed: "GamesNeeded", origins: "Mapping[str, str]") -> str:
    """Write what games can show for programs."""
    from winrate_tools.report.cards.records import object_json

    found = needed.found
    return object_json(
        version=__version__,
        settings={
            name: {"value": getattr(found, name), "origin": origins[name]} for name in PLANNED
        },
        line=found.line,
        chance=found.chance,
        rows=needed.rows,
    )
