"""Draws of all cards together, spread as evenly over each card's posterior as may be."""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from winrate_tools.stats.cards.mixture import NormalMixture

Numbers = npt.NDArray[np.float64]
TINY = 1e-300
GOLDEN = (5**0.5 - 1) / 2
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
    its cells; Niederreiter, H. (1992). *Random Number Generation and Quasi-Monte Carlo
    Methods*. SIAM, section 3.1, for the pairs of a card's class and place in it (both from
    memory).

    Examples
    --------
    >>> one = NormalMixture(np.ones((1, 2)), np.array([[0.0, 1.0]]), np.ones((1, 2)))
    >>> joint_draws(one, np.ones(1), ("Ash Vine", "Tin Moth"), 400, seed=1).std(axis=0).round(2)
    array([1., 1.])
    """
    rng, steps = np.random.default_rng(seed), np.cumsum(draw_weight)
    middle, deviate = _even_pairs(count)
    drawn, classes = np.searchsorted(steps / steps[-1], middle), len(own.weight) // len(steps)
    weight, mean, sd = (np.ascontiguousarray(it.T) for it in (own.weight, own.mean, own.sd))
    centre, draws = own.centre, np.empty((len(names), count))
    for card in _turns(centre, names):
        order, of = rng.permutation(count), drawn
        if classes > 1:
            first, second = weight[card].reshape(classes, -1)
            share = first / np.maximum(first + second, TINY)
            of = drawn + len(steps) * (middle[order] > share[drawn])
        draws[card] = mean[card][of] + sd[card][of] * deviate[order]
        draws[card] += centre[card] - draws[card].mean()
    return draws.T


def _even_pairs(count: int) -> tuple[Numbers, Numbers]:
    """Points that fill a square evenly: shares of 1, and standard normal deviates.

    Where the golden ratio's multiples stand in order says which goes with which.
    """
    middle = (np.arange(count) + 0.5) / count
    turned = (np.arange(count) * GOLDEN) % 1.0
    return middle, ndtri(middle)[turned.argsort().argsort()]


def _turns(centre: Numbers, names: Sequence[str]) -> npt.NDArray[np.intp]:
    """Return the cards in the order of their means."""
    return np.lexsort((np.array(names), centre.round(ALIKE)))
