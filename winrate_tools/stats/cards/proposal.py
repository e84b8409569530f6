"""Where to look for the shape of the prior: a mixture of normals that learns from a first look.

The shape is what the coefficients are normal about, given it: the log spread and, where there
is one, the second class.
"""

from typing import NamedTuple, Self

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

Numbers = npt.NDArray[np.float64]
WIDER = 1.2
"""Variances of a part, against those of the points that it is laid through."""
KEPT = 0.02
"""What a part's first mean and covariance count, against all points together."""


class Proposal(NamedTuple):
    """A mixture of K normals in s dimensions.

    Attributes
    ----------
    share : ndarray of shape (K,)
        Shares of the parts, sum 1.
    mean : ndarray of shape (K, s)
        Their means.
    root : ndarray of shape (K, s, s)
        Lower roots of their precisions.
    """

    share: Numbers
    mean: Numbers
    root: Numbers

    @classmethod
    def about(cls, share: Numbers, mean: Numbers, covariance: Numbers) -> Self:
        """Lay normals about points, wider than some covariances of shape (K, s, s)."""
        precision = np.linalg.inv(WIDER * covariance)
        return cls(share, mean, np.asarray(np.linalg.cholesky(precision), dtype=np.float64))

    def sample(self, rng: np.random.Generator, draws: int) -> Numbers:
        """Draw points, a fixed number from each part, in even steps of each number's chance.

        Parameters
        ----------
        rng : numpy.random.Generator
            Where random numbers come from.
        draws : int
            How many, at least one.

        Returns
        -------
        ndarray of shape (draws, s)
        """
        ends = np.rint(np.cumsum([0.0, *self.share]) * draws).astype(int)
        z = stratified_normals(rng, draws, self.mean.shape[1])
        parts = np.split(z, ends[1:-1])
        return np.concatenate(
            [
                mean + np.linalg.solve(root.T, part.T).T
                for mean, root, part in zip(self.mean, self.root, parts, strict=True)
            ]
        )

    def log_density(self, points: Numbers) -> Numbers:
        """Log density up to a constant, shape (H,)."""
        return np.asarray(np.logaddexp.reduce(self._by_part(points), axis=0))

    def nearer(self, points: Numbers, weight: Numbers) -> Self:
        """Lay each part through weighted points, as far as they are its own.

        Shares stay, so that every draw stays with its part: all of it moves smoothly with the
        weights.

        Parameters
        ----------
        points : ndarray of shape (H, s)
            Points.
        weight : ndarray of shape (H,)
            Their weights, sum 1.

        References
        ----------
        Cappé, O. et al. (2008). Adaptive importance sampling in general mixture classes.
        *Statistics and Computing* 18, 447-459, section 3 (from memory).
        """
        by_part = self._by_part(points)
        owned = np.exp(by_part - np.logaddexp.reduce(by_part, axis=0)) * weight
        total = owned.sum(axis=1)[:, None] + KEPT
        mean = (owned @ points + KEPT * self.mean) / total
        off, moved = points - mean[:, None], self.mean - mean
        first = np.linalg.inv(WIDER * self.root @ np.swapaxes(self.root, 1, 2))
        square = np.swapaxes(off * owned[..., None], 1, 2) @ off
        square += KEPT * (first + moved[:, :, None] * moved[:, None])
        return self.about(self.share, mean, square / total[..., None])

    def _by_part(self, points: Numbers) -> Numbers:
        """Log densities of the parts times their shares, up to a constant, shape (K, H)."""
        off = (points - self.mean[:, None]) @ self.root
        height = np.log(self.share) + log_determinant(self.root)
        return np.asarray(height[:, None] - 0.5 * (off**2).sum(axis=2))


def log_determinant(root: Numbers) -> Numbers:
    """Return logs of the determinants of triangular matrices, shape (..., s, s) to (...)."""
    return np.asarray(np.log(np.diagonal(root, axis1=-2, axis2=-1)).sum(axis=-1))


def stratified_normals(rng: np.random.Generator, draws: int, columns: int) -> Numbers:
    """Latin hypercube of standard normals, shape (draws, columns)."""
    z = ndtri((np.arange(draws) + 0.5) / draws)
    return np.asarray(rng.permuted(np.broadcast_to(z, (columns, draws)), axis=1).T)
