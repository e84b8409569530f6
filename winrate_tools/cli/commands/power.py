"""The command ``power``: how many games it takes, and what a number of games can show."""

from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING, Annotated

import typer

from winrate_tools import __version__
from winrate_tools.cli.loading import demand_output, resolved
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
from winrate_tools.settings import Settings

if TYPE_CHECKING:
    from collections.abc import Mapping

    from winrate_tools.report.support.power_table import PowerTable

USUAL_BASELINE = 0.55
"""Tables come from people who care to keep them, and who win more than they lose."""
ENOUGH = 0.8
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
    found = power_table(settled.settings, gaps, games)
    from winrate_tools.cli.results import deliver_result
    from winrate_tools.report.cards import records
    from winrate_tools.report.support.power_table import power_report

    deliver_result(
        output,
        power_report(found),
        csv=lambda: records.rows_csv(power_rows(found)),
        json=lambda: power_json(found, settled.origins),
    )
    say("next: winrate-tools rank TABLE says how many games each of your cards still needs")


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


def power_table(
    settings: Settings, gaps: tuple[float, ...], games: tuple[int, ...]
) -> "PowerTable":
    """Work out what games can show.

    Parameters
    ----------
    settings : Settings
        Baseline, margin, how sure is sure enough, design effect.
    gaps : tuple of float
        How far below the line, fractions.
    games : tuple of int
        Numbers of games of one card.

    Returns
    -------
    PowerTable

    Raises
    ------
    SettingError
        If there is no room for the gaps below the line.
    """
    from winrate_tools.report.support.power_table import PowerTable
    from winrate_tools.stats.planning.power import chance_to_tell, games_to_tell, smallest_gap
    from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT

    given = None if isinstance(settings.baseline, str) else settings.baseline
    baseline = USUAL_BASELINE if given is None else given
    effect = settings.design_effect or DEFAULT_DESIGN_EFFECT
    line, sure = baseline - settings.margin_used, settings.sure
    _demand_room(line, max(gaps))
    needed = games_to_tell(gaps, line, sure=sure, chance=ENOUGH, design_effect=effect)
    told = [chance_to_tell(games, gap, line, sure=sure, design_effect=effect) for gap in gaps]
    smallest = smallest_gap(games, line, sure=sure, chance=ENOUGH, design_effect=effect)
    return PowerTable(
        baseline=baseline,
        margin=settings.margin_used,
        is_given=given is not None,
        sure=sure,
        chance=ENOUGH,
        design_effect=effect,
        gaps=gaps,
        games=games,
        needed=tuple(needed.tolist()),
        told=tuple(tuple(chances.tolist()) for chances in told),
        smallest=tuple(None if isnan(gap) else gap for gap in smallest.tolist()),
    )


def _demand_room(line: float, widest: float) -> None:
    if line <= 0:
        msg = f"baseline less margin must leave a line above 0, got {100 * line:g}%"
        raise SettingError(msg)
    if widest >= line:
        msg = f"--gaps must be less than the line of {100 * line:g}%, got {100 * widest:g}"
        raise SettingError(msg)


def power_rows(found: "PowerTable") -> list[dict[str, object]]:
    """List every gap with every number of games."""
    return [
        {
            "gap": gap,
            "games_needed": needed,
            "games": games,
            "chance": chance,
            "smallest_gap": smallest,
        }
        for gap, needed, chances in zip(found.gaps, found.needed, found.told, strict=True)
        for games, chance, smallest in zip(found.games, chances, found.smallest, strict=True)
    ]


def power_json(found: "PowerTable", origins: "Mapping[str, str]") -> str:
    """Write what games can show for programs."""
    from winrate_tools.report.cards.records import object_json

    return object_json(
        version=__version__,
        settings={
            name: {"value": getattr(found, name), "origin": origins[name]} for name in PLANNED
        },
        line=found.line,
        chance=found.chance,
        rows=power_rows(found),
    )
