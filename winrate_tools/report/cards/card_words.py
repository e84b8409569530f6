"""What is printed of a card: its numbers, true to its verdict."""

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words

NEAR = 1e-3
"""Closer to the line than this, a range's end is printed on the side its verdict says."""


def estimate(card: CardVerdict, pool: PoolVerdict) -> str:
    """Print a card's estimate, on its side of the line."""
    side = {"cut": -1, "keep": 1, "more games": None}[card.verdict]
    return words.beside_line(card.estimate, pool.line, _trusted(card.estimate, pool.line, side))


def range_of(card: CardVerdict, pool: PoolVerdict) -> str:
    """Print a card's range; it touches the line exactly where the verdict is more games."""
    sides = {"cut": (-1, -1), "keep": (1, 1), "more games": (-1, 1)}
    low_side, high_side = sides[card.verdict] if card.games else (None, None)
    low = words.beside_line(card.low, pool.line, _trusted(card.low, pool.line, low_side))
    high = words.beside_line(card.high, pool.line, _trusted(card.high, pool.line, high_side))
    return f"{low[:-1]} to {high}"


def _trusted(rate: float, line: float, side: int | None) -> int | None:
    """Take the verdict's side only where the number is too near the line to say another."""
    return side if abs(rate - line) < NEAR else None


def chance_below(card: CardVerdict, pool: PoolVerdict) -> str:
    """Print the chance that a card lies below the line; its pool cannot say it for the card."""
    if not card.games:
        return "no games"
    return words.of_twenty(words.twentieths(card.chance_below, pool.sure, card.verdict))


def ranks(card: CardVerdict) -> str:
    """Print a card's plausible ranks, 1 the weakest."""
    low, high = sorted((card.rank_low, card.rank_high))
    return f"{low:,} to {high:,}"


def games_needed(card: CardVerdict) -> str:
    """Print what would settle a card, short enough for a cell."""
    if card.verdict != "more games":
        return "settled"
    if card.games_needed is None:
        tried = card.games_worth
        return "won't help" if tried is None else f"{words.about(tried)} or never"
    return words.about(card.games_needed)
