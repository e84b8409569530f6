"""How much several estimates differ beyond their own uncertainty."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
HALVINGS = 200


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
        low, high = (middle, high) if _excess(y, v, middle) > 0 else (low, middle)
    return Heterogeneity(high, _mean(y, v, high))


def _mean(y: Numbers, v: Numbers, variance: float) -> float:
    weight = 1 / (v + variance)
    return float((weight * y).sum() / weight.sum())


def _excess(y: Numbers, v: Numbers, variance: float) -> float:
    about = (y - _mean(y, v, variance)) ** 2
    return float((about / (v + variance)).sum() - (len(y) - 1))
