"""How many games it takes, and what a number of games can show."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.special import logit

from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.decide.cards.spread import spread_range
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.errors import SettingError
from winrate_tools.ranking import Ranking, chosen_of
from winrate_tools.report.support.power_pool import PoolBehind
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
QUARTERS = (0.25, 0.5, 0.75)
EIGHT_IN_TEN = (0.1, 0.9)
COLUMNS = ("gap", "games_needed", "games", "chance", "smallest_gap")
OF_A_POOL = ("cards_below", "cards_below_low", "cards_below_high")
"""Further columns where there is a pool: cards that lie so far below the line or farther."""


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
        return COLUMNS if self.found.pool is None else (*COLUMNS, *OF_A_POOL)

    @property
    def rows(self) -> list[dict[str, Any]]:
        """Every gap with every number of games."""
        found = self.found
        below = found.pool.below if found.pool else [()] * len(found.gaps)
        by_gap = zip(found.gaps, found.needed, found.told, below, strict=True)
        return [
            dict(zip(self.columns, (gap, needed, games, chance, smallest, *cards), strict=True))
            for gap, needed, told, cards in by_gap
            for games, chance, smallest in zip(found.games, told, found.smallest, strict=True)
        ]

    @property
    def document(self) -> "Document":
        """The report of the command `power`."""
        from winrate_tools.report.support.power_table import power_report

        return power_report(self.found)


@demanding_tables
def power(
    settings: Settings | None = None,
    *,
    ranking: Ranking | None = None,
    gaps: Sequence[float] = GAPS,
    games: Sequence[int] | None = None,
    **choices: Any,
) -> GamesNeeded:
    """Say how many games tell a weak card from a fine one, and what games can show.

    Parameters
    ----------
    settings : Settings, optional
        Baseline, margin, sureness and design effect are used; without a ranking, a baseline
        that is not a number is taken as 0.55. Those of the ranking if not given.
    ranking : Ranking, optional
        A judged pool, for its baseline and design effect where no others are chosen, for how
        many of its cards lie so far below the line, and for how many games they have.
    gaps : sequence of float, optional
        How far below the line, fractions above 0.
    games : sequence of int, optional
        Numbers of games of one card, at least 1; if not given, those that a quarter, half and
        three quarters of the ranking's cards have at most, or 100, 300, 1000 and 3000.
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
    chosen = chosen_of(settings or (ranking.settings if ranking else Settings()), choices)
    verdict = ranking.verdict if ranking else None
    usual = verdict.baseline if verdict else USUAL_BASELINE
    given = None if isinstance(chosen.baseline, str) else chosen.baseline
    effect = chosen.design_effect or (
        verdict.design_effect if verdict else DEFAULT_DESIGN_EFFECT
    )
    baseline = usual if given is None else given
    line, sure = baseline - chosen.margin_used, chosen.sure
    gaps = tuple(map(float, gaps))
    _demand_room(line, gaps)
    quarters = _quarters(verdict) if verdict and games is None else ()
    asked = tuple(map(int, dict.fromkeys(quarters) if games is None else games)) or GAMES
    _demand_games(asked)
    needed = games_to_tell(gaps, line, sure=sure, chance=ENOUGH, design_effect=effect)
    told = [chance_to_tell(asked, gap, line, sure=sure, design_effect=effect) for gap in gaps]
    smallest = smallest_gap(asked, line, sure=sure, chance=ENOUGH, design_effect=effect)
    table = PowerTable(
        baseline=baseline,
        margin=chosen.margin_used,
        is_given=given is not None,
        sure=sure,
        chance=ENOUGH,
        design_effect=effect,
        gaps=gaps,
        games=asked,
        needed=tuple(needed.tolist()),
        told=tuple(tuple(chances.tolist()) for chances in told),
        smallest=tuple(None if isnan(gap) else gap for gap in smallest.tolist()),
        pool=_behind(ranking, [line - gap for gap in gaps], quarters) if ranking else None,
    )
    return GamesNeeded(table)


def _quarters(verdict: PoolVerdict) -> tuple[int, ...]:
    """Count the games that a quarter, half and three quarters of the cards have at most."""
    games = [card.games for card in verdict.cards if card.games]
    return tuple(np.quantile(games, QUARTERS, method="lower").tolist()) if games else ()


def _behind(ranking: Ranking, marks: Sequence[float], quarters: tuple[int, ...]) -> PoolBehind:
    """Say how many cards of a judged pool lie below each of several win rates."""
    verdict = ranking.verdict
    beliefs, spread = verdict.beliefs, spread_range(verdict, EIGHT_IN_TEN[1])
    below = []
    for mark in marks:
        counts = np.sum(beliefs.draws < logit(mark) - logit(beliefs.mean), axis=1)
        low, high = np.quantile(counts, EIGHT_IN_TEN, method="nearest").tolist()
        below.append((float(beliefs.chance_below(mark).sum()), low, high))
    return PoolBehind(
        name=ranking.source.name,
        baseline_origin=verdict.baseline_origin,
        cards=len(verdict.cards),
        spread=verdict.spread,
        spread_range=(spread.spread_low, spread.spread_high),
        below=tuple(below),
        quarters=quarters,
        is_borrowed="few cards" in verdict.warnings,
    )


def _demand_games(games: Sequence[int]) -> None:
    for number in games:
        if number < 1:
            msg = f"games must be whole numbers from 1, got {number}"
            raise SettingError(msg)


def _demand_room(line: float, gaps: Sequence[float]) -> None:
    if line <= 0:
        msg = f"baseline less margin must leave a line above 0, got {100 * line:g}%"
        raise SettingError(msg)
    if not gaps:
        msg = "gaps must hold at least one distance below the line, got none"
        raise SettingError(msg)
    for gap in gaps:
        if not 0 < gap < line:
            msg = f"gaps must lie between 0 and the line of {100 * line:g}%, got {100 * gap:g}%"
            raise SettingError(msg)
