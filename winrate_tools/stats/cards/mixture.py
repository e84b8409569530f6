"""Mixtures of normals, one mixture an item: how every posterior here is carried."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri

from winrate_tools.errors import LevelError

Numbers = npt.NDArray[np.float64]
HALVINGS = 200
NEAR = 1e-7
"""A step of Newton's method from which on the next would change nothing."""


class NormalMixture(NamedTuple):
    """For each of n items, a weighted mixture of J normals.

    Attributes
    ----------
    weight : ndarray of shape (J, n)
        At least 0, each column sums to 1.
    mean, sd : ndarray of shape (J, n)
        Of the components; ``sd > 0``.

    Examples
    --------
    >>> import numpy as np
    >>> one = NormalMixture(np.ones((1, 1)), np.zeros((1, 1)), np.ones((1, 1)))
    >>> f"{one.below(-1.0)[0]:.4f} {one.quantile(0.975)[0]:.4f}"
    '0.1587 1.9600'
    """

    weight: Numbers
    mean: Numbers
    sd: Numbers

    @property
    def centre(self) -> Numbers:
        """Mean of each mixture, shape (n,)."""
        return np.asarray((self.weight * self.mean).sum(axis=0))

    @property
    def scale(self) -> Numbers:
        """Standard deviation of each mixture, shape (n,)."""
        about = self.mean - self.centre
        return np.asarray(np.sqrt((self.weight * (self.sd**2 + about**2)).sum(axis=0)))

    def below(self, point: float | Numbers) -> Numbers:
        """Probability of lying below a point, shape (n,); the point may differ by item."""
        chance = (self.weight * ndtr((point - self.mean) / self.sd)).sum(axis=0)
        return np.asarray(np.minimum(chance, 1.0))

    def quantile(self, level: float) -> Numbers:
        """Point below which each mixture lies with a probability, shape (n,).

        Parameters
        ----------
        level : float
            Probability, strictly between 0 and 1.

        Returns
        -------
        ndarray of shape (n,)
            ``below(quantile(level)) == level`` to rounding.

        Raises
        ------
        LevelError
            If the level is not between 0 and 1.
        """
        if not 0 < level < 1:
            msg = f"level must lie strictly between 0 and 1, got {level}"
            raise LevelError(msg)
        low = (self.mean - 40 * self.sd).min(axis=0)
        high = (self.mean + 40 * self.sd).max(axis=0)
        point, before, last = self.centre + ndtri(level) * self.scale, high - low, high - low
        done = np.zeros(point.shape, dtype=np.bool_)
        for _ in range(HALVINGS):
            excess = self.below(point) - level
            low, high = np.where(excess < 0, point, low), np.where(excess > 0, point, high)
            moved = point - excess / np.maximum(self._density(point), 1e-300)
            astray = (moved < low) | (moved > high) | (np.abs(moved - point) > 0.5 * before)
            moved = np.where(astray, 0.5 * (low + high), moved)
            before, last = last, np.abs(moved - point)
            point = np.where(done, point, moved)
            done |= ~astray & (last <= NEAR * (1 + np.abs(point)))
            if done.all():
                break
        return np.asarray(point)

    def given(self, seen: Numbers, variance: Numbers) -> "NormalMixture":
        """Update each mixture by a normal observation of it.

        Parameters
        ----------
        seen, variance : ndarray of shape (n,)
            What was seen of each item, and the variance of its error; NaN where nothing was.

        Returns
        -------
        NormalMixture
            Bayes' rule, component by component.
        """
        known = ~np.isnan(seen)
        value, error = np.where(known, seen, 0.0), np.where(known, variance, np.inf)
        total = self.sd**2 + error
        gain = np.where(known, self.sd**2 / total, 0.0)
        off = value - self.mean
        with np.errstate(divide="ignore"):
            log_weight = np.log(self.weight)
        fit = np.where(known, -0.5 * off**2 / total - 0.5 * np.log(total), 0.0)
        log_weight = log_weight + fit
        weight = np.exp(log_weight - log_weight.max(axis=0))
        return NormalMixture(
            weight / weight.sum(axis=0), self.mean + gain * off, self.sd * np.sqrt(1 - gain)
        )

    def _density(self, point: Numbers) -> Numbers:
        z = (point - self.mean) / self.sd
        kernel = np.exp(-0.5 * z**2) / (self.sd * np.sqrt(2 * np.pi))
        return np.asarray((self.weight * kernel).sum(axis=0))
