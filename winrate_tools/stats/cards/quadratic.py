r"""Counts of wins as near normal evidence: a quadratic log-likelihood about a likely place.

About :math:`a`, the log-likelihood of an item is nearly
:math:`g (t - a) - \tfrac12 k (t - a)^2`, and integrals over a normal prior
:math:`N(\mu, v)` need no quadrature:

.. math:: \log m = \frac{g\delta - \tfrac12 k\delta^2 + \tfrac12 g^2 v}{1 + kv}
    - \tfrac12\log(1 + kv), \qquad \delta = \mu - a.

That is a tenth of the work of `winrate_tools.stats.cards.logit_normal`, whose word is the last.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.stats.cards.logit_normal import Evidence, Posterior
from winrate_tools.stats.cards.prior import Prior

Numbers = npt.NDArray[np.float64]


class Looks(NamedTuple):
    """What n cards say through each of C classes of the prior, at H vectors of hyperparameters.

    Attributes
    ----------
    share : ndarray of shape (C, H, n)
        Probability of each class.
    slope, precision : ndarray of shape (C, H, n)
        First derivative, and negative second, of the log marginal likelihood in the class mean.
    log_likelihood : ndarray of shape (H,)
        Log probability of all counts, up to a constant.
    """

    share: Numbers
    slope: Numbers
    precision: Numbers
    log_likelihood: Numbers


class Quadratic(NamedTuple):
    """Nearly the log-likelihood of each of n items.

    Attributes
    ----------
    about : ndarray of shape (n,)
        Where it is exact to the second derivative.
    slope, curvature : ndarray of shape (n,)
        Its first derivative there, and the negative second.

    Examples
    --------
    >>> evidence = Evidence(np.array([60.0]), np.array([100.0]), np.array([0.0]))
    >>> near = Quadratic.near(evidence, np.array([0.3]))
    >>> found = near.posterior(np.zeros(1), np.full(1, 0.2))
    >>> found.mean.round(2), found.sd.round(2)
    (array([0.2]), array([0.14]))
    """

    about: Numbers
    slope: Numbers
    curvature: Numbers

    @classmethod
    def near(cls, evidence: Evidence, about: Numbers) -> "Quadratic":
        """Expand the log-likelihood of counts about likely values, shape (n,).

        Where it bends more on the way to its top, as it does for a card that never won although
        it should have, that bend is taken: a straight line would have no top.
        """
        rate = expit(evidence.offset + about)
        slope = evidence.wins - evidence.games * rate
        best = (evidence.wins + 0.5) / (evidence.games + 1)
        way = logit(best) - evidence.offset - about
        bend = evidence.games * (best - rate) / np.where(way == 0, np.inf, way)
        return cls(about, slope, np.maximum(evidence.games * rate * (1 - rate), bend))

    def posterior(self, mean: Numbers, sd: Numbers) -> Posterior:
        """Integrate over normal priors that broadcast to (..., n); the same up to constants."""
        variance = sd**2
        wider = 1 + self.curvature * variance
        off = mean - self.about
        height = (
            off * (self.slope - 0.5 * self.curvature * off) + 0.5 * self.slope**2 * variance
        )
        return Posterior(
            height / wider - 0.5 * np.log(wider),
            (mean + variance * (self.slope + self.curvature * self.about)) / wider,
            np.sqrt(variance / wider),
        )

    def looks(self, prior: Prior, hyper: Numbers) -> Looks:
        """See every card through each class, at H vectors of hyperparameters."""
        at, shared = prior.spread_at, hyper[:, :1] + prior.shared(hyper)
        mean = (shared + hyper[:, 1 : 1 + prior.usage.shape[1]] @ prior.usage.T)[None]
        log_sd = hyper[None, :, at, None]
        if prior.has_second_class:
            mean = np.array([mean[0], shared - np.exp(hyper[:, at + 1, None])])
            log_sd = hyper[:, [at, at + 2]].T[..., None]
        variance = np.exp(2 * log_sd)
        part = 1 / (1 + self.curvature * variance)
        off = mean - self.about
        bend = self.curvature * off
        height = off * (self.slope - 0.5 * bend) + 0.5 * self.slope**2 * variance
        height = part * height + 0.5 * np.log(part)
        slope, precision = part * (self.slope - bend), part * self.curvature
        if not prior.has_second_class:
            return Looks(np.ones_like(height), slope, precision, height[0].sum(axis=1))
        log_odds = hyper[:, at + 3, None] - hyper[:, at + 4, None] * prior.score
        favour = height[1] - height[0] + log_odds
        share = expit(favour)
        log_likelihood = height[0] + np.logaddexp(0, favour) - np.logaddexp(0, log_odds)
        return Looks(np.array([1 - share, share]), slope, precision, log_likelihood.sum(axis=1))

    def log_posterior(self, prior: Prior, hyper: Numbers) -> Numbers:
        """Log posterior density of hyperparameters up to a constant, shape (H,)."""
        return self.looks(prior, hyper).log_likelihood + prior.log_density(hyper)
