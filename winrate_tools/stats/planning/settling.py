r"""How many more games would settle a verdict.

A card's own effect is known to :math:`N(m, s^2)`, where endless games would remove a part
:math:`v` of the variance. After :math:`g` further games :math:`v_g = 1 / (1/v + g B(1-B) /
(\phi\lambda^2))` of it is left, and the estimate will have moved by :math:`N(0, v - v_g)`. The
verdict is settled if the line then lies :math:`z` or more standard deviations
:math:`\sqrt{s^2 - v + v_g}` away, :math:`z` being the normal
quantile of how sure is sure enough.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri

Numbers = npt.NDArray[np.float64]
HORIZON = 1_000_000.0
"""Games of one card after which nobody waits any longer."""
ENOUGH = 0.8
"""Probability with which a verdict should settle."""
HALVINGS = 60


@dataclass(frozen=True, slots=True)
class Standing:
    """Where n cards stand against a line, on the log-odds scale.

    Attributes
    ----------
    mean, sd : ndarray of shape (n,)
        Posterior of the own effects.
    removable : ndarray of shape (n,)
        Part of the variance that endless games would remove, from 0 to ``sd ** 2``.
    line : float
        The effect that the verdicts are about.
    sure : float
        How sure is sure enough, in (0.5, 1).
    allowance : float
        Share of a record that is the card's own, in (0, 1].
    information : float
        Fisher information of one game about a record's log-odds: B (1 - B) / design effect.
    """

    mean: Numbers
    sd: Numbers
    removable: Numbers
    line: float
    sure: float
    allowance: float
    information: float


def chance_to_settle(standing: Standing, games: npt.ArrayLike) -> Numbers:
    """Probability that the verdict is settled after further games.

    Parameters
    ----------
    standing : Standing
        Where the cards stand now.
    games : array_like of float
        Further games of each card, from 0; ``inf`` is allowed.

    Returns
    -------
    ndarray of shape (n,)
        1 or 0 at no further games.

    References
    ----------
    Raiffa, H. and Schlaifer, R. (1961). *Applied Statistical Decision Theory*. Harvard,
    section 5.3, for the distribution of the posterior mean to come (value from memory).
    """
    removable = np.clip(standing.removable, 1e-18, standing.sd**2)
    gained = np.asarray(games) * standing.information / standing.allowance**2
    left = 1 / (1 / removable + gained)
    reach = ndtri(standing.sure) * np.sqrt(standing.sd**2 - removable + left)
    move = np.sqrt(np.maximum(removable - left, 1e-18))
    above = standing.mean - standing.line
    return np.asarray(ndtr((-reach - above) / move) + ndtr((above - reach) / move))


def games_to_settle(standing: Standing, *, chance: float = ENOUGH) -> Numbers:
    """Fewest further games after which the verdict is settled with a probability.

    Parameters
    ----------
    standing : Standing
        Where the cards stand now.
    chance : float, optional
        Probability wanted, in (0, 1).

    Returns
    -------
    ndarray of shape (n,)
        Games, at least 1; ``inf`` where a million would not do.

    Examples
    --------
    A card two points above the line, known to two points, nothing hidden:

    >>> import numpy as np
    >>> sd = np.array([0.08])
    >>> here = Standing(np.array([0.08]), sd, sd**2, 0.0, 0.9, 1.0, 0.2475)
    >>> float(games_to_settle(here).round(-1)[0])
    5440.0
    """
    never = chance_to_settle(standing, np.inf) < chance
    low, high = np.zeros(len(standing.mean)), np.full(len(standing.mean), np.log(HORIZON))
    late = chance_to_settle(standing, HORIZON) < chance
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        enough = chance_to_settle(standing, np.exp(middle)) >= chance
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return np.where(never | late, np.inf, np.ceil(np.exp(high)))
