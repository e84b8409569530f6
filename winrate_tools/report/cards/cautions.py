"""What limits the verdicts, in sentences."""

from collections.abc import Callable, Sequence

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report import words

LACKS: dict[str, str] = {
    "few cards": (
        "Fewer than 30 cards have games: too few to learn from them what is usual "
        "in this pool, what usage tells and what factions share. The estimates lean on what is "
        "usual elsewhere."
    ),
    "no usage": (
        "The table does not say how drafters treat the cards, so a card with few games is "
        "judged by the pool as a whole."
    ),
    "no factions": (
        "The table names no factions, so what a whole faction is worth is put down to its "
        "cards."
    ),
    "no skill bands": (
        "The table shows neither players' skill nor games with a card left in the deck. Where "
        "strong players favour other cards than weak ones, far more than is usual, cards get "
        "what is the players': in simulated drafts of that kind 6 to 8 cuts in 20 were wrong."
    ),
}
"""What a table lacks, whatever its verdicts."""
MISFITS: dict[str, Callable[[PoolVerdict], str]] = {
    "baseline too low": lambda pool: (
        f"The baseline of {words.exact_percent(pool.baseline)} lies well under this table's "
        f"own mean of {words.exact_percent(pool.sample_mean)}: even a poor card of this table "
        "may pass."
    ),
    "baseline too high": lambda pool: (
        f"The baseline of {words.exact_percent(pool.baseline)} lies well over this table's "
        f"own mean of {words.exact_percent(pool.sample_mean)}: even an average card of this "
        "table looks weak."
    ),
    "usage tells little": lambda _: (
        "How drafters treat a card says hardly anything of its record here, unlike in the "
        "drafts that taught how much of a record to put down to the card (the allowance). The "
        "ranges are too narrow then: in simulated drafts of that kind, ranges meant to hold "
        "the truth of 18 cards in 20 held that of 13 to 17. Skill bands would help."
    ),
    "scattered records": lambda pool: (
        "Cards' records differ from one archetype to the next by more than chance explains: "
        "games with one deck resemble each other more than where "
        f"{words.plain(pool.design_effect)} games count as one independent game (the design "
        "effect), or the archetypes' players differ in ways that the table does not show. Some "
        "cuts may be wrong. Skill bands, or a larger design effect, would help."
    ),
    "records too alike": lambda pool: (
        "Cards' records differ from one archetype to the next by less than chance would make "
        f"them: {words.plain(pool.design_effect)} games are likely too many to count as one "
        "independent game (the design effect), and more could be called with fewer."
    ),
    "far records": lambda pool: (
        f"Farther from the rest than this pool's cards usually lie: {_named(pool.far_cards)}. "
        "Such records are drawn in too far, or are no ordinary cards' or games'; look at them "
        "one by one."
    ),
    "clashing looks": lambda pool: (
        "What cards do in hand, against the same cards in the deck, does not go with their "
        f"records as well as it should{_most(pool.clashing_cards)}. One of the two looks is "
        "off, and the ranges may be too narrow."
    ),
    "uneven pace": lambda _: (
        "Long games suit some archetypes far more than others, and cards come to hand in long "
        "games. A card of both kinds of archetype is not fully cleared of that: in simulated "
        "drafts of that kind somewhat more cuts were wrong than was stated."
    ),
}
MOST_NAMED = 5


def _named(cards: Sequence[str]) -> str:
    rest = f" and {len(cards) - MOST_NAMED:,} more" if len(cards) > MOST_NAMED else ""
    return f"{', '.join(cards[:MOST_NAMED])}{rest}"


def _most(cards: Sequence[str]) -> str:
    return f", least of all for {_named(cards)}" if cards else ""


def cautions(pool: PoolVerdict) -> tuple[str, ...]:
    """Say what limits the verdicts on a pool, one sentence each.

    Returns
    -------
    tuple of str
        One sentence a warning; a warning not known here speaks for itself.
    """
    return tuple(
        MISFITS[warning](pool) if warning in MISFITS else LACKS.get(warning, warning)
        for warning in pool.warnings
    )
