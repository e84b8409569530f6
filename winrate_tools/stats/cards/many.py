"""Many calls at once: how many of a list are wrong, and how long a list may be."""

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import LevelError

ROUNDING = 1e-12
"""A list of ten calls at 0.9 each has a share of 0.1, whatever its last binary digit says."""


def expected_wrong(chances: npt.ArrayLike) -> float:
    """Return the expected number of wrong calls in a list.

    Parameters
    ----------
    chances : array_like of float
        Chance of each call to be right, from 0 to 1; for cuts, the chances to lie below the
        line.

    Returns
    -------
    float
        Sum of one minus the chance, in calls; 0 for an empty list.

    Raises
    ------
    LevelError
        If a chance is unknown or outside [0, 1].

    Examples
    --------
    >>> round(expected_wrong([0.95, 0.9, 0.9]), 6)
    0.25
    """
    return float(np.sum(1 - _chances("chances", chances)))


def largest_list(chances_below: npt.ArrayLike, share: float) -> npt.NDArray[np.intp]:
    """Longest list of cards that holds at most a given share of wrong calls.

    The cards with the largest chances come first, and the list ends before the expected share
    of cards on it that are not below the line passes `share`.

    Parameters
    ----------
    chances_below : array_like of float
        Each card's chance to lie below the line, from 0 to 1.
    share : float
        Share of wrong calls borne, strictly between 0 and 1.

    Returns
    -------
    ndarray of int
        Places of the listed cards, largest chance first; cards of one chance keep their order.

    Raises
    ------
    LevelError
        If a chance is unknown or outside [0, 1], or `share` outside (0, 1).

    Notes
    -----
    Chances fall along the list, so the mean of one minus the chance rises with its length and
    the first length that passes `share` is followed by no shorter mean.

    References
    ----------
    Newton, M. A. et al. (2004). Detecting differential gene expression with a semiparametric
    hierarchical mixture method. *Biostatistics* 5(2), 155-176, section 3 (from memory).
    Müller, P. et al. (2004). Optimal sample size for multiple testing. *JASA* 99(468),
    990-1001 (from memory).

    Examples
    --------
    >>> largest_list([0.7, 0.99, 0.4, 0.9], share=0.15).tolist()
    [1, 3, 0]
    """
    if not 0 < share < 1:
        msg = f"share must lie strictly between 0 and 1, got {share}"
        raise LevelError(msg)
    chances = _chances("chances_below", chances_below)
    order = np.argsort(-chances, kind="stable")
    mean_wrong = np.cumsum(1 - chances[order]) / np.arange(1, len(order) + 1)
    return order[: np.count_nonzero(mean_wrong <= share + ROUNDING)]


def benjamini_hochberg(p_values: npt.ArrayLike) -> npt.NDArray[np.float64]:
    """Adjust the p-values of many tests to false discovery rates.

    For those who want it beside the chances: refuse every test whose adjusted value is at or
    below q, and of the refused, at most a share q is expected to be refused wrongly.

    Parameters
    ----------
    p_values : array_like of float
        One for each test, from 0 to 1; NaN stands for a test that was not done.

    Returns
    -------
    ndarray of float
        Adjusted values in the order given, from 0 to 1. NaN stays NaN, and a test that was not
        done does not count as one of the many.

    Raises
    ------
    LevelError
        If a value lies outside [0, 1].

    References
    ----------
    Benjamini, Y. and Hochberg, Y. (1995). Controlling the false discovery rate: a practical
    and powerful approach to multiple testing. *JRSS B* 57(1), 289-300.

    Examples
    --------
    >>> benjamini_hochberg([0.01, 0.04, 0.03, 0.5]).round(4).tolist()
    [0.04, 0.0533, 0.0533, 0.5]
    """
    values = np.asarray(p_values, dtype=np.float64).ravel()
    adjusted = np.full(values.shape, np.nan)
    done = np.flatnonzero(~np.isnan(values))
    known = _chances("p_values", values[done])
    falling = np.argsort(-known, kind="stable")
    scaled = known[falling] * len(known) / np.arange(len(known), 0, -1)
    adjusted[done[falling]] = np.minimum.accumulate(scaled)
    return adjusted


def _chances(name: str, values: npt.ArrayLike) -> npt.NDArray[np.float64]:
    chances = np.asarray(values, dtype=np.float64).ravel()
    if (bad := ~((chances >= 0) & (chances <= 1))).any():
        msg = f"{name} must lie from 0 to 1, got {chances[bad][0]:g}"
        raise LevelError(msg)
    return chances
