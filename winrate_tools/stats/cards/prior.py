r"""What is believed about a card before its games: usage moves the mean, traps have a class.

For a card of faction :math:`h` with standardised usage :math:`x_i` and mean usage
:math:`\bar x_i`, the deviation :math:`t_i` of its record from the sample's mean, on the
log-odds, is

.. math::

    t_i \sim (1-\pi_i)\, N(\beta_0 + x_i'\beta + f_h, \tau^2)
    + \pi_i\, N(\beta_0 + f_h - d, \tau_2^2),
    \quad \pi_i = \operatorname{expit}(a_0 - a_1 \bar x_i).

The second class is a net for cards whose usage tells nothing, such as traps; :math:`f_h` is
what the cards of a faction share. A vector of hyperparameters holds, in this order,
:math:`\beta_0, \beta, f, \log\tau` and, where the class is on,
:math:`\log d, \log\tau_2, a_0, a_1`.
"""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.usage import Usage

if TYPE_CHECKING:
    from winrate_tools.stats.cards.company import Company

Numbers = npt.NDArray[np.float64]
FEWEST_CARDS = 30
"""Below this many cards with games neither usage nor the second class can be learnt."""
SPREAD_SCALE = 0.15
"""Scale of the half-normal prior of the spread, on the log-odds."""
WHOLE_SPREAD_SCALE = 0.25
"""The same for a small pool, where nothing of the spread is put down to usage, factions or a
second class. In 480 simulated pools of 24 cards with 3 to 40 games each, 9.4 keeps in 100 were
wrong, with 8.3 stated; at the other scale it was 11.8, with 8.2 stated."""
INTERCEPT_SD = 0.5
SLOPE_SD = 0.15
"""Of usage's slope, in log-odds a standard deviation: wider gives lone cards leverage."""
SECOND_MEAN = np.array([np.log(0.22), np.log(0.10), np.log(0.1 / 0.9), 0.5])
SECOND_SD = np.array([0.5, 0.5, 1.0, 1.0])

WIDE_NET = np.array([np.log(0.10), np.log(0.20), np.log(0.18 / 0.82), 0.0])
"""A second class of odd cards on both sides of the others, from which to search as well."""


class Classes(NamedTuple):
    """The prior's classes at each of H hyperparameter vectors, for n cards and C classes.

    Attributes
    ----------
    log_share : ndarray of shape (C, H, n)
        Log of each class's prior share.
    mean : ndarray of shape (C, H, n)
        Class means.
    sd : ndarray of shape (C, H, 1)
        Class standard deviations.
    """

    log_share: Numbers
    mean: Numbers
    sd: Numbers


