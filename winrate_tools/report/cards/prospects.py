"""What more games can do for the cards that cannot be called yet."""

from collections.abc import Iterator, Sequence
from statistics import median_high

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words


def prospects(pool: PoolVerdict) -> Iterator[str]:
    """Say what games can do where no number of them would very likely settle a verdict.

    Yields
    ------
    str
        For the cards that games may settle or not; then for those that they will not help, with
        the finer counts still to be had. Nothing where every card has a number of its own.
    """
    waiting = pool.called("more games")
    stuck = [card for card in waiting if card.games_needed is None]
    tried = [card for card in stuck if card.games_worth is not None]
    if tried:
        yield f"{_worth_a_try(tried, len(waiting))}{_finer(pool)}"
    if hopeless := len(stuck) - len(tried):
        finer = "" if tried else _finer(pool)
        yield (
            f"More of the same games will not help {whom(hopeless, len(waiting))}: too close "
            "to the line, or held back by what games cannot remove, such as the company the "
            f"card keeps.{finer}"
        )


def whom(some: int, waiting: int) -> str:
    """Name some of the cards that wait, all of them as any.

    Examples
    --------
    >>> whom(3, 3), whom(1200, 3000)
    ('any of them', '1,200 of them')
    """
    return "any of them" if some == waiting else f"{some:,} of them"


def usual_games(tried: Sequence[CardVerdict]) -> str:
    """Print the games that do most of what games can, those of the middle card.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> usual_games([SimpleNamespace(games_worth=games) for games in (90, 1210, 400)])
    '400'
    """
    return words.about(median_high(card.games_worth or 0 for card in tried))


def _worth_a_try(tried: Sequence[CardVerdict], waiting: int) -> str:
    settled = words.expected(sum(card.chance_worth or 0 for card in tried))
    return (
        f'Games may settle {whom(len(tried), waiting)} or not ("or never"): most of what games '
        f"can do is done after about {usual_games(tried)} more a card, and {settled} of "
        f"{len(tried):,} are expected to have a verdict then. What stays open is what the "
        "company of the cards hides. To get there sooner, put friends' records of the same "
        "pool into one table; or take a wider margin, so that fewer cards come near the line."
    )


def _finer(pool: PoolVerdict) -> str:
    """Say which finer counts there are still to be had."""
    wanted = [
        what
        for what, there in (
            ("one row for each archetype", "archetype" in pool.strata),
            ("the games in which the card stayed in the deck", pool.has_unheld),
        )
        if not there
    ]
    return f" Finer counts can help: {', or '.join(wanted)}." if wanted else ""
