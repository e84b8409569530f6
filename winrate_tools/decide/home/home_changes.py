"""Whether a change has worked, and when a table can know."""

import numpy as np
import numpy.typing as npt
from scipy.special import logit

from winrate_tools.decide.archetypes.archetype_verdicts import Call
from winrate_tools.decide.home.home_beliefs import EVEN, Home
from winrate_tools.decide.home.home_counts import Change
from winrate_tools.decide.home.home_verdicts import (
    Answer,
    ChangeOutlook,
    HomeArchetype,
    Milestone,
)
from winrate_tools.stats.planning.nights import ENOUGH, Lines, chance_settled

ANSWERS: dict[Call, Answer] = {
    "balanced": "yes",
    "underpowered": "no, too weak",
    "overpowered": "no, too strong",
    "unsettled": "cannot tell yet",
}
AHEAD = (5, 10, 25, 50, 100, 200)
"""Further nights that are looked at."""
SOON = 50
"""Further nights in which a wider margin should be settled."""
MARGINS = tuple(points / 100 for points in range(1, 11))


def change_outlooks(
    home: Home, archetypes: tuple[HomeArchetype, ...]
) -> tuple[ChangeOutlook, ...]:
    """Say of each change whether it has worked."""
    by_name = {one.archetype: one for one in archetypes}
    return tuple(
        _outlook(home, n, change, by_name[change.archetype])
        for n, change in enumerate(home.counts.changes)
    )


def _outlook(home: Home, n: int, change: Change, judged: HomeArchetype) -> ChangeOutlook:
    size = home.now.mean.shape[1]
    moved = np.eye(size)[[size - len(home.counts.changes) + n]]
    was_known = change.archetype in home.strangers
    answer = ANSWERS[judged.verdict]
    is_open = answer == "cannot tell yet"
    return ChangeOutlook(
        archetype=judged,
        date=change.date,
        answer=answer,
        forecast=change.forecast,
        chance_up=float(1 - home.now.of(moved).below(0.0)[0]) if was_known else None,
        ahead=_ahead(home, change, moved) if is_open else (),
        wider=_wider(home, change) if is_open else None,
        soon=round(SOON * home.games_a_night),
    )


def _ahead(home: Home, change: Change, moved: npt.NDArray[np.float64]) -> tuple[Milestone, ...]:
    """Look ahead; a direction that is known now can only be opened again: it is not asked."""
    place = home.counts.archetypes.index(change.archetype)
    direction = Lines(0.0, 0.0, home.sure, home.lines.balanced)
    is_asked = (
        change.archetype in home.strangers and not direction.settled(home.now.of(moved))[0]
    )

    def milestone(nights: int) -> Milestone:
        games = max(round(nights * home.games_a_night), 1)
        answered, known = (
            chance_settled(home.now, asked, home.a_game, games, lines, seed=home.seed)[0]
            for asked, lines in ((home.relative[[place]], home.lines), (moved, direction))
        )
        return Milestone(
            nights if home.counts.nights else None,
            games,
            float(answered),
            float(known) if is_asked else None,
        )

    return tuple(milestone(nights) for nights in AHEAD)


def _wider(home: Home, change: Change) -> float | None:
    """Find the smallest margin, wider than the one asked for, that some nights would settle."""
    asked = home.relative[[home.counts.archetypes.index(change.archetype)]]
    games = SOON * home.games_a_night
    for margin in MARGINS:
        lines = home.lines._replace(
            low=float(logit(EVEN - margin)), high=float(logit(EVEN + margin))
        )
        if lines.high > home.lines.high and (
            chance_settled(home.now, asked, home.a_game, games, lines, seed=home.seed)[0]
            >= ENOUGH
        ):
            return margin
    return None
