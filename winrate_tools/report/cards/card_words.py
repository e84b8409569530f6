"""What is printed of a card: its numbers, true to its verdict."""

from typing import TYPE_CHECKING

from winrate_tools.decide.cards.own_games import is_kept_by_pool
from winrate_tools.decide.cards.rules import Verdict
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words

if TYPE_CHECKING:
    from winrate_tools.decide.cards.since import Earlier, EarlierCard

SIDES: dict[Verdict, tuple[int, int]] = {"cut": (-1, -1), "keep": (1, 1), "more games": (-1, 1)}


def estimate(card: CardVerdict, pool: PoolVerdict) -> str:
    """Print a card's estimate, on its side of the line."""
    side = {"cut": -1, "keep": 1, "more games": None}[card.verdict]
    return words.near_line(card.estimate, pool.line, side)


def range_of(card: CardVerdict, pool: PoolVerdict) -> str:
    """Print a card's range; it touches the line exactly where the verdict is more games."""
    low, high = sides(card)
    return words.span(
        words.near_line(card.low, pool.line, low), words.near_line(card.high, pool.line, high)
    )


def sides(card: CardVerdict) -> tuple[int, int] | tuple[None, None]:
    """Say on which side of the line the ends of a range are seen: -1 below, 1 above."""
    return SIDES[card.verdict] if card.games else (None, None)


def chance_below(card: "CardVerdict | EarlierCard", pool: "PoolVerdict | Earlier") -> str:
    """Print the chance that a card lies below the line; its pool cannot say it for the card."""
    if not card.games:
        return "no games"
    return words.of_twenty(words.twentieths(card.chance_below, pool.sure, card.verdict))


def ranks(card: CardVerdict) -> str:
    """Print a card's plausible ranks, 1 the weakest."""
    low, high = sorted((card.rank_low, card.rank_high))
    return f"{low:,} to {high:,}"


def games_needed(card: CardVerdict, pool: PoolVerdict) -> str:
    """Print what would settle a card, short enough for a cell."""
    if card.verdict != "more games":
        return "settled by the pool" if is_kept_by_pool(card, pool) else "settled"
    if card.games_needed is None:
        tried = card.games_worth
        return "won't help" if tried is None else f"{words.about(tried)} or never"
    return words.about(card.games_needed)
