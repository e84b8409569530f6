"""Fold a table's own games into what strangers' games say."""

from collections.abc import Sequence

import numpy as np
from scipy.special import expit

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.decide.home.home_archetypes import home_archetypes
from winrate_tools.decide.home.home_beliefs import EVEN, MOST_NIGHTS, Home, player_strengths
from winrate_tools.decide.home.home_cards import home_cards
from winrate_tools.decide.home.home_changes import change_outlooks
from winrate_tools.decide.home.home_counts import Change, HomeCounts, home_counts
from winrate_tools.decide.home.home_verdicts import HomeCaution, HomeUpdate
from winrate_tools.matches import MatchTable
from winrate_tools.stats.home.home import USUAL

FEW_GAMES = 30
"""Games below which hardly anything can move."""


def home_update(
    pool: PoolVerdict, matches: MatchTable, changes: Sequence[Change] = ()
) -> HomeUpdate:
    """Weigh a table's own games with strangers' word on archetypes and cards.

    Parameters
    ----------
    pool : PoolVerdict
        Strangers' word.
    matches : MatchTable
        The table's own games.
    changes : sequence of Change, optional
        Archetypes that are no longer what strangers played.

    Raises
    ------
    CountError
        If there is no game, or a match names an archetype that nobody knows.
    SettingError
        If a change makes no sense for these matches.

    Examples
    --------
    >>> from winrate_tools.decide.cards.judgement import judge
    >>> from winrate_tools.matches import Match
    >>> from winrate_tools.tables import ArchetypeTable, CardTable
    >>> cards = CardTable(["Ash Vine", "Tin Moth"], [4000, 4000], [1900, 2100])
    >>> decks = ArchetypeTable(["Kites", "Moths"], [5000, 5000], [2700, 2300])
    >>> played = [Match("Ada", "Bo", 20, 10, archetype="Kites", opponent_archetype="Moths")]
    >>> update = home_update(judge(cards, archetypes=decks), MatchTable(played))
    >>> [(one.archetype, one.verdict) for one in update.archetypes]
    [('Moths', 'unsettled'), ('Kites', 'unsettled')]
    """
    strangers = pool.archetypes
    known = None if strangers is None else [one.archetype for one in strangers.archetypes]
    counts = home_counts(matches, known, changes)
    home = Home(counts, strangers, pool.sure, pool.design_effect, pool.seed)
    archetypes = home_archetypes(home) if counts.archetypes else ()
    cards = home_cards(pool, home)
    seat, seat_low, seat_high = _seat(home)
    days = [match.date for match in counts.matches if match.date is not None]
    margin = float(expit(home.lines.high)) - EVEN
    return HomeUpdate(
        players=player_strengths(home),
        archetypes=archetypes,
        changes=change_outlooks(home, archetypes),
        cards=cards.cards,
        matches=len(counts.matches),
        games=int(counts.contests.games.sum()),
        nights=counts.nights,
        longest=round(MOST_NIGHTS * home.games_a_night),
        first=min(days, default=None),
        last=max(days, default=None),
        margin=margin,
        low_line=EVEN - margin,
        high_line=EVEN + margin,
        line=pool.line,
        sure=pool.sure,
        balanced=home.lines.balanced,
        seat=seat,
        seat_low=seat_low,
        seat_high=seat_high,
        doubt=EVEN * (1 - EVEN) * USUAL,
        usual=cards.usual,
        design_effect=home.design_effect,
        unknown_cards=cards.unknown,
        warnings=_warnings(home, cards.unknown),
    )


def _seat(home: Home) -> tuple[float, float, float] | tuple[None, None, None]:
    """Win rate of the first seat between equals, with its range."""
    if not home.counts.contests.seat.any():
        return None, None, None
    place = len(home.counts.players)
    worth = home.now.of(np.eye(home.now.mean.shape[1])[[place]])
    low, high = (worth.quantile(level)[0] for level in (1 - home.sure, home.sure))
    return float(expit(worth.centre[0])), float(expit(low)), float(expit(high))


def _warnings(home: Home, unknown: Sequence[str]) -> tuple[HomeCaution, ...]:
    counts = home.counts
    found: dict[HomeCaution, bool] = {
        "few games": counts.contests.games.sum() < FEW_GAMES,
        "no archetypes": not counts.decks.any(),
        "no dates": counts.nights is None,
        "no seats": not counts.contests.seat.any(),
        "unknown cards": bool(unknown),
        "never met": _is_split(counts),
    }
    return tuple(caution for caution, holds in found.items() if holds)


def _is_split(counts: HomeCounts) -> bool:
    """Tell whether some players never met the others, not even by way of third ones."""
    linked = np.linalg.matrix_power(
        (counts.met + counts.met.T + np.eye(len(counts.players)) > 0).astype(np.int64),
        len(counts.players),
    )
    return bool((linked == 0).any())
