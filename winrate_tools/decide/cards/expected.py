"""What an average card would have won in the games of each card."""

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.stats.cards.strength import Strength

Numbers = npt.NDArray[np.float64]


def expected_rates(fitted: Strength) -> Numbers:
    """Win rates of an average card in the same archetypes, factions and hands.

    Parameters
    ----------
    fitted : Strength
        Estimates for n cards.

    Returns
    -------
    ndarray of shape (n,)
        From 0 to 1, on the scale of the records. Where they are estimated from all games of
        the decks, the level is moved to that of the games that count, which is right to about
        half a point.

    Examples
    --------
    >>> from winrate_tools.stats.cards.strength import strength
    >>> from winrate_tools.tables import CardTable
    >>> homes = ["Kites", "Kites", "Moths", "Moths"]
    >>> cards, wins = ["Ash", "Bee", "Cat", "Dew"], [420, 380, 620, 580]
    >>> fitted = strength(CardTable(cards, [1000] * 4, wins, archetype=homes))
    >>> expected_rates(fitted).round(2).tolist()
    [0.4, 0.4, 0.6, 0.6]
    """
    totals = fitted.sample.totals
    games = np.where(np.isnan(totals.wins), 0.0, totals.games)
    company = (fitted.weight * fitted.company).sum(axis=0)
    log_odds = fitted.sample.evidence.offset + company
    level = (games * expit(log_odds)).sum() / games.sum()
    return np.asarray(expit(log_odds - logit(level) + logit(fitted.sample.level.sample_mean)))
