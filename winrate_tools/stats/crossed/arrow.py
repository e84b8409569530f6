r"""The arrow-shaped linear system behind crossed effects, solved by taking out the cards.

Effects of card, group and cell (a card within a group) have variances
:math:`v_c, v_g, v_x`. Everything here is written with tables of cards by groups: a *dual* table
:math:`A` stands for the effects

.. math:: (VA)_{ik} = v_c \sum_l A_{il} + v_g \sum_j A_{jk} + v_x A_{ik},

which stays true where a variance is 0. No card shares a cell with another, so that with working
weights :math:`W` the system :math:`A + W \circ VA = E` comes down to one equation a group.
"""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]


def by_card(table: Numbers) -> Numbers:
    """Sum tables of shape (..., n, K) by card, as a product, which is quicker than a sum."""
    return np.asarray(table @ np.ones(table.shape[-1]))


def by_group(table: Numbers) -> Numbers:
    """Sum tables of shape (..., n, K) by group."""
    return np.asarray(np.ones(table.shape[-2]) @ table)


def by_kind(first: Numbers, second: Numbers) -> Numbers:
    """Inner products of two tables' sums by card, by group and by cell; shape (3,)."""
    return np.array(
        [
            by_card(first) @ by_card(second),
            by_group(first) @ by_group(second),
            first.ravel() @ second.ravel(),
        ]
    )


class Variances(NamedTuple):
    """Variances of the effects of card, group and cell; each at least 0."""

    card: float
    group: float
    cell: float

    def spread(self, dual: Numbers) -> Numbers:
        """Return the sum of effects that a dual table stands for; shape (..., n, K)."""
        cards = self.card * by_card(dual)[..., :, None]
        effects = cards + self.group * by_group(dual)[..., None, :]
        return np.asarray(effects + self.cell * dual if self.cell else effects)


@dataclass(frozen=True, eq=False)
class Arrow:
    """The system for one table of weights and one set of variances.

    Parameters
    ----------
    weight : ndarray of shape (n, K)
        Working weights, at least 0.
    variances : Variances
        Of card, group and cell.
    """

    weight: Numbers
    variances: Variances

    @cached_property
    def kept(self) -> Numbers:
        """Share of each cell's say that its own effect leaves to card and group."""
        return 1 / (1 + self.variances.cell * self.weight)

    @cached_property
    def thinned(self) -> Numbers:
        """Weights after the cells' own effects are taken out."""
        return self.weight * self.kept if self.variances.cell else self.weight

    @cached_property
    def card_pivot(self) -> Numbers:
        """Pivot of each card, at least 1; shape (n,)."""
        return np.asarray(1 + self.variances.card * by_card(self.thinned))

    @cached_property
    def loading(self) -> Numbers:
        """Weights over their card's pivot; shape (n, K)."""
        return self.thinned / self.card_pivot[:, None]

    @cached_property
    def group_information(self) -> Numbers:
        """What cells say of groups once cards are taken out; shape (K, K)."""
        shared = self.variances.card * (self.thinned.T @ self.loading)
        return np.asarray(np.diag(by_group(self.thinned)) - shared)

    @cached_property
    def group_pivot(self) -> Numbers:
        """Pivot of the groups; shape (K, K)."""
        size = len(self.group_information)
        return np.asarray(np.eye(size) + self.variances.group * self.group_information)

    @cached_property
    def group_covariance(self) -> Numbers:
        """Posterior covariance of the groups' effects; shape (K, K)."""
        return np.asarray(self.variances.group * np.linalg.inv(self.group_pivot))

    @cached_property
    def log_determinant(self) -> float:
        """Log determinant of the system."""
        cells = -np.log(self.kept).sum() if self.variances.cell else 0.0
        cards = np.log(self.card_pivot).sum()
        return float(cells + cards + np.linalg.slogdet(self.group_pivot)[1])

    def solve(self, right: Numbers) -> Numbers:
        """Solve for the dual table, or for a stack of them.

        Parameters
        ----------
        right : ndarray of shape (..., n, K)
            Right-hand sides.

        Returns
        -------
        ndarray of shape (..., n, K)
            Dual tables.
        """
        card, group, cell = self.variances
        own = right * self.kept if cell else right
        cards = by_card(own) / self.card_pivot
        reduced = by_group(own) - card * (cards @ self.thinned)
        groups = np.linalg.solve(self.group_pivot, reduced[..., None])[..., 0]
        cards = cards - group * (groups @ self.loading.T)
        mean = card * cards[..., :, None] + group * groups[..., None, :]
        return np.asarray(own - self.thinned * mean)

    @cached_property
    def card_part(self) -> Numbers:
        """Variance that what is not known of groups adds to each card's, over its square."""
        return np.asarray(by_card((self.loading @ self.group_covariance) * self.loading))

    @cached_property
    def card_variance(self) -> Numbers:
        """Posterior variance of each card's effect; shape (n,)."""
        card = self.variances.card
        return np.asarray(card / self.card_pivot + card**2 * self.card_part)

    @cached_property
    def card_group_covariance(self) -> Numbers:
        """Posterior covariance of cards' with groups' effects; shape (n, K)."""
        return np.asarray(-self.variances.card * (self.loading @ self.group_covariance))

    @cached_property
    def pair_variance(self) -> Numbers:
        """Posterior variance of card's plus group's effect; shape (n, K)."""
        groups = self.group_covariance.diagonal()
        return self.card_variance[:, None] + 2 * self.card_group_covariance + groups

    @cached_property
    def sum_variance(self) -> Numbers:
        """Posterior variance of all effects on a cell together; shape (n, K)."""
        if not self.variances.cell:
            return self.pair_variance
        return self.variances.cell * self.kept + self.kept**2 * self.pair_variance

    @cached_property
    def _precisions(self) -> tuple[Numbers, Numbers, Numbers]:
        """Diagonals of the inverse of the working responses' variance, by kind of effect."""
        cards = by_card(self.thinned) / self.card_pivot - self.card_part
        groups: Numbers = np.linalg.inv(self.group_pivot) @ self.group_information
        cells = self.thinned - self.thinned**2 * self.pair_variance
        return cards, groups, cells

    @property
    def traces(self) -> Numbers:
        """Slopes of the log determinant in the three variances."""
        cards, groups, cells = self._precisions
        return np.array([cards.sum(), np.trace(groups), cells.sum()])

    @property
    def information(self) -> Numbers:
        """Expected information on each of the three variances, others held (about)."""
        cards, groups, cells = self._precisions
        return 0.5 * np.array([(cards**2).sum(), (groups**2).sum(), (cells**2).sum()])
