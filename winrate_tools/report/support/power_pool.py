"""The pool behind a question about games: how far its cards lie apart and below the line."""

from dataclasses import dataclass

from winrate_tools.report import ranges, words
from winrate_tools.report.document import Entry

SO_FAR_BELOW = "Cards so far below"
"""Heading of their column."""


@dataclass(frozen=True, slots=True)
class PoolBehind:
    """The judged pool whose numbers stand in for a user's.

    Attributes
    ----------
    name : str
        What its table is called.
    baseline_origin : str
        Where its baseline comes from, as in `PoolVerdict`.
    cards : int
        How many there are.
    spread : float
        Standard deviation of the cards' own values, a fraction.
    spread_range : tuple of float
        Ends of its 8 in 10 range.
    below : tuple of tuple of float
        For each gap, how many cards are expected to lie so far below the line or farther, and
        the ends of the 8 in 10 range.
    quarters : tuple of int
        Games that a quarter, half and three quarters of the cards have at most; () where the
        user names numbers of games.
    is_borrowed : bool
        Whether the spread is mostly that of other pools, since there are few cards.
    """

    name: str
    baseline_origin: str
    cards: int
    spread: float
    spread_range: tuple[float, float]
    below: tuple[tuple[float, float, float], ...]
    quarters: tuple[int, ...] = ()
    is_borrowed: bool = False


def pool_sentence(pool: PoolBehind) -> str:
    """Say how far the pool's cards lie apart, and how many games they have."""
    spread = (
        f"The {words.plural(pool.cards, 'card')} of {pool.name} {_differ(pool)} by "
        f"{words.points(pool.spread, 1)} or so, luck taken off (a standard deviation; 8 in 10 "
        f"range: {ranges.points(*pool.spread_range)}{_whose(pool)})."
    )
    if not pool.quarters:
        return spread
    few, half, many = pool.quarters
    return (
        f"{spread} A quarter of them have at most {words.plural(few, 'game')}, half at most "
        f"{words.count(half)}, three quarters at most {words.count(many)}: these are the "
        "numbers of games below."
    )


def _differ(pool: PoolBehind) -> str:
    return "are taken to differ" if pool.is_borrowed else "truly differ"


def _whose(pool: PoolBehind) -> str:
    if not pool.is_borrowed:
        return ""
    return "; mostly taken from other pools: fewer than 30 cards with games are too few to tell"


def so_far_below(pool: PoolBehind) -> list[tuple[str]]:
    """Print for each gap how many cards it is about, a row of one cell each."""
    return [
        (f"{words.expected(mean)} ({low:.0f} to {high:.0f})",) for mean, low, high in pool.below
    ]


def counting_explained(pool: PoolBehind) -> Entry:
    """Explain the column of cards."""
    return Entry(
        SO_FAR_BELOW,
        f"how many cards of {pool.name} are expected to lie so far below the line or farther, "
        "with the range that holds the truth 8 times in 10. Where hardly any do, games that "
        "would tell them are of little use.",
    )
