"""Draws of all cards together, spread as evenly over each card's posterior as may be."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from winrate_tools.stats.cards.mixture import NormalMixture

Numbers = npt.NDArray[np.float64]
ALIKE = 9
"""Cards whose means agree to so many decimals take their turn by name."""


def joint_draws(
    own: NormalMixture, draw_weight: Numbers, names: Sequence[str], count: int, seed: int
) -> Numbers:
    """Draw the effects of n cards together.

    Cards of one draw share their hyperparameters, so their errors move together. Random
    numbers go to the cards in the order of their means, so that the order of a table changes
    nothing.

    Parameters
    ----------
    own : NormalMixture
        Over the n cards; its components are, class after class, those of the H draws of the
        hyperparameters.
    draw_weight : ndarray of shape (H,)
        Weights of those draws, at least 0.
    names : sequence of str
        Of the cards.
    count : int
        How many draws, at least 1.
    seed : int
        Seed of the draws.

    Returns
    -------
    ndarray of shape (count, n)
        The mean of each column is the mean of its mixture, to rounding.

    References
    ----------
    McKay, M. D., Beckman, R. J. and Conover, W. J. (1979). A comparison of three methods for
    selecting values of input variables in the analysis of output from a computer code.
    *Technometrics* 21(2), 239-245, section 2, for the Latin hypercube, here of the middles of
    its cells (from memory).

    Examples
    --------
    >>> one = NormalMixture(np.ones((1, 2)), np.array([[0.0, 1.0]]), np.ones((1, 2)))
    >>> joint_draws(one, np.ones(1), ("Ash Vine", "Tin Moth"), 400, seed=1).std(axis=0).round(2)
    array([1., 1.])
    """
    rng, shape = np.random.default_rng(seed), (len(names), count)
    turn, middle = _turns(own.centre, names), (np.arange(count) + 0.5) / count
    steps = np.cumsum(draw_weight)
    drawn = np.searchsorted(steps / steps[-1], middle)
    mean, sd = own.mean[drawn], own.sd[drawn]
    if len(own.weight) > len(steps):
        other = drawn + len(steps)
        first, second = own.weight[drawn], own.weight[other]
        fallen = _hypercube(rng, middle, shape)[turn].T * (first + second) > first
        mean, sd = np.where(fallen, own.mean[other], mean), np.where(fallen, own.sd[other], sd)
    draws = mean + sd * _hypercube(rng, ndtri(middle), shape)[turn].T
    return np.asarray(draws + (own.centre - draws.mean(axis=0)))


def _turns(centre: Numbers, names: Sequence[str]) -> npt.NDArray[np.intp]:
    """Return each card's place in the order of the means."""
    order = np.lexsort((np.array(names), centre.round(ALIKE)))
    return np.asarray(order.argsort())


def _hypercube(rng: np.random.Generator, steps: Numbers, shape: tuple[int, int]) -> Numbers:
    """Return the same steps for every card, each time in another order; shape (n, count)."""
    return np.asarray(rng.permuted(np.broadcast_to(steps, shape), axis=1))
