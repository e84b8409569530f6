"""What a table can and cannot support, from what it holds."""

from collections.abc import Iterable
from statistics import median

from winrate_tools.matches import MatchTable
from winrate_tools.pools import CandidateTable, PoolTable
from winrate_tools.report import words
from winrate_tools.report.document import Entry
from winrate_tools.report.support.match_support import match_support
from winrate_tools.report.support.pool_support import candidate_support, pool_support
from winrate_tools.tables import STRATA, ArchetypeTable, CardTable

AnyTable = CardTable | ArchetypeTable | PoolTable | CandidateTable | MatchTable

FEW_GAMES = 400
"""Here a raw win rate still has a standard deviation of 2.5 points: sqrt(0.25 / 400)."""


def support(table: AnyTable) -> tuple[Entry, ...]:
    """Say what the data can and cannot support, and what finer tables would buy.

    Parameters
    ----------
    table : CardTable, ArchetypeTable, PoolTable, CandidateTable or MatchTable
        A checked table.

    Returns
    -------
    tuple of Entry
        What there is of each thing that matters.
    """
    match table:
        case PoolTable():
            return pool_support(table)
        case CandidateTable():
            return candidate_support(table)
        case MatchTable():
            return match_support(table)
        case ArchetypeTable():
            return _archetypes(table)
    return (
        Entry("Games", _games(len(table.totals()), table.totals().games, "card")),
        Entry("Use", _use(table)),
        Entry("Archetypes and skill", _strata(table)),
        Entry("Unheld games", _unheld(table)),
    )


def _archetypes(table: ArchetypeTable) -> tuple[Entry, ...]:
    totals = table.totals()
    skill = (
        "rows are split by skill band: a strong archetype is told from one of strong players."
        if table.skill_band
        else "one row an archetype. Without a split by skill band, an archetype that strong "
        "players choose looks better than it is."
    )
    return (
        Entry("Games", _games(len(totals), totals.games, "archetype")),
        Entry("Skill", skill),
        Entry(
            "Cards",
            "none. Beside a table of cards by archetype, an archetype's own part could be told "
            "from its cards' part.",
        ),
    )


def _games(rows: int, counts: Iterable[float], noun: str) -> str:
    games = [int(count) for count in counts if count > 0]
    cards = words.plural(rows, noun)
    if not games:
        return f"{cards}, none with games: nothing can be estimated."
    middle = words.count(int(median(games)))
    said = f"{cards}, {len(games):,} of them with games; the middle one has {middle}."
    few = sum(count < FEW_GAMES for count in games)
    if few:
        has = "has" if few == 1 else "have"
        said += f" {few:,} {has} fewer than {FEW_GAMES}, where luck alone moves a win rate by "
        said += "2.5 points."
    return said


def _use(table: CardTable) -> str:
    known = [name for name in ("mean_pick", "drafted", "played") if _has(table, name)]
    if known:
        shown = ", ".join(name.replace("_", " ") for name in known)
        return f"{shown}: cards with few games can lean on how drafters treat them."
    return (
        "the table does not say how early cards go or how often they are played. With "
        "mean picks, or copies drafted and played, cards with few games could be judged "
        "better, and traps and unplayed cards be told apart."
    )


def _has(table: CardTable, name: str) -> bool:
    return getattr(table, name) is not None


def _strata(table: CardTable) -> str:
    known = [name.replace("_", " ") for name in STRATA if name in table.strata]
    missing = [name.replace("_", " ") for name in STRATA if name not in table.strata]
    said = f"rows are split by {' and '.join(known)}. " if known else "one row a card. "
    if not missing:
        return f"{said}Company and players can be told from the card itself."
    return (
        f"{said}Without a split by {' or '.join(missing)}, a card that keeps strong company or "
        "strong players looks better than it is; the allowance covers for it."
    )


def _unheld(table: CardTable) -> str:
    if _has(table, "unheld_games") and _has(table, "unheld_wins"):
        return "held and unheld games of the same decks can be compared."
    return (
        "none. Games in which the card stayed in the deck would show what the card itself "
        "does, because the shuffle decides who holds it."
    )
