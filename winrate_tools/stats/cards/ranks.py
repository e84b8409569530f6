"""Ranks with their uncertainty: most of any list of the weakest is a tie."""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import LevelError

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]
ROUNDING = 1e-9
ROWS = 64
"""Draws that are sorted together: so many stay near the processor."""


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


def ranks(
    draws: Numbers,
    *,
    worst: int,
    level: float = 0.9,
    place: npt.NDArray[np.integer[Any]] | None = None,
) -> Ranks:
    """Summarise the ranks of jointly drawn values.

    Parameters
    ----------
    draws : ndarray of shape (D, n)
        Each row one joint draw of n values.
    worst : int
        Length of the list that `chance_worst` speaks of, at least 1.
    level : float, optional
        Probability of the rank range, strictly between 0 and 1.
    place : ndarray of int, shape (n, D), optional
        The draws' `places`, where they are known already.

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
    place, tail = places(draws) if place is None else place, (1 - level) / 2
    chance = np.count_nonzero(place < worst, axis=1) / len(draws)
    in_order = np.sort(place, axis=1, kind="stable")
    low, high = (
        in_order[:, int(np.ceil(len(draws) * reached - ROUNDING)) - 1].astype(np.int64) + 1
        for reached in (tail, 1 - tail)
    )
    return Ranks(low, high, chance)


def places(draws: Numbers) -> npt.NDArray[np.integer[Any]]:
    """Return each item's place in each draw.

    Parameters
    ----------
    draws : ndarray of shape (D, n)
        Each row one joint draw of n finite values.

    Returns
    -------
    ndarray of int, shape (n, D)
        From 0, the lowest value, in as few bytes as will do. Values that agree to some twelve
        digits keep their order.

    Notes
    -----
    The last bits of each number make room for its column, so that one sort of whole numbers
    gives the order.

    Examples
    --------
    >>> places(np.array([[0.3, -0.2, 0.1], [0.5, 0.5, 0.4]])).tolist()
    [[2, 1], [0, 2], [1, 0]]
    """
    count, items = draws.shape
    place = np.empty((items, count), dtype=np.min_scalar_type(items))
    for start in range(0, count, ROWS):
        rows = slice(start, start + ROWS)
        place[:, rows] = _placed(draws[rows], place.dtype).T
    return place


def _placed(draws: Numbers, dtype: np.dtype[Any]) -> npt.NDArray[np.integer[Any]]:
    items = draws.shape[1]
    keys = np.ascontiguousarray(draws + 0.0, dtype=np.float64).view(np.int64)
    keys ^= keys >> 63 & np.iinfo(np.int64).max
    column = (1 << (items - 1).bit_length()) - 1
    keys &= ~column
    keys |= np.arange(items)
    keys.sort(axis=1)
    keys &= column
    place = np.empty(draws.shape, dtype=dtype)
    np.put_along_axis(place, keys, np.arange(items, dtype=dtype)[None], axis=1)
    return place
