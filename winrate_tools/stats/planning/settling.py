r"""How many more games would settle a verdict.

A card's own effect is known to :math:`N(m, s^2)` through one look at it or several, and endless
games would remove a part :math:`v` of the variance. Look :math:`k` has a variance
:math:`\ell_k` that stays and :math:`1 / p_k` that games wear off; each game adds :math:`i_k` to
:math:`p_k`. After :math:`g` further games all looks together leave

.. math:: v_g = v\,\frac{c(g)}{c(0)},
          \qquad \frac{1}{c(g)} = \sum_k \frac{1}{\ell_k + 1 / (p_k + g\,i_k)},

and the estimate will have moved by :math:`N(0, v - v_g)`. The verdict is settled if the line
then lies :math:`z` or more standard deviations :math:`\sqrt{s^2 - v + v_g}` away, :math:`z`
being the normal quantile of how sure is sure enough.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri

Numbers = npt.NDArray[np.float64]
HORIZON = 1_000_000.0
"""Games of one card after which nobody waits any longer."""
ENOUGH = 0.8
"""Probability with which a verdict should settle."""
MOST = 0.9
"""Share of what endless games can do for a verdict that is most of it."""
HALVINGS = 34
NEARLY = 1 - 1e-8
"""What the halvings leave over is no further game."""


class Look(NamedTuple):
    """One look at the own effects of n cards, such as their records.

    Attributes
    ----------
    lasting : ndarray of shape (n,)
        Variance of what it shows that no game removes, at least 0.
    precision : ndarray of shape (n,)
        One over the variance that games remove; 0 where nothing was seen yet.
    information : float
        What one further game adds to the precision, above 0.
    """

    lasting: Numbers
    precision: Numbers
    information: float

    def after(self, games: npt.ArrayLike) -> Numbers:
        """Return the precision of all that it shows after further games."""
        with np.errstate(divide="ignore"):
            worn = 1 / (self.precision + np.asarray(games) * self.information)
            return np.asarray(1 / (self.lasting + worn))


class Standing(NamedTuple):
    """Where n cards stand against a line, on the log-odds scale.

    Attributes
    ----------
    mean, sd : ndarray of shape (n,)
        Posterior of the own effects.
    removable : ndarray of shape (n,)
        Part of the variance that the looks are about, from 0 to ``sd ** 2``.
    line : float
        The effect that the verdicts are about.
    sure : float
        How sure is sure enough, in (0.5, 1).
    looks : tuple of Look
        Through what the effects are seen, each with errors of its own; at least one has been
        had of every card.
    """

    mean: Numbers
    sd: Numbers
    removable: Numbers
    line: float
    sure: float
    looks: tuple[Look, ...]

    def left(self, games: npt.ArrayLike) -> Numbers:
        """Return what further games leave of the removable variance, shape (n,)."""
        now, then = (sum(look.after(count) for look in self.looks) for count in (0, games))
        return np.asarray(np.clip(self.removable, 1e-18, self.sd**2) * now / then)

    def luck(self) -> Numbers:
        """Return the share of each variance that endless games would remove, shape (n,)."""
        return np.asarray((self.left(0) - self.left(np.inf)) / self.sd**2)


def record_look(removable: Numbers, information: float) -> Look:
    """Look at cards through records alone, of which all that is removable wears off.

    Examples
    --------
    >>> record_look(np.array([0.01]), 0.25).after(400).tolist()
    [200.0]
    """
    return Look(np.zeros_like(removable), 1 / np.maximum(removable, 1e-18), information)


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
    removable, left = standing.left(0), standing.left(games)
    hidden = np.maximum(standing.sd**2 - removable, 0)
    reach = ndtri(standing.sure) * np.sqrt(hidden + left)
    move = np.sqrt(np.maximum(removable - left, 1e-18))
    above = standing.mean - standing.line
    return np.asarray(ndtr((-reach - above) / move) + ndtr((above - reach) / move))


def games_to_settle(standing: Standing, *, chance: float | Numbers = ENOUGH) -> Numbers:
    """Fewest further games after which the verdict is settled with a probability.

    Parameters
    ----------
    standing : Standing
        Where the cards stand now.
    chance : float or ndarray of shape (n,), optional
        Probability wanted, in (0, 1), of all cards or of each.

    Returns
    -------
    ndarray of shape (n,)
        Games, at least 1; ``inf`` where a million would not do.

    Examples
    --------
    A card two points above the line, known to two points, nothing hidden:

    >>> import numpy as np
    >>> sd = np.array([0.08])
    >>> looks = (record_look(sd**2, 0.2475),)
    >>> here = Standing(np.array([0.08]), sd, sd**2, 0.0, 0.9, looks)
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
    return np.where(never | late, np.inf, np.ceil(NEARLY * np.exp(high)))


def games_that_do_most(standing: Standing) -> tuple[Numbers, Numbers]:
    """Games after which further ones add little, for verdicts that may never settle.

    Parameters
    ----------
    standing : Standing
        Where the cards stand now.

    Returns
    -------
    games, chance : ndarray of shape (n,)
        Games that give nine tenths of the chance that endless games would give of settling the
        verdict, ``inf`` where a million do not; and the chance after so many.

    Examples
    --------
    A card with hardly any games, of which company hides as much as luck does:

    >>> import numpy as np
    >>> sd = np.array([0.1])
    >>> looks = (record_look(0.5 * sd**2, 0.2475),)
    >>> here = Standing(np.array([0.05]), sd, 0.5 * sd**2, 0.0, 0.9, looks)
    >>> games, chance = games_that_do_most(here)
    >>> float(games_to_settle(here)[0]), float(games.round(-2)[0]), float(chance.round(2)[0])
    (inf, 9800.0, 0.28)
    """
    games = games_to_settle(standing, chance=MOST * chance_to_settle(standing, np.inf))
    return games, chance_to_settle(standing, games)