class Prior(NamedTuple):
    """The shape of the prior for one pool.

    Attributes
    ----------
    usage : ndarray of shape (n, k)
        Cleaned usage; k may be 0.
    factions : ndarray of shape (n, g)
        1 where a card belongs to a faction, else 0; g may be 0.
    faction_sd : float
        Standard deviation of what factions share.
    score : ndarray of shape (n,)
        Mean usage.
    has_second_class : bool
        Whether there is a class for cards that usage does not explain.
    """

    usage: Numbers
    factions: Numbers
    faction_sd: float
    score: Numbers
    has_second_class: bool

    @property
    def spread_at(self) -> int:
        """Place of the log spread in a vector of hyperparameters."""
        return 1 + int(self.usage.shape[1] + self.factions.shape[1])

    @property
    def spread_scale(self) -> float:
        """Scale of the half-normal prior of the spread, on the log-odds."""
        return SPREAD_SCALE if self.has_second_class else WHOLE_SPREAD_SCALE

    @property
    def size(self) -> int:
        """Length of a vector of hyperparameters."""
        return self.spread_at + 1 + (4 if self.has_second_class else 0)

    def start(self) -> Numbers:
        """Return a vector to start a search from, shape (size,)."""
        first = np.zeros(self.spread_at + 1)
        first[self.spread_at] = np.log(0.1)
        return np.concatenate([first, SECOND_MEAN]) if self.has_second_class else first

    def log_density(self, hyper: Numbers) -> Numbers:
        """Log density of the hyperparameters, up to a constant, shape (H,)."""
        coefficients, log_spread, second = self._parts(hyper)
        density = -0.5 * ((coefficients / self.coefficient_sd()) ** 2).sum(axis=1)
        density = density + log_spread - 0.5 * np.exp(2 * log_spread) / self.spread_scale**2
        return np.asarray(
            density - 0.5 * (((second - SECOND_MEAN) / SECOND_SD) ** 2).sum(axis=1)
        )

    def gradient(self, hyper: Numbers) -> Numbers:
        """Gradient of `log_density`, shape (H, size)."""
        coefficients, log_spread, second = self._parts(hyper)
        spread = 1 - np.exp(2 * log_spread) / self.spread_scale**2
        parts = [-coefficients / self.coefficient_sd() ** 2, spread[:, None]]
        if self.has_second_class:
            parts.append(-(second - SECOND_MEAN) / SECOND_SD**2)
        return np.concatenate(parts, axis=1)

    def classes(self, hyper: Numbers) -> Classes:
        """Return the prior's classes at each vector of hyperparameters."""
        coefficients, log_spread, second = self._parts(hyper)
        shared = coefficients[:, :1] + self.shared(hyper)
        mean = shared + coefficients[:, 1 : 1 + self.usage.shape[1]] @ self.usage.T
        sd = np.exp(log_spread)[:, None]
        if not self.has_second_class:
            return Classes(np.zeros((1, *mean.shape)), mean[None], sd[None])
        log_odds = second[:, 2:3] - second[:, 3:4] * self.score
        fallen = shared - np.exp(second[:, :1])
        return Classes(
            -np.logaddexp(0, np.array([log_odds, -log_odds])),
            np.array([mean, fallen]),
            np.array([sd, np.exp(second[:, 1:2])]),
        )

    def shared(self, hyper: Numbers) -> Numbers:
        """Return what each card shares with its faction, shape (H, n)."""
        first = 1 + self.usage.shape[1]
        return np.asarray(hyper[:, first : self.spread_at] @ self.factions.T)

    def columns(self) -> tuple[Numbers, Numbers]:
        """Return what the coefficients count for in each class's mean, shape (n, p) each.

        The second class knows the intercept and the factions, not usage.
        """
        usual = np.hstack([np.ones((len(self.score), 1)), self.usage, self.factions])
        second = usual.copy()
        second[:, 1 : 1 + self.usage.shape[1]] = 0.0
        return usual, second

    def coefficient_sd(self) -> Numbers:
        """Return the prior standard deviation of each coefficient, shape (p,)."""
        sd = np.full(self.spread_at, SLOPE_SD)
        sd[0] = INTERCEPT_SD
        sd[1 + self.usage.shape[1] :] = self.faction_sd
        return sd

    def _parts(self, hyper: Numbers) -> tuple[Numbers, Numbers, Numbers]:
        at = self.spread_at
        second = hyper[:, at + 1 :] if self.has_second_class else SECOND_MEAN[None, :]
        return hyper[:, :at], hyper[:, at], second


def prior_for(usage: Usage, company: "Company", cards_with_games: int) -> Prior:
    """Choose the prior's shape: a small pool can teach neither usage nor a second class.

    Parameters
    ----------
    usage : Usage
        Cleaned usage of n cards.
    company : Company
        Factions of the same cards.
    cards_with_games : int
        How many of them have games.

    Returns
    -------
    Prior
        With usage, factions and a second class from 30 cards with games on.
    """
    n = len(usage.score)
    if cards_with_games < FEWEST_CARDS:
        none = np.zeros((n, 0))
        return Prior(none, none, company.sd, np.zeros(n), has_second_class=False)
    return Prior(usage.matrix, company.member, company.sd, usage.score, has_second_class=True)
