"""The next pool: what goes, what comes, how many copies, and how sure each choice is."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from winrate_tools.answers import Answer
from winrate_tools.arguments import demanding_tables
from winrate_tools.decide.plan.moves import Plan
from winrate_tools.decide.plan.plan import make_plan
from winrate_tools.goals import Goals
from winrate_tools.pools import CandidateTable, PoolTable
from winrate_tools.ranking import Ranking, chosen_of
from winrate_tools.tables import Source

if TYPE_CHECKING:
    from winrate_tools.report.document import Document


@dataclass(frozen=True, slots=True)
class PoolPlan(Answer):
    """A plan, with the goals and the sources that it came from.

    Attributes
    ----------
    found : Plan
        Moves, swaps, forecasts, and the new pool as ``found.pool``.
    goals : Goals
        Every aim and limit behind it.
    sources : tuple of Source
        Where the ranking, the pool and the candidates came from.
    """

    found: Plan
    goals: Goals
    sources: tuple[Source, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """Names of the columns, as in the CSV of the command `plan`."""
        from winrate_tools.report.plan.plan_records import COLUMNS

        return COLUMNS

    @property
    def rows(self) -> list[dict[str, Any]]:
        """One row a card that comes or goes, what goes out first."""
        from winrate_tools.report.plan.plan_records import row

        return [row(move) for move in self.found.moves]

    @property
    def document(self) -> "Document":
        """The report of the command `plan`."""
        from winrate_tools.report.plan.plan_sections import plan_report

        return plan_report(self.found, self.sources[1].name)


@demanding_tables
def plan(
    ranking: Ranking,
    pool: PoolTable,
    candidates: CandidateTable | None = None,
    goals: Goals | None = None,
    *,
    progress: Callable[[int], None] | None = None,
    **aims: Any,
) -> PoolPlan:
    """Plan a new pool within limits.

    Parameters
    ----------
    ranking : Ranking
        The judged cards.
    pool : PoolTable
        The pool as it is.
    candidates : CandidateTable, optional
        Cards that might come in; without them only copies change.
    goals : Goals, optional
        Every aim and limit at once; the defaults if not given.
    progress : callable, optional
        Told each time the plan has been made again, to see which choices survive, how often
        that was so far.
    **aims
        Single fields of `Goals`, such as ``changes=10`` or ``budget=40``; they win over
        `goals`.

    Returns
    -------
    PoolPlan
        The best plan for what is believed on average.

    Raises
    ------
    CountError
        If the tables do not fit together, or a candidate lacks a price under a budget.
    SettingError
        If a goal is out of its bounds, or the limits clash: with the least that has to give.

    Examples
    --------
    >>> from winrate_tools.pools import Candidate, PoolCard
    >>> from winrate_tools.ranking import rank
    >>> from winrate_tools.tables import CardTable
    >>> cards = CardTable(["Ash", "Tin", "Elm"], [4000] * 3, [1500, 2000, 2100])
    >>> pool = PoolTable([PoolCard(name, 2) for name in cards.card])
    >>> oars = CandidateTable([Candidate(PoolCard("Oar", 2), guess="like")])
    >>> made = plan(rank(cards), pool, oars, changes=2)
    >>> made.to_frame()[["card", "copies_before", "copies_after"]].values.tolist()
    [['Ash', 2, 0], ['Oar', 0, 2]]
    """
    chosen, new = chosen_of(goals or Goals(), aims), candidates or CandidateTable([])
    sources = (ranking.source, pool.source, new.source)
    found = make_plan(ranking.verdict, pool, new, chosen, progress)
    return PoolPlan(found, chosen, sources)
