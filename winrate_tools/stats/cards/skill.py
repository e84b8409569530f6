r"""How a card's effect changes with the skill of those who hold it.

Skill is measured by what it wins: a band's level :math:`h_b` is the log-odds of its win rate
less the sample's. A card's effect in band b is :math:`\theta_i + \psi_i (h_b - \bar h_i)`, with
:math:`\bar h_i` the mean level behind the card's own games, so that :math:`\theta_i` and
:math:`\psi_i` are learnt from different parts of its record.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.records.heterogeneity import paule_mandel, shrunk

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]
Counts = npt.NDArray[np.float64 | np.intp]
USUAL_SLOPE_SD = 0.15
"""Slopes' standard deviation where no bands show it. A judgement, no source."""
FAR_SLOPE = 0.3
"""Standard deviation of the slopes of cards that stand out. A judgement, no source."""
FEWEST_SLOPES = 10
"""Cards in two or more bands needed to learn how much slopes differ."""


class Slopes(NamedTuple):
    """How each of n cards' effects changes with skill.

    Attributes
    ----------
    mean, variance : ndarray of shape (n,)
        Posterior of the slope: log-odds of effect for one log-odds of skill.
    centre : ndarray of shape (n,)
        Mean level of the players behind the card's games.
    sd : float
        Standard deviation of slopes between cards.
    """

    mean: Numbers
    variance: Numbers
    centre: Numbers
    sd: float

    def shift(self, level: float) -> tuple[Numbers, Numbers]:
        """Return mean and variance of what to add to each effect at a level of skill."""
        away = level - self.centre
        return self.mean * away, self.variance * away**2


def unknown_slopes(cards: int) -> Slopes:
    """Slopes of cards whose players are not told apart: 0, give or take the usual."""
    return Slopes(
        np.zeros(cards), np.full(cards, USUAL_SLOPE_SD**2), np.zeros(cards), USUAL_SLOPE_SD
    )


def slopes(
    card: Codes, level: Numbers, wins: Numbers, games: Numbers, rate: Numbers, cards: int
) -> Slopes:
    """Learn the slopes of all cards from rows by card and band.

    Parameters
    ----------
    card : ndarray of int, shape (m,)
        Each row's card, from 0 to ``cards - 1``.
    level : ndarray of shape (m,)
        Level of the row's band.
    wins, games : ndarray of shape (m,)
        Effective counts.
    rate : ndarray of shape (m,)
        Win rate expected of an average card in the row's place, strictly between 0 and 1.
    cards : int
        How many cards there are.

    Returns
    -------
    Slopes
        Drawn towards the mean slope, 0, as far as they do not differ beyond chance
        (Paule and Mandel's variance) and do not stand out; of a card in one band only, the
        prior.

    Examples
    --------
    >>> import numpy as np
    >>> card = np.repeat(np.arange(12), 2)
    >>> level = np.tile([-0.5, 0.5], 12)
    >>> games, rate = np.full(24, 10_000.0), np.tile([0.4, 0.6], 12)
    >>> tilt = np.repeat(np.where(np.arange(12) % 2, 0.02, -0.02), 2) * np.tile([-1, 1], 12)
    >>> found = slopes(card, level, games * (rate + tilt), games, rate, 12)
    >>> bool(found.mean[1] > 0.1 and found.mean[0] < -0.1)
    True
    """
    information = games * rate * (1 - rate)
    total = np.bincount(card, information, cards)
    centre = _ratio(np.bincount(card, information * level, cards), total)
    away = level - centre[card]
    about = np.bincount(card, information * away**2, cards)
    surprise = wins - games * rate
    known = about > 1e-9
    raw = _ratio(np.bincount(card, surprise * away, cards), about)
    if known.sum() < FEWEST_SLOPES:
        return Slopes(
            np.zeros(cards), np.full(cards, USUAL_SLOPE_SD**2), centre, USUAL_SLOPE_SD
        )
    spread = paule_mandel(raw[known], 1 / about[known])
    error = np.full(cards, np.inf)
    error[known] = 1 / about[known]
    found = shrunk(raw - spread.mean, error, spread.variance, far=FAR_SLOPE)
    return Slopes(found.mean, found.variance, centre, float(np.sqrt(spread.variance)))


def _ratio(above: Counts, below: Counts) -> Numbers:
    return np.divide(above, below, out=np.zeros(len(below)), where=below > 0)
