r"""A card in hand against the same card in the deck: nearly an experiment.

Who plays a card, in which archetype and beside which cards is the same in the games in which it
came to hand and in those in which it stayed in the deck; the shuffle alone decides. What is
left is pace: long games bring more cards to hand, and archetypes differ in whether long games
suit them. All cards of an archetype share this, so each card is measured against the gap that
its archetypes show for all their cards together.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.records.mantel_haenszel import TwoGroups, log_odds_ratio, two_groups

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]
ADDED = 0.25
"""One more stratum with a game in each of its cells: no card's figure is without bounds."""
EXTRA_SD = 0.01
"""What the counts do not show, such as a card noted in hand when it came too late to matter.

A judgement, no source: a quarter of a point of win rate. Simulated drafts, whose notes are
perfect, need 0.004.
"""


class Contrast(NamedTuple):
    """What being in hand does, on the log-odds scale.

    Attributes
    ----------
    estimate, variance : ndarray of shape (n,)
        Log-odds that a card in hand adds, against the average card of its archetypes; NaN for
        a card that no stratum has seen both in hand and in the deck.
    stratum_gap : ndarray of shape (K,)
        Log-odds that any card in hand goes with: pace, and the mean effect of the cards.
    """

    estimate: Numbers
    variance: Numbers
    stratum_gap: Numbers


def contrast(
    held_games: npt.ArrayLike,
    held_wins: npt.ArrayLike,
    unheld_games: npt.ArrayLike,
    unheld_wins: npt.ArrayLike,
    card: npt.ArrayLike,
    stratum: npt.ArrayLike,
    *,
    extra_sd: float = EXTRA_SD,
) -> Contrast:
    r"""Compare games with each card in hand with games in which it stayed in the deck.

    With :math:`\lambda_k` the log odds ratio of stratum k over all its cards, and held and
    unheld games :math:`h_{ik}, u_{ik}`, the estimate is

    .. math:: d_i = \log \mathrm{MH}_i - \frac{\sum_k \omega_{ik} \lambda_k}
              {\sum_k \omega_{ik}}, \qquad \omega_{ik} = \frac{h_{ik} u_{ik}}{h_{ik} + u_{ik}}

    Parameters
    ----------
    held_games, held_wins, unheld_games, unheld_wins : array_like of float, shape (m,)
        Counts, one row a card in a stratum. A row with an unknown count is left out.
    card, stratum : array_like of int, shape (m,)
        Codes from 0. A stratum is an archetype, or an archetype in one skill band.
    extra_sd : float, optional
        Standard deviation of what the counts do not show, at least 0.

    Returns
    -------
    Contrast
        For the n cards and K strata up to the highest codes.

    Raises
    ------
    CountError
        If the counts break a bound or differ in length.

    Notes
    -----
    The variance is that of the Mantel-Haenszel figure and `extra_sd` squared; it needs no
    design effect, since held and unheld games are of the same decks. What the cards of an
    archetype have in common is taken off with its pace, so that an archetype of strong cards
    hides their strength: a level, not a contrast, shows that.

    References
    ----------
    Mantel, N. and Haenszel, W. (1959), and Robins, J., Breslow, N. and Greenland, S. (1986);
    see `winrate_tools.stats.records.mantel_haenszel`. The centring is our own.

    Examples
    --------
    Two cards of one archetype, whose long games go well; the second card adds something:

    >>> found = contrast([400, 400], [220, 240], [600, 600], [300, 300], [0, 1], [0, 0])
    >>> found.estimate.round(2).tolist(), found.stratum_gap.round(2).tolist()
    ([-0.1, 0.1], [0.3])
    """
    rows = np.array([held_wins, held_games, unheld_wins, unheld_games], dtype=np.float64)
    won, held, left_won, left = np.where(np.isnan(rows).any(axis=0), 0.0, rows)
    groups = two_groups(won, held, left_won, left, item=card)
    layer = np.asarray(stratum, dtype=np.intp)
    gap = log_odds_ratio(_of_strata(groups, layer), added=ADDED).estimate
    weight = held * left / groups.games
    shared, usual = groups.total(weight), groups.total(weight * gap[layer])
    shared[shared == 0] = np.nan
    pooled = log_odds_ratio(groups, added=ADDED)
    variance = np.where(shared > 0, pooled.variance + extra_sd**2, np.nan)
    return Contrast(pooled.estimate - usual / shared, variance, gap)


def _of_strata(groups: TwoGroups, stratum: Codes) -> TwoGroups:
    """Add up all cards' games in each stratum."""
    strata = int(stratum.max(initial=-1)) + 1
    sums = [
        np.bincount(stratum, column, strata).astype(np.float64)
        for column in (
            groups.first_wins,
            groups.first_games,
            groups.second_wins,
            groups.second_games,
        )
    ]
    return two_groups(*sums, item=np.arange(strata))
