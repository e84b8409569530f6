r"""How many more games would settle what an archetype is: too weak, too strong or balanced.

A strength is known to :math:`N(m, s^2)`, where endless games would remove a part :math:`v` of
the variance. After :math:`g` further games :math:`v_g = 1 / (1/v + gI)` of it is left, so that
:math:`s_g^2 = s^2 - v + v_g`, and the mean will have moved by :math:`N(0, v - v_g)`. It then
counts as underpowered if the mean lies :math:`z s_g` or more below the lower line, as
overpowered if it lies as far above the upper one, and as balanced if enough of
:math:`N(m_g, s_g^2)` lies between the two.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri

from winrate_tools.stats.planning.settling import NEARLY

Numbers = npt.NDArray[np.float64]
HORIZON = 1_000_000
"""Games of one archetype after which nobody waits any longer."""
ENOUGH = 0.8
"""Probability with which a verdict should settle."""
GRID = np.geomspace(1, HORIZON, 400)
HALVINGS = 34


@dataclass(frozen=True, slots=True)
class ArchetypeStanding:
    """Where K archetypes stand between two lines, on the log-odds.

    Attributes
    ----------
    mean, sd : ndarray of shape (K,)
        Posterior of the relative strengths; ``sd > 0``.
    removable : ndarray of shape (K,)
        Part of the variance that endless games would remove, from 0 to ``sd ** 2``.
    low, high : float
        The lines, ``low < high``.
    sure, balanced : float
        Probability wanted for a strength outside the lines, and for one between them; both in
        (0.5, 1).
    information : ndarray of shape (K,)
        What one further game of the archetype tells of its strength.
    """

    mean: Numbers
    sd: Numbers
    removable: Numbers
    low: float
    high: float
    sure: float
    balanced: float
    information: Numbers


def chance_to_settle(standing: ArchetypeStanding, games: npt.ArrayLike) -> Numbers:
    """Probability that the verdict is settled after further games.

    Parameters
    ----------
    standing : ArchetypeStanding
        Where the archetypes stand now.
    games : array_like of float, shape (..., K) or (..., 1)
        Further games of each archetype, above 0, the others going on in step.

    Returns
    -------
    ndarray of shape (..., K)

    References
    ----------
    Raiffa, H. and Schlaifer, R. (1961). *Applied Statistical Decision Theory*. Harvard,
    section 5.3, for the distribution of the posterior mean to come (value from memory).
    """
    removable = np.clip(standing.removable, 1e-18, standing.sd**2)
    left = 1 / (1 / removable + np.asarray(games) * standing.information)
    sd = np.sqrt(standing.sd**2 - removable + left)
    move = np.sqrt(np.maximum(removable - left, 1e-18))
    reach = ndtri(standing.sure) * sd
    weak = ndtr((standing.low - reach - standing.mean) / move)
    strong = ndtr((standing.mean - standing.high - reach) / move)
    off, room = standing.mean - 0.5 * (standing.low + standing.high), _room(standing, sd)
    between = ndtr((room - off) / move) - ndtr((-room - off) / move)
    return np.asarray(weak + strong + between)


def _room(standing: ArchetypeStanding, sd: Numbers) -> Numbers:
    """How far from the middle a mean may lie and still count as balanced; 0 for not at all."""
    half = 0.5 * (standing.high - standing.low)
    low, high = np.zeros_like(sd), np.full_like(sd, half)
    for _ in range(HALVINGS):
        room = 0.5 * (low + high)
        enough = ndtr((half - room) / sd) - ndtr((-half - room) / sd) >= standing.balanced
        low, high = np.where(enough, room, low), np.where(enough, high, room)
    return low


def games_to_settle(standing: ArchetypeStanding, *, chance: float = ENOUGH) -> Numbers:
    """Fewest further games after which the verdict is settled with a probability.

    Parameters
    ----------
    standing : ArchetypeStanding
        Where the archetypes stand now.
    chance : float, optional
        Probability wanted, in (0, 1).

    Returns
    -------
    ndarray of shape (K,)
        Games, at least 1; ``inf`` where a million would not do.

    Examples
    --------
    One archetype in the middle, known to three points, and lines two points away:

    >>> import numpy as np
    >>> sd, information = np.array([0.12]), np.array([0.25])
    >>> known = ArchetypeStanding(0 * sd, sd, sd**2, -0.08, 0.08, 0.9, 0.8, information)
    >>> float(games_to_settle(known).round(-2)[0])
    12000.0
    """
    enough = chance_to_settle(standing, GRID[:, None]) >= chance
    first = enough.argmax(axis=0)
    high = np.log(GRID[first])
    low = np.where(first > 0, np.log(GRID[np.maximum(first - 1, 0)]), high)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        done = chance_to_settle(standing, np.exp(middle)) >= chance
        low, high = np.where(done, low, middle), np.where(done, middle, high)
    return np.where(enough.any(axis=0), np.ceil(NEARLY * np.exp(high)), np.inf)
