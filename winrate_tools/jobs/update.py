"""What a table's own games make of strangers' word."""

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.decide.home.home import home_update
from winrate_tools.decide.home.home_counts import Change
from winrate_tools.decide.home.home_verdicts import HomeUpdate
from winrate_tools.decide.home.journal import Review
from winrate_tools.matches import MatchTable
from winrate_tools.ranking import Ranking
from winrate_tools.tables import Source

if TYPE_CHECKING:
    from winrate_tools.report.document import Document


@dataclass(frozen=True, slots=True)
class HomeRanking(Answer):
    """Strangers' word and a table's own games, joined.

    Attributes
    ----------
    found : HomeUpdate
        Players, archetypes, cards, and whether a change has worked.
    sources : tuple of Source
        Where the ranking and the matches came from.
    reviews : tuple of Review
        Forecasts of a journal against what was seen.
    """

    found: HomeUpdate
    sources: tuple[Source, ...]
    reviews: tuple[Review, ...] = ()

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, as in the CSV of the command `update`."""
        from winrate_tools.report.home.home_records import COLUMNS

        return COLUMNS

    @property
    def rows(self) -> list[dict[str, Any]]:
        """One row a player, archetype and card."""
        from winrate_tools.report.home.home_records import home_rows

        return home_rows(self.found)

    @property
    def document(self) -> "Document":
        """The report of the command `update`."""
        from winrate_tools.report.home.home_sections import home_report

        return home_report(self.found, self.sources[-1].name, self.reviews)


@demanding_tables
def update(
    ranking: Ranking,
    matches: MatchTable,
    changed: Mapping[str, dt.date | None] | Sequence[Change] = (),
) -> HomeRanking:
    """Fold a table's own games in: players, archetypes, cards, and whether a change worked.

    Parameters
    ----------
    ranking : Ranking
        Strangers' word.
    matches : MatchTable
        The table's own games.
    changed : mapping of str to (datetime.date or None), or sequence of Change, optional
        Archetype that is not what strangers played, or new, to the first day of that; None
        for all matches. A `Change` holds what was forecast, too.

    Returns
    -------
    HomeRanking

    Raises
    ------
    CountError
        If there is no game, or a match names an archetype that nobody knows.
    SettingError
        If a change makes no sense for these matches.

    Examples
    --------
    >>> from winrate_tools.matches import Match
    >>> from winrate_tools.ranking import rank
    >>> from winrate_tools.tables import ArchetypeTable, CardTable
    >>> cards = CardTable(["Ash Vine", "Tin Moth"], [4000, 4000], [1900, 2100])
    >>> decks = ArchetypeTable(["Kites", "Moths"], [5000, 5000], [2700, 2300])
    >>> played = [Match("Ada", "Bo", 20, 10, archetype="Kites", opponent_archetype="Moths")]
    >>> joined = update(rank(cards, archetypes=decks), MatchTable(played), {"Moths": None})
    >>> joined.to_frame()["name"].tolist()
    ['Ada', 'Bo', 'Moths', 'Kites']
    """
    if isinstance(changed, Mapping):
        changed = [Change(name, _day(since)) for name, since in changed.items()]
    found = home_update(ranking.verdict, matches, changed)
    return HomeRanking(found, (ranking.source, matches.source))


def _day(since: dt.date | None) -> dt.date | None:
    """Return the day of a moment."""
    return since.date() if isinstance(since, dt.datetime) else since
