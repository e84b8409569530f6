r"""Counts of wins as near normal evidence: a quadratic log-likelihood about a likely place.

About :math:`a`, the log-likelihood of an item is nearly
:math:`g (t - a) - \tfrac12 k (t - a)^2`, and integrals over a normal prior
:math:`N(\mu, v)` need no quadrature:

.. math:: \log m = \frac{g\delta - \tfrac12 k\delta^2 + \tfrac12 g^2 v}{1 + kv}
    - \tfrac12\log(1 + kv), \qquad \delta = \mu - a.

That is a tenth of the work of `winrate_tools.stats.cards.logit_normal`, whose word is the last.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.stats.cards.logit_normal import Evidence, Posterior
from winrate_tools.stats.cards.prior import Prior

Numbers = npt.NDArray[np.float64]
AT_ONCE = 25_000
"""Items times vectors that are worked out together: so many stay near the processor."""


@dataclass(frozen=True, slots=True)
class Quadratic:
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

    def log_posterior(self, prior: Prior, hyper: Numbers) -> Numbers:
        """Log posterior density of hyperparameters up to a constant, shape (H,)."""
        parts = -(-hyper.size * len(self.about) // hyper.shape[1] // AT_ONCE)
        return np.concatenate(
            [
                self._log_likelihood(prior, part) + prior.log_density(part)
                for part in np.array_split(hyper, max(1, parts))
            ]
        )

    def _log_likelihood(self, prior: Prior, hyper: Numbers) -> Numbers:
        """Add up the cards' log densities, with no more logarithms than need be."""
        at = prior.spread_at
        shared = hyper[:, :1] + prior.shared(hyper)
        usual = shared + hyper[:, 1 : 1 + prior.usage.shape[1]] @ prior.usage.T
        narrow, height = self._peak(usual, hyper[:, at, None])
        if not prior.has_second_class:
            return np.asarray((height + np.log(narrow)).sum(axis=1))
        fallen = shared - np.exp(hyper[:, at + 1, None])
        other, far = self._peak(fallen, hyper[:, at + 2, None])
        odds = np.exp(hyper[:, at + 3, None] - hyper[:, at + 4, None] * prior.score)
        top = np.maximum(height, far)
        both = narrow * np.exp(height - top) + odds * other * np.exp(far - top)
        return np.asarray((top + np.log(both / (1 + odds))).sum(axis=1))

    def _peak(self, mean: Numbers, log_sd: Numbers) -> tuple[Numbers, Numbers]:
        """Return a factor, and the log of another, whose product is the marginal."""
        variance = np.exp(2 * log_sd)
        part = 1 / (1 + self.curvature * variance)
        off = mean - self.about
        height = off * (self.slope - 0.5 * self.curvature * off)
        return np.sqrt(part), part * (height + 0.5 * self.slope**2 * variance)
