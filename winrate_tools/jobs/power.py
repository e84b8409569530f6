"""How many games it takes, and what a number of games can show."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING, Any

from winrate_tools.answers import Answer
from winrate_tools.errors import SettingError
from winrate_tools.ranking import chosen_of
from winrate_tools.report.support.power_table import PowerTable
from winrate_tools.settings import Settings
from winrate_tools.stats.planning.power import chance_to_tell, games_to_tell, smallest_gap
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT

if TYPE_CHECKING:
    from winrate_tools.report.document import Document

USUAL_BASELINE = 0.55
"""Tables come from people who care to keep them, and who win more than they lose."""
ENOUGH = 0.8
GAPS = (0.01, 0.02, 0.03, 0.05)
GAMES = (100, 300, 1000, 3000)


@dataclass(frozen=True, slots=True)
class GamesNeeded(Answer):
    """What games can show.

    Attributes
    ----------
    found : PowerTable
        Chances to call a weak card, over gaps and games.
    """

    found: PowerTable

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, as in the CSV of the command `power`."""
        return ("gap", "games_needed", "games", "chance", "smallest_gap")

    @property
    def rows(self) -> list[dict[str, Any]]:
        """Every gap with every number of games."""
        found = self.found
        return [
            dict(zip(self.columns, (gap, needed, games, chance, smallest), strict=True))
            for gap, needed, told in zip(found.gaps, found.needed, found.told, strict=True)
            for games, chance, smallest in zip(found.games, told, found.smallest, strict=True)
        ]

    @property
    def document(self) -> "Document":
        """The report of the command `power`."""
        from winrate_tools.report.support.power_table import power_report

        return power_report(self.found)


def power(
    settings: Settings | None = None,
    *,
    gaps: Sequence[float] = GAPS,
    games: Sequence[int] = GAMES,
    **choices: Any,
) -> GamesNeeded:
    """Say how many games tell a weak card from a fine one, and what games can show.

    Parameters
    ----------
    settings : Settings, optional
        Baseline, margin, sureness and design effect are used; a baseline that is not a number
        is taken as 0.55.
    gaps : sequence of float, optional
        How far below the line, fractions above 0.
    games : sequence of int, optional
        Numbers of games of one card, at least 1.
    **choices
        Single fields of `Settings`; they win over `settings`.

    Returns
    -------
    GamesNeeded

    Raises
    ------
    SettingError
        If a choice is out of its bounds, or there is no room for the gaps below the line.

    Examples
    --------
    >>> needed = power(baseline=0.5, gaps=[0.02], games=[1000, 5000])
    >>> needed.to_frame()[["games_needed", "games"]].values.tolist()
    [[3716, 1000], [3716, 5000]]
    """
    chosen = chosen_of(settings or Settings(), choices)
    given = None if isinstance(chosen.baseline, str) else chosen.baseline
    baseline = USUAL_BASELINE if given is None else given
    effect = chosen.design_effect or DEFAULT_DESIGN_EFFECT
    line, sure = baseline - chosen.margin_used, chosen.sure
    _demand_room(line, gaps)
    needed = games_to_tell(gaps, line, sure=sure, chance=ENOUGH, design_effect=effect)
    told = [chance_to_tell(games, gap, line, sure=sure, design_effect=effect) for gap in gaps]
    smallest = smallest_gap(games, line, sure=sure, chance=ENOUGH, design_effect=effect)
    table = PowerTable(
        baseline=baseline,
        margin=chosen.margin_used,
        is_given=given is not None,
        sure=sure,
        chance=ENOUGH,
        design_effect=effect,
        gaps=tuple(gaps),
        games=tuple(games),
        needed=tuple(needed.tolist()),
        told=tuple(tuple(chances.tolist()) for chances in told),
        smallest=tuple(None if isnan(gap) else gap for gap in smallest.tolist()),
    )
    return GamesNeeded(table)


def _demand_room(line: float, gaps: Sequence[float]) -> None:
    if line <= 0:
        msg = f"baseline less margin must leave a line above 0, got {100 * line:g}%"
        raise SettingError(msg)
    for gap in gaps:
        if not 0 < gap < line:
            msg = f"gaps must lie between 0 and the line of {100 * line:g}%, got {100 * gap:g}%"
            raise SettingError(msg)
