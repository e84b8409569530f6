r"""The prior's coefficients, given its shape: nearly normal about a mode of their own.

Given the spreads and the shares of the classes, card :math:`i` pulls at the coefficients
:math:`c` through the mean :math:`m_{ki} = x_{ki}'c + \dots` of each class :math:`k`. With
:math:`r_{ki}` the probability of the class, :math:`s_{ki}` the slope of its log marginal
likelihood in the mean and :math:`p_{ki}` the negative second derivative, the log-likelihood has
the slope :math:`\sum_{ki} r_{ki} s_{ki} x_{ki}` and the information

.. math:: \sum_{ki} r_{ki} p_{ki} x_{ki} x_{ki}'
    - \sum_i r_{1i} r_{2i} (s_{1i} x_{1i} - s_{2i} x_{2i})(s_{1i} x_{1i} - s_{2i} x_{2i})',

the second sum being what is lost as nobody sees a card's class (Louis, T. A., 1982, JRSS B
44(2), 226-233; from memory).
"""

from typing import NamedTuple, Self

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.prior import Prior
from winrate_tools.stats.cards.proposal import log_determinant
from winrate_tools.stats.cards.quadratic import Looks, Quadratic

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
LOST = 0.95
"""Most of a card's information that may be lost, so that no matrix has a negative direction."""
TINY = 1e-300
LONGEST = 0.3
"""Longest step of a coefficient, on the log-odds."""
AT_ONCE = 25_000
"""Cards times shapes that are worked out together: so many stay near the processor."""


class Given(NamedTuple):
    """Coefficients at H shapes of the prior, as normals.

    Attributes
    ----------
    mode : ndarray of shape (H, p)
        Most probable coefficients.
    root : ndarray of shape (H, p, p)
        Lower roots of their precisions.
    log_mass : ndarray of shape (H,)
        Log posterior density of the shape, by Laplace's approximation, up to a constant.
    """

    mode: Numbers
    root: Numbers
    log_mass: Numbers

    def at(self, z: Numbers) -> Numbers:
        """Coefficients that lie standard normal deviates off the modes, shape (H, p)."""
        off = np.linalg.solve(np.swapaxes(self.root, 1, 2), z[..., None])
        return np.asarray(self.mode + off[..., 0])

    def log_density(self, z: Numbers) -> Numbers:
        """Log density of the same, up to a constant, shape (H,)."""
        return np.asarray(log_determinant(self.root) - 0.5 * (z**2).sum(axis=1))


class Coefficients(NamedTuple):
    """The coefficients of one prior, seen through near normal evidence.

    Attributes
    ----------
    quick : Quadratic
        Evidence about n cards.
    prior : Prior
        The prior's shape, for the same cards.
    columns : tuple of ndarray
        What each coefficient counts for in the mean of either class, shape (n, p).
    products : ndarray of shape (n or 3 n, p (p + 1) / 2)
        Products of two columns each: of the usual class with itself, of the second with itself,
        of the two.
    upper : tuple of ndarray
        Places of the products in the upper half of a matrix.
    """

    quick: Quadratic
    prior: Prior
    columns: tuple[Numbers, Numbers]
    products: Numbers
    upper: tuple[Places, Places]

    @classmethod
    def of(cls, quick: Quadratic, prior: Prior) -> Self:
        """Lay out the products once, for every vector to come."""
        one, other = np.triu_indices(prior.spread_at)
        usual, second = columns = prior.columns()
        pairs = [usual[:, one] * usual[:, other]]
        if prior.has_second_class:
            pairs.append(second[:, one] * second[:, other])
            pairs.append(usual[:, one] * second[:, other] + second[:, one] * usual[:, other])
        return cls(quick, prior, columns, np.concatenate(pairs), (one, other))

    def given(self, shape: Numbers, start: Numbers) -> Given:
        """Find the coefficients at H shapes, by one of Newton's steps.

        Parameters
        ----------
        shape : ndarray of shape (H, s)
            Shapes, as the last numbers of vectors of hyperparameters.
        start : ndarray of shape (H, p)
            Likely coefficients there.

        Returns
        -------
        Given
        """
        parts = -(-len(shape) * len(self.prior.score) // AT_ONCE)
        pairs = zip(np.array_split(shape, parts), np.array_split(start, parts), strict=True)
        found = [self._given(*pair) for pair in pairs]
        return Given(*(np.concatenate(each) for each in zip(*found, strict=True)))

    def _given(self, shape: Numbers, start: Numbers) -> Given:
        height, slope, information = self.slopes(np.hstack([start, shape]))
        step = np.linalg.solve(information, slope[..., None])[..., 0]
        longest = np.abs(step).max(axis=1, keepdims=True)
        step /= np.maximum(1.0, longest / LONGEST)
        root = np.asarray(np.linalg.cholesky(information), dtype=np.float64)
        rise = 0.5 * (slope * step).sum(axis=1)
        return Given(start + step, root, height + rise - log_determinant(root))

    def slopes(self, hyper: Numbers, *, lost: float = LOST) -> tuple[Numbers, Numbers, Numbers]:
        """Return log posterior densities, slopes in the coefficients, and information.

        Parameters
        ----------
        hyper : ndarray of shape (H, size)
            Vectors of hyperparameters.
        lost : float, optional
            Most of a card's information that may be lost; without a bound, the information is
            exact and may have negative directions.

        Returns
        -------
        tuple of ndarray
            Shapes (H,), (H, p) and (H, p, p).
        """
        prior, at, (usual, second) = self.prior, self.prior.spread_at, self.columns
        looks = self.quick.looks(prior, hyper)
        pull = looks.share * looks.slope
        slope = pull[0] @ usual + (pull[1] @ second if prior.has_second_class else 0.0)
        packed = _information(looks, lost) @ self.products
        information = np.empty((len(hyper), at, at))
        one, other = self.upper
        information[:, one, other] = information[:, other, one] = packed
        information += np.diag(prior.coefficient_sd() ** -2.0)
        return (
            looks.log_likelihood + prior.log_density(hyper),
            slope + prior.gradient(hyper)[:, :at],
            information,
        )


def _information(looks: Looks, most: float) -> Numbers:
    """Weigh each card in the products, shape (H, n or 3 n).

    By Cauchy and Schwarz's inequality a card loses at most the share
    :math:`r_2 s_1^2 / p_1 + r_1 s_2^2 / p_2` of what it tells.
    """
    if len(looks.share) == 1:
        return np.asarray(looks.precision[0])
    (one, two), (first, second), precision = looks.share, looks.slope, looks.precision
    with np.errstate(divide="ignore", invalid="ignore"):
        lost = two * first**2 / precision[0] + one * second**2 / precision[1]
    both = one * two * np.minimum(1.0, most / np.fmax(lost, TINY))
    return np.hstack(
        [
            one * precision[0] - both * first**2,
            two * precision[1] - both * second**2,
            both * first * second,
        ]
    )
