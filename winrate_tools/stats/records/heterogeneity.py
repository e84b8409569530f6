"""How much several estimates differ beyond their own uncertainty."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
HALVINGS = 200


OUTLIERS = 0.1
"""Share of effects that are allowed to lie far from the others. A judgement, no source."""


class Shrunk(NamedTuple):
    """Effects drawn towards 0; arrays of one shape.

    Attributes
    ----------
    mean, variance : ndarray
        Posterior of each effect.
    """

    mean: Numbers
    variance: Numbers


class Heterogeneity(NamedTuple):
    """Variance between what is estimated, and the mean that belongs to it.

    Attributes
    ----------
    variance : float
        At least 0.
    mean : float
        Mean weighted by the inverse of each estimate's total variance.
    """

    variance: float
    mean: float


def paule_mandel(estimates: npt.ArrayLike, variances: npt.ArrayLike) -> Heterogeneity:
    r"""Estimate the variance between effects from estimates of known variance.

    The variance :math:`\tau^2` is the one at which the weighted squares about the mean sum to
    their expectation, :math:`\sum_i (y_i - \hat\mu)^2 / (v_i + \tau^2) = k - 1`.

    Parameters
    ----------
    estimates : array_like of float, shape (k,)
        At least one.
    variances : array_like of float, shape (k,)
        Above 0.

    Returns
    -------
    Heterogeneity
        With variance 0 where the estimates agree better than chance would have them.

    Raises
    ------
    CountError
        If there are no estimates or a variance is not above 0.

    References
    ----------
    Paule, R. C. and Mandel, J. (1982). Consensus values and weighting factors. *Journal of
    Research of the National Bureau of Standards* 87(5), 377-385 (from memory); DerSimonian, R.
    and Kacker, R. (2007), *Contemporary Clinical Trials* 28(2), 105-114, Tables 3 and 4.

    Examples
    --------
    >>> found = paule_mandel([0.1, 0.5, 0.9], [0.01, 0.01, 0.01])
    >>> f"{found.variance:.3f} {found.mean:.2f}"
    '0.150 0.50'
    """
    y, v = np.asarray(estimates, dtype=np.float64), np.asarray(variances, dtype=np.float64)
    if not y.size or not np.all(v > 0):
        msg = "estimates need variances above 0, and there must be one at least"
        raise CountError(msg)
    low, high = 0.0, float(np.ptp(y) ** 2 * max(len(y), 1)) + 1e-12
    if _excess(y, v, 0.0) <= 0:
        high = 0.0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if middle in {low, high}:
            break
        low, high = (middle, high) if _excess(y, v, middle) > 0 else (low, middle)
    return Heterogeneity(high, _mean(y, v, high))


def shrunk(estimates: Numbers, variances: Numbers, spread: float, *, far: float) -> Shrunk:
    r"""Draw estimates towards 0, as far as they do not stand out.

    Effects are taken to be :math:`N(0, \\tau^2)`, one in ten :math:`N(0, \\text{far}^2)`,
    so that a few that differ are not lost among many that do not.

    Parameters
    ----------
    estimates, variances : ndarray
        Of one shape; an infinite variance leaves the prior.
    spread : float
        Variance between most effects, at least 0.
    far : float
        Standard deviation of those that stand out, above 0.

    Returns
    -------
    Shrunk

    Examples
    --------
    >>> import numpy as np
    >>> found = shrunk(np.array([0.1, 1.0]), np.full(2, 0.01), 0.0001, far=0.5)
    >>> found.mean.round(2).tolist()
    [0.0, 0.96]
    """
    prior = np.array([max(spread, 1e-10), max(far**2, spread)])
    prior = prior.reshape(-1, *[1] * np.ndim(estimates))
    share = np.array([1 - OUTLIERS, OUTLIERS]).reshape(prior.shape)
    known = np.isfinite(variances)
    y, v = np.where(known, estimates, 0.0), np.where(known, variances, 1.0)
    gain = np.where(known, prior / (prior + v), 0.0)
    fit = np.where(known, -0.5 * (np.log(prior + v) + y**2 / (prior + v)), 0.0)
    weight = share * np.exp(fit - fit.max(axis=0))
    weight /= weight.sum(axis=0)
    mean = (weight * gain * y).sum(axis=0)
    second = (weight * (prior * (1 - gain) + (gain * y) ** 2)).sum(axis=0)
    return Shrunk(mean, second - mean**2)


def _mean(y: Numbers, v: Numbers, variance: float) -> float:
    weight = 1 / (v + variance)
    return float((weight * y).sum() / weight.sum())


def _excess(y: Numbers, v: Numbers, variance: float) -> float:
    about = (y - _mean(y, v, variance)) ** 2
    return float((about / (v + variance)).sum() - (len(y) - 1))
