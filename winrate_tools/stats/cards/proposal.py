"""Where to look for hyperparameters: a mixture about the modes, and about what was believed.

Each part follows the log spread along its own curve on a grid (it is far from normal where the
data show no spread), and has the rest normal about a line in it.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from winrate_tools.stats.cards.newton import Batch, Peak

Numbers = npt.NDArray[np.float64]
SPREAD_GRID = np.linspace(np.log(0.003), np.log(1.5), 50)
WIDER = 1.2
"""Variances about a path, against those that a mode's curvature tells."""
LEAST_DENSITY = 1e-9
"""Of a spread, against the most probable one."""


class Proposal(NamedTuple):
    """A mixture of ways through the space of hyperparameters.

    Attributes
    ----------
    paths : list of SpreadPath
        Its parts.
    share : list of float
        Shares of the parts, sum 1.
    """

    paths: "list[SpreadPath]"
    share: list[float]

    def sample(self, rng: np.random.Generator, draws: int) -> tuple[Numbers, Numbers]:
        """Draw vectors, and return the log of their density up to a constant.

        Parameters
        ----------
        rng : numpy.random.Generator
            Where random numbers come from.
        draws : int
            How many, at least one.

        Returns
        -------
        tuple of ndarray
            Vectors, shape (draws, size), and log densities, shape (draws,).

        References
        ----------
        Hesterberg, T. (1995). Weighted average importance sampling and defensive mixture
        distributions. *Technometrics* 37(2), 185-194 (from memory).
        """
        ends = np.rint(np.cumsum([0.0, *self.share]) * draws).astype(int)
        counts = np.diff(ends).tolist()
        hyper = np.concatenate(
            [path.sample(rng, count) for path, count in zip(self.paths, counts, strict=True)]
        )
        return hyper, self.log_density(hyper)

    def log_density(self, hyper: Numbers) -> Numbers:
        """Log density up to a constant, shape (H,)."""
        parts = [
            np.log(share) + path.log_density(hyper)
            for path, share in zip(self.paths, self.share, strict=True)
        ]
        return np.asarray(np.logaddexp.reduce(parts, axis=0))


@dataclass(frozen=True, slots=True)
class SpreadPath:
    """One part of a proposal.

    Attributes
    ----------
    mode : ndarray of shape (size,)
        A point of the line.
    slope : ndarray of shape (size,)
        By how much the line moves with the log spread; 1 at the log spread itself.
    root : ndarray of shape (size - 1, size - 1)
        Lower root of the precision of the rest about the line.
    at : int
        Place of the log spread.
    mass : ndarray of shape (50,)
        Probability of a log spread below each point of the grid.
    """

    mode: Numbers
    slope: Numbers
    root: Numbers
    at: int
    mass: Numbers

    @classmethod
    def through(cls, found: Peak, at: int, log_density: Batch) -> "SpreadPath":
        """Lay a path through a mode, along the curve of a density."""
        inner = _without(_without(found.information, at).T, at)
        slope = np.insert(
            -np.linalg.solve(inner, np.delete(found.information[at], at)), at, 1.0
        )
        curve = log_density(found.point + np.outer(SPREAD_GRID - found.point[at], slope))
        density = np.maximum(np.exp(curve - curve.max()), LEAST_DENSITY)
        mass = np.concatenate([[0.0], np.cumsum(density[1:] + density[:-1])])
        root = np.asarray(np.linalg.cholesky(inner / WIDER), dtype=np.float64)
        return cls(found.point, slope, root, at, mass / mass[-1])

    def sample(self, rng: np.random.Generator, draws: int) -> Numbers:
        """Draw vectors, shape (draws, size), in even steps of each number's own chance."""
        places = rng.permutation((np.arange(draws) + 0.5) / max(draws, 1))
        hyper = self._along(np.interp(places, self.mass, SPREAD_GRID))
        z = _stratified_normals(rng, draws, len(self.root))
        return np.asarray(hyper + np.insert(np.linalg.solve(self.root.T, z.T).T, self.at, 0, 1))

    def log_density(self, hyper: Numbers) -> Numbers:
        """Log density up to a constant that all paths share, shape (H,)."""
        log_spread = hyper[:, self.at]
        cell = np.searchsorted(SPREAD_GRID, log_spread) - 1
        cell = np.clip(cell, 0, len(SPREAD_GRID) - 2)
        off = _without(hyper - self._along(log_spread), self.at) @ self.root
        height = np.log(np.diag(self.root)).sum() - 0.5 * (off**2).sum(axis=1)
        return np.asarray(height + np.log(self.mass[cell + 1] - self.mass[cell]))

    def _along(self, log_spread: Numbers) -> Numbers:
        return np.asarray(self.mode + np.outer(log_spread - self.mode[self.at], self.slope))


def _without(matrix: Numbers, column: int) -> Numbers:
    return np.delete(matrix, column, axis=1)


def _stratified_normals(rng: np.random.Generator, draws: int, columns: int) -> Numbers:
    """Latin hypercube of standard normals, shape (draws, columns)."""
    z = ndtri((np.arange(draws) + 0.5) / max(draws, 1))
    return np.asarray(rng.permuted(np.broadcast_to(z, (columns, draws)), axis=1).T)
