"""What each card adds when it is drawn, from whole decks: a third view beside two of counts."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.cards.deck_games import DeckGames, demand_codes
from winrate_tools.stats.cards.decks import deck_fit

Numbers = npt.NDArray[np.float64]
CARD_SD, COMPANY_SD, STRATUM_SD, LENGTH_SD = 0.1, 0.04, 0.3, 0.1
"""Spreads expected of what cards add in hand, of what having them in the deck goes with, of
archetypes in the hands of skill bands, and of what one more card of any kind adds to these.

Judgements, no source: cards spread by .08 to .11 in simulated drafts, and some fall far from
the rest; a wide spread of the company costs the view much of its precision."""
NINETY = 1.6449
"""The central nine tenths of a normal are so many standard deviations to either side."""


class InHand(NamedTuple):
    """What cards add when held, in log-odds of single games.

    Attributes
    ----------
    effect, std_error : ndarray of float, shape (cards,)
        Against the average card held; 0 is the mean over all copies held.
    held : ndarray of int, shape (cards,)
        Copies held, over all games.
    """

    effect: Numbers
    std_error: Numbers
    held: npt.NDArray[np.int64]

    def rates(self, baseline: float) -> Numbers:
        """Win rates, and the ends of their 9-in-10 ranges, where an average card has one.

        Parameters
        ----------
        baseline : float
            Win rate of an average card, strictly between 0 and 1.

        Returns
        -------
        ndarray of float, shape (3, cards)
            Estimate, low, high.
        """
        ends = NINETY * np.array([0, -1, 1])[:, None] * self.std_error
        return np.asarray(expit(logit(baseline) + self.effect + ends))


def effects_in_hand(
    won: npt.ArrayLike,
    held: npt.ArrayLike,
    decks: npt.ArrayLike,
    cards: int,
    stratum: npt.ArrayLike,
    *,
    design_effect: float = 1.0,
) -> InHand:
    r"""Fit what every copy drawn adds to a game, given all others and the deck it came from.

    Each card has two columns in one logistic regression (`deck_fit`): copies held, and copies
    in the deck. The second takes up what goes with having the card at all (its owner, the
    cards beside it), so that the first rests on the shuffle. Each stratum has a slope of its
    own for the number of copies held, since long games are other games, and some archetypes
    want them. The likelihood is taken to the power of one over the design effect.

    .. math::

        \operatorname{logit} P(\text{won}) = \beta + \gamma_s + \lambda_s h
        + \sum_{i \in \text{hand}} \theta_i + \sum_{i \in \text{deck}} \delta_i

    Parameters
    ----------
    won : array_like of bool, shape (games,)
        Outcomes.
    held, decks : array_like of int, shape (games, most copies)
        Cards in hand at some time and in the deck, from 0; a card with two copies twice; -1
        fills up.
    cards : int
        How many different cards there are, at least 1.
    stratum : array_like of int, shape (games,)
        Whose games these are, from 0: archetype and skill band.
    design_effect : float, optional
        How many games count as one independent game, at least 1; games with one deck resemble
        each other.

    Returns
    -------
    InHand

    Raises
    ------
    CountError
        If shapes or codes do not fit together, there is no game, or no copy was ever held.
    FitError
        If the design effect is below 1.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> decks = rng.integers(0, 30, (20_000, 8))
    >>> held = np.where(rng.random(decks.shape) < 0.5, decks, -1)
    >>> effect = np.append(0.3 * np.linspace(-1, 1, 30), 0)
    >>> won = rng.random(20_000) < expit(effect[held].sum(axis=1))
    >>> found = effects_in_hand(won, held, decks, 30, np.zeros(20_000, dtype=int))
    >>> bool(np.corrcoef(found.effect, effect[:30])[0, 1] > 0.95)
    True
    """
    hand, deck = np.asarray(held), np.asarray(decks)
    if hand.ndim != 2 or deck.ndim != 2 or len(hand) != len(deck):
        msg = "held and decks must have a row of cards for each game"
        raise CountError(msg)
    demand_codes("held", hand, -1, cards - 1)
    demand_codes("decks", deck, -1, cards - 1)
    copies = np.bincount(hand.ravel().astype(np.int64) + 1, minlength=cards + 1)[1:]
    if not copies.any():
        msg = "no copy was ever held"
        raise CountError(msg)
    if not 1 <= design_effect < np.inf:
        msg = f"design_effect must be at least 1, got {design_effect}"
        raise FitError(msg)
    drawn = np.count_nonzero(hand >= 0, axis=1)
    both = joined(hand, deck, cards)
    fit = deck_fit(
        DeckGames(won, both, 2 * cards, group=stratum, slope=drawn - drawn.mean()),
        card_sd=np.repeat([CARD_SD, COMPANY_SD], cards) / design_effect**0.5,
        group_sd=STRATUM_SD / design_effect**0.5,
        slope_sd=LENGTH_SD / design_effect**0.5,
    )
    beside_average = np.eye(cards) - copies / copies.sum()
    covariance = design_effect * fit.card_covariance[:cards, :cards]
    covariance = beside_average @ covariance @ beside_average.T
    return InHand(beside_average @ fit.card[:cards], np.sqrt(np.diag(covariance)), copies)


def joined(
    hand: npt.NDArray[np.integer], deck: npt.NDArray[np.integer], cards: int
) -> npt.NDArray[np.integer]:
    """Write both side by side; in the deck a card has a column of its own.

    Examples
    --------
    >>> joined(np.array([[1, -1]]), np.array([[1, 0]]), 2).tolist()
    [[1, -1, 3, 2]]
    """
    small = np.int16 if 2 * cards <= np.iinfo(np.int16).max else np.int32
    both = np.empty((len(hand), hand.shape[1] + deck.shape[1]), dtype=small)
    both[:, : hand.shape[1]] = hand
    beside = both[:, hand.shape[1] :]
    beside[:] = deck
    np.add(beside, small(cards), out=beside, where=beside >= 0)
    return both
