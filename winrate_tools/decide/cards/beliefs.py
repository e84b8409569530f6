"""What is believed of every card, before anyone draws a line."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.stats.cards.mixture import NormalMixture

Numbers = npt.NDArray[np.float64]


class Beliefs(NamedTuple):
    """Posterior of n cards' own effects on the log-odds, with which any line can be judged.

    Attributes
    ----------
    effects : NormalMixture
        Deviations from an average card, over the n cards.
    mean : float
        Win rate of an average card among the players that the effects are for.
    draws : ndarray of shape (D, n)
        Joint draws of the effects: the cards of one draw share what is unsure of them all.

    Examples
    --------
    >>> one = NormalMixture(np.ones((1, 1)), np.zeros((1, 1)), np.full((1, 1), 0.1))
    >>> beliefs = Beliefs(one, 0.55, np.zeros((1, 1)))
    >>> f"{beliefs.chance_below(0.55)[0]:.2f}"
    '0.50'
    >>> beliefs.rates([0.1, 0.9]).round(3).tolist()
    [[0.518, 0.581]]
    """

    effects: NormalMixture
    mean: float
    draws: Numbers

    def chance_below(self, line: float) -> Numbers:
        """Probability that each card's true win rate lies below a line, shape (n,)."""
        return self.effects.below(float(logit(line) - logit(self.mean)))

    def rates(self, levels: Sequence[float]) -> Numbers:
        """Win rates below which each card lies with given probabilities, shape (n, levels)."""
        effects = [self.effects.quantile(level) for level in levels]
        return np.asarray(expit(logit(self.mean) + np.stack(effects, axis=1)))
