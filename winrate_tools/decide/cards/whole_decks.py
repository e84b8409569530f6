"""Each card seen with whole decks, beside what the ranking says of it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.errors import CountError
from winrate_tools.stats.cards.whole_decks import InHand


@dataclass(frozen=True, slots=True)
class WholeDeckCard:
    """One card in both views, all on the scale of win rates; ranges are 9 in 10.

    Attributes
    ----------
    card : str
        Name.
    games : int
        Copies held, over all games.
    estimate, low, high : float
        As the ranking has it.
    whole, whole_low, whole_high : float
        As whole decks have it, where an average card has the ranking's baseline.
    gap, gap_low, gap_high : float
        `whole` less `estimate`, and its range.
    """

    card: str
    games: int
    estimate: float
    low: float
    high: float
    whole: float
    whole_low: float
    whole_high: float
    gap: float
    gap_low: float
    gap_high: float

    @property
    def is_apart(self) -> bool:
        """Whether the views differ by more than the errors of both."""
        return not self.gap_low <= 0 <= self.gap_high


@dataclass(frozen=True, slots=True)
class WholeDecks:
    """Both views of a pool.

    Attributes
    ----------
    cards : tuple of WholeDeckCard
        Weakest by whole decks first.
    games : int
        Games behind them.
    baseline : float
        Win rate of an average card.
    agreement : float or None
        Correlation of both views' estimates over cards, from -1 to 1; None where one of them
        knows no differences.
    """

    cards: tuple[WholeDeckCard, ...]
    games: int
    baseline: float
    agreement: float | None

    @property
    def apart(self) -> tuple[WholeDeckCard, ...]:
        """Cards of which the views disagree, the furthest apart first."""
        cards = [card for card in self.cards if card.is_apart]
        return tuple(sorted(cards, key=lambda card: -abs(card.gap)))


def seen_with_whole_decks(
    pool: PoolVerdict, names: Sequence[str], found: InHand, games: int
) -> WholeDecks:
    """Set the view of whole decks beside that of a ranking.

    The range of a gap joins both ranges as if their errors knew nothing of each other. Both
    rest on the same games, so it errs on the wide side.

    Parameters
    ----------
    pool : PoolVerdict
        The ranking, with ranges of 9 in 10: judged with ``sure=0.95``.
    names : sequence of str
        The cards of `found`, in order.
    found : InHand
        What whole decks say.
    games : int
        Games behind it.

    Returns
    -------
    WholeDecks
        The cards that the ranking has.

    Raises
    ------
    CountError
        If the ranking has other ranges, or knows none of these cards.

    References
    ----------
    Zou, G. Y. and Donner, A. (2008). Construction of confidence limits about effect measures: a
    general approach. *Statistics in Medicine* 27(10), 1693-1702 (from memory).
    """
    if abs(pool.sure - 0.95) > 1e-9:
        msg = f"a ranking with ranges of 9 in 10 was wanted (sure=0.95), got sure={pool.sure}"
        raise CountError(msg)
    place = {name: at for at, name in enumerate(names)}
    known = [card for card in pool.cards if card.card in place]
    if not known:
        msg = "the ranking knows none of the cards of these decks"
        raise CountError(msg)
    rates = found.rates(pool.baseline)
    cards = [
        _in_both(card, int(found.held[at]), *map(float, rates[:, at]))
        for card in known
        for at in [place[card.card]]
    ]
    cards.sort(key=lambda card: (card.whole, card.card))
    return WholeDecks(tuple(cards), games, pool.baseline, _agreement(cards))


def _in_both(
    card: CardVerdict, games: int, whole: float, whole_low: float, whole_high: float
) -> WholeDeckCard:
    gap = whole - card.estimate
    return WholeDeckCard(
        card=card.card,
        games=games,
        estimate=card.estimate,
        low=card.low,
        high=card.high,
        whole=whole,
        whole_low=whole_low,
        whole_high=whole_high,
        gap=gap,
        gap_low=gap - hypot(whole - whole_low, card.high - card.estimate),
        gap_high=gap + hypot(whole_high - whole, card.estimate - card.low),
    )


def _agreement(cards: Sequence[WholeDeckCard]) -> float | None:
    both = np.array([[card.estimate, card.whole] for card in cards])
    if (np.ptp(both, axis=0) == 0).any():
        return None
    return float(np.corrcoef(both.T)[0, 1])
