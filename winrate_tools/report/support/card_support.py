"""What a table of cards can and cannot support."""

from collections.abc import Iterable, Iterator
from statistics import median

import numpy as np

from winrate_tools.decide.cards.lacking import MOST_UNLABELLED, Holdings, holdings, lacking
from winrate_tools.report import words
from winrate_tools.report.cards.cautions import LACKS
from winrate_tools.report.document import Entry
from winrate_tools.tables import STRATA, CardTable

FEW_GAMES = 400
"""Here a raw win rate still has a standard deviation of 2.5 points: sqrt(0.25 / 400)."""
MOST_OF_ALL = 0.5
"""Share of the games from which on one archetype sets the table's mean."""

NO_LIMITS = "none beyond the above."


def card_support(table: CardTable) -> tuple[Entry, ...]:
    """Say what counts of cards can tell, what finer tables would buy, and what is missing.

    Returns
    -------
    tuple of Entry
        Games, use, archetypes and skill, unheld games, limits.
    """
    held, totals = holdings(table), table.totals()
    return (
        Entry("Games", f"{games(len(totals), totals.games, 'card')}{_results(totals)}"),
        Entry("Use", _use(table)),
        Entry("Archetypes and skill", " ".join(_strata(table, held))),
        Entry("Unheld games", _unheld(table, held)),
        Entry("Limits", " ".join(map(LACKS.__getitem__, lacking(held))) or NO_LIMITS),
    )


def games(rows: int, counts: Iterable[float], noun: str) -> str:
    """Say how many of some cards or archetypes have games, and how few some have."""
    known = [int(count) for count in counts if count > 0]
    cards = words.plural(rows, noun)
    if not known:
        return f"{cards}, none with games: nothing can be estimated."
    middle = words.count(int(median(known)))
    said = f"{cards}, {len(known):,} of them with games; the middle one has {middle}."
    few = sum(count < FEW_GAMES for count in known)
    if few:
        has = "has" if few == 1 else "have"
        said += f" {few:,} {has} fewer than {FEW_GAMES}, where luck alone moves a win rate by "
        said += "2.5 points."
    return said


def _results(totals: CardTable) -> str:
    known = ~np.isnan(totals.wins)
    played, won = totals.games[known].sum(), totals.wins[known].sum()
    if played and won in (0, played):
        every = "Every game was won" if won else "No game was won"
        return f" {every}: are the wins taken from the right column?"
    return ""


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


def _strata(table: CardTable, held: Holdings) -> Iterator[str]:
    known, missing = (
        [name.replace("_", " ") for name in STRATA if (name in held.strata) is used]
        for used in (True, False)
    )
    yield f"rows are split by {' and '.join(known)}." if known else "one row a card."
    for name in table.strata:
        if name not in held.strata:
            yield f"The column of {name.replace('_', ' ')} is not used: {_unused(table, name)}."
    if "archetype" in held.strata:
        yield from _archetypes(table)
    if not missing:
        yield "Company and players can be told from the card itself."
        return
    yield (
        f"Without a split by {' or '.join(missing)}, a card that keeps strong company or "
        "strong players looks better than it is; to allow for that, estimates put only part "
        "of each record down to the card (the allowance)."
    )


def _unused(table: CardTable, name: str) -> str:
    labels = {label for label in getattr(table, name) if label is not None}
    if len(labels) > 1:
        return f"more than {words.share(MOST_UNLABELLED)} of the games have no label there"
    return f"all its labels are {next(iter(labels))!r}" if labels else "it has no label"


def _archetypes(table: CardTable) -> Iterator[str]:
    """Say whether archetypes share no cards, and whether one of them outweighs the rest."""
    count: dict[str, float] = {}
    homes: dict[str, set[str]] = {}
    for card, label, played in zip(table.card, table.archetype or (), table.games, strict=True):
        if label is not None and played > 0:
            count[label] = count.get(label, 0.0) + played
            homes.setdefault(card, set()).add(label)
    if all(len(labels) == 1 for labels in homes.values()):
        yield (
            "No card has games in two archetypes, so what a card is worth can hardly be told "
            "from what its archetype is."
        )
    largest = max(count, key=count.__getitem__, default=None)
    if largest is not None and count[largest] > MOST_OF_ALL * sum(count.values()):
        part = words.share(count[largest] / sum(count.values()))
        yield f"{largest} has {part} of the games, so the table's mean is mostly its own."


def _unheld(table: CardTable, held: Holdings) -> str:
    if held.is_compared:
        return "held and unheld games of the same decks can be compared."
    if _has(table, "unheld_games") and _has(table, "unheld_wins"):
        return (
            "not used. They must be known in every row whose results are, and some card must "
            "have been held in some games and have stayed in the deck in others."
        )
    return (
        "none. Games in which the card stayed in the deck would show what the card itself "
        "does, because the shuffle decides who holds it."
    )
