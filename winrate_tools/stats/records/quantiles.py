"""Quantiles of a few numbers, without what numpy's own and ``statistics`` have to load."""

import numpy as np
import numpy.typing as npt


def sample_quantile(values: npt.ArrayLike, level: float) -> float:
    """Point below which a share of some values lies.

    Parameters
    ----------
    values : array_like of float, shape (n,)
        At least one, all finite.
    level : float
        Share from 0 to 1; 0.5 for the median.

    Returns
    -------
    float
        Between the two nearest values, in proportion.

    References
    ----------
    Hyndman, R. J. and Fan, Y. (1996). Sample quantiles in statistical packages. *The American
    Statistician* 50(4), 361-365, definition 7 (from memory).

    Examples
    --------
    >>> sample_quantile([5.0, 1.0, 2.0, 3.0], 0.5), sample_quantile([1.0, 3.0], 0.25)
    (2.5, 1.5)
    """
    ordered = np.sort(np.asarray(values, dtype=np.float64))
    return float(np.interp(level * (len(ordered) - 1), np.arange(len(ordered)), ordered))
