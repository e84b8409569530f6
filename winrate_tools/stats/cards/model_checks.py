r"""Whether a table looks as the fitted model says that tables look.

Each check turns the data into standard normal deviates, which is what they are if the model
holds: how far each card's record lies from what cards like it make one expect; how far what a
card does in hand, against the same card in the deck, lies from what its record promises; and
whether a card's archetypes differ by more than games of so many decks do by chance.
"""

import numpy as np
import numpy.typing as npt
from scipy.special import chdtri, expit, ndtr, ndtri

from winrate_tools.stats.cards.homes import Homes
from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.cards.prior import SECOND_MEAN, SECOND_SD, Classes
from winrate_tools.stats.records.quantiles import sample_quantile

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
FARTHEST = 8.0
"""Deviates beyond this are no further told apart."""
RARE = 0.01
"""Chance of a false alarm over all cards together. A judgement, no source."""
WIDEST_NET = float(np.exp(SECOND_MEAN[1] + 2 * SECOND_SD[1]))
"""Deviation of the class of odd cards that was still thought likely before the games: a wider
one, learnt from the very card that lies far out, would hide it."""
FEWEST_WINS = 5.0
"""Information of a cell from which on its error is near enough to normal."""
FEWEST_CARDS = 20
"""Cards in several archetypes from which on a median says something."""


def deviates(evidence: Evidence, classes: Classes, weight: Numbers) -> Numbers:
    r"""How far each card's record lies from what the model expects of a card like it.

    The record's log-odds are worked out to first order about what the first class expects,
    :math:`d = (w - n p) / (n p (1 - p))`, with an error of variance :math:`1 / (n p (1 - p))`.
    Its place in the mixture of all hyperparameters and classes is turned into a deviate.

    Parameters
    ----------
    evidence : Evidence
        Effective counts of n cards.
    classes : Classes
        The prior's classes at H draws of the hyperparameters.
    weight : ndarray of shape (H,)
        Weights of the draws, sum 1.

    Returns
    -------
    ndarray of shape (n,)
        Standard normal if the model holds, from -8 to 8; NaN for a card without games.

    References
    ----------
    Gelman, A., Meng, X.-L. and Stern, H. (1996). Posterior predictive assessment of model
    fitness via realized discrepancies. *Statistica Sinica* 6, 733-807; with card effects drawn
    anew, as in Marshall, E. C. and Spiegelhalter, D. J. (2003). Approximate cross-validatory
    predictive checks in disease mapping models. *Statistics in Medicine* 22, 1649-1660 (both
    from memory).

    Examples
    --------
    Cards differ by 0.1, games add as much; the first one lies 0.4 below the rest:

    >>> evidence = Evidence(np.array([160.0, 200]), np.array([400.0, 400]), np.zeros(2))
    >>> classes = Classes(np.zeros((1, 1, 2)), np.zeros((1, 1, 2)), np.full((1, 1, 1), 0.1))
    >>> deviates(evidence, classes, np.ones(1)).round(2).tolist()
    [-2.83, 0.0]
    """
    usual = weight @ classes.mean[0]
    rate = expit(evidence.offset + usual)
    information = evidence.games * rate * (1 - rate)
    known = information > 0
    error = 1 / np.where(known, information, 1.0)
    seen = usual + (evidence.wins - evidence.games * rate) * error
    widest = np.array([np.inf, *[WIDEST_NET] * (len(classes.sd) - 1)])[:, None, None]
    off = (seen - classes.mean) / np.sqrt(np.minimum(classes.sd, widest) ** 2 + error)
    joint = np.exp(classes.log_share) * weight[:, None]
    low, high = (np.sum(joint * ndtr(side * off), axis=(0, 1)) for side in (1, -1))
    found = np.where(low <= high, ndtri(np.minimum(low, 0.5)), -ndtri(np.minimum(high, 0.5)))
    return np.where(known, np.clip(found, -FARTHEST, FARTHEST), np.nan)


def outliers(deviate: npt.ArrayLike) -> Places:
    """Places of what lies too far out for the number of deviates there are.

    Parameters
    ----------
    deviate : array_like of shape (n,)
        Standard normal if all is well; NaN where unknown.

    Returns
    -------
    ndarray of int
        The farthest first. If all is well there is one at all with a chance of 1 in 100.

    References
    ----------
    Bonferroni's bound.

    Examples
    --------
    >>> outliers([0.5, -3.0, 4.0, np.nan]).tolist()
    [2, 1]
    """
    distance = np.abs(np.nan_to_num(np.asarray(deviate, dtype=np.float64)))
    count = max(int(np.isfinite(deviate).sum()), 1)
    order = np.argsort(-distance, kind="stable")
    return np.asarray(order[2 * ndtr(-distance[order]) * count < RARE])


def disagreement(
    contrast: Numbers, variance: Numbers, by_record: Numbers, unsure: Numbers
) -> Numbers:
    """How far two looks at the same effects lie apart, as deviates.

    Parameters
    ----------
    contrast, variance : ndarray of shape (n,)
        Effects as held against unheld games show them, NaN where they do not; their errors.
    by_record, unsure : ndarray of shape (n,)
        The same effects as records show them, and their variances.

    Returns
    -------
    ndarray of shape (n,)
        Standard normal if both are right, each about its own mean; NaN where unknown.

    Examples
    --------
    >>> contrast, record = np.array([0.5, -0.5]), np.array([0.1, -0.1])
    >>> disagreement(contrast, np.full(2, 0.03), record, np.full(2, 0.01)).round(1).tolist()
    [2.0, -2.0]
    """
    total = variance + unsure
    known = ~np.isnan(contrast)
    apart = contrast - by_record
    if not known.any():
        return apart
    return np.asarray((apart - np.average(apart[known], weights=1 / total[known])) / total**0.5)


def scatter(homes: Homes) -> float:
    r"""Compare what each card does in its archetypes with what chance does to that.

    With deviations :math:`d_{ik}` and their information :math:`I_{ik}`, each card has
    :math:`Q_i = \sum_k I_{ik} (d_{ik} - \bar d_i)^2`, chi-square if all is well.

    Parameters
    ----------
    homes : Homes
        Records by archetype; their information takes the design effect into account.

    Returns
    -------
    float
        The cards' median :math:`Q_i` against the chi-square's: about 1 if all is well, above
        where games come in longer or more alike runs than was assumed, below where the runs
        were overstated; the few cards that one archetype suits do not move it. NaN where
        fewer than 20 cards have several archetypes.

    References
    ----------
    Cochran, W. G. (1954). The combination of estimates from different experiments.
    *Biometrics* 10(1), 101-129, for the statistic (from memory).

    Examples
    --------
    >>> information = np.full((30, 2), 25.0)
    >>> surprise = np.tile([5.0, -5.0], (30, 1))
    >>> round(scatter(Homes(("a", "b"), 4 * information, surprise, information)), 2)
    4.4
    """
    use = homes.information >= FEWEST_WINS
    information = np.where(use, homes.information, 0.0)
    surprise = np.where(use, homes.surprise, 0.0)
    many = use.sum(axis=1) > 1
    if many.sum() < FEWEST_CARDS:
        return float("nan")
    cells = np.sum(surprise**2 / np.where(use, information, 1.0), axis=1)[many]
    whole = surprise.sum(axis=1)[many] ** 2 / information.sum(axis=1)[many]
    usual = chdtri(use.sum(axis=1)[many] - 1, 0.5)
    return sample_quantile((cells - whole) / usual, 0.5)
