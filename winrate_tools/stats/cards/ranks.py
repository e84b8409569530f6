"""Ranks with their uncertainty: most of any list of the weakest is a tie."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import LevelError

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]


class Ranks(NamedTuple):
    """Plausible ranks of n items, 1 the lowest value.

    Attributes
    ----------
    low, high : ndarray of int, shape (n,)
        Ends of the central range of each item's rank.
    chance_worst : ndarray of float, shape (n,)
        Probability of a rank of at most the `worst` asked for.
    """

    low: Places
    high: Places
    chance_worst: Numbers


def ranks(draws: Numbers, *, worst: int, level: float = 0.9) -> Ranks:
    """Summarise the ranks of jointly drawn values.

    Parameters
    ----------
    draws : ndarray of shape (D, n)
        Each row one joint draw of n values.
    worst : int
        Length of the list that `chance_worst` speaks of, at least 1.
    level : float, optional
        Probability of the rank range, strictly between 0 and 1.

    Returns
    -------
    Ranks
        Ties within a row are broken by place, which draws of continuous values never need.

    Raises
    ------
    LevelError
        If the level is not between 0 and 1.

    References
    ----------
    Goldstein, H. and Spiegelhalter, D. J. (1996). League tables and their limitations.
    *JRSS A* 159(3), 385-443, section 2.3 (value from memory).

    Examples
    --------
    >>> import numpy as np
    >>> found = ranks(np.array([[0.1, 0.2], [0.3, 0.2], [0.0, 0.5]]), worst=1)
    >>> found.low.tolist(), found.high.tolist(), found.chance_worst.round(2).tolist()
    ([1, 1], [2, 2], [0.67, 0.33])
    """
    if not 0 < level < 1:
        msg = f"level must lie strictly between 0 and 1, got {level}"
        raise LevelError(msg)
    count, items = draws.shape
    order = np.argsort(draws, axis=1, kind="stable")
    places = np.empty((count, items), dtype=np.int64)
    np.put_along_axis(places, order, np.arange(1, items + 1)[None, :], axis=1)
    tail = (1 - level) / 2
    low, high = np.quantile(places, [tail, 1 - tail], axis=0, method="inverted_cdf")
    return Ranks(low.astype(np.int64), high.astype(np.int64), (places <= worst).mean(axis=0))
