"""What a table can and cannot support, from what it holds."""

from statistics import median

from winrate_tools.report import words
from winrate_tools.report.document import Entry
from winrate_tools.tables import STRATA, CardTable

FEW_GAMES = 400
"""Here a raw win rate still has a standard deviation of 2.5 points: sqrt(0.25 / 400)."""


def support(table: CardTable) -> tuple[Entry, ...]:
    """Say what the data can and cannot support, and what finer tables would buy.

    Parameters
    ----------
    table : CardTable
        A checked table.

    Returns
    -------
    tuple of Entry
        Games, usage, strata, unheld games.
    """
    return (
        Entry("Games", _games(table)),
        Entry("Use", _use(table)),
        Entry("Archetypes and skill", _strata(table)),
        Entry("Unheld games", _unheld(table)),
    )


def _games(table: CardTable) -> str:
    totals = table.totals()
    games = [int(count) for count in totals.games if count > 0]
    cards = words.plural(len(totals), "card")
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
