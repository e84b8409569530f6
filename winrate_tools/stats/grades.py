r"""Grades: cards that the data cannot tell apart share one.

In order of their posterior means, cards i and j (i weaker) are told apart if they stand in
different grades. That is right with probability :math:`\pi_{ij}`, and every pair told apart
rightly makes up for :math:`\lambda` wrong ones. Leaving a pair together then costs
:math:`U_{ij} = \lambda\pi_{ij} - (1 - \pi_{ij})`, and the grades are the cuts of the order that
leave together the least, found exactly by dynamic programming.
"""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import SettingError

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
WORTH = 0.25
"""A pair is told apart, by itself, if the order is right with 4 in 5: 1 / (1 + 0.25)."""


class Grades(NamedTuple):
    """Grades of n cards.

    Attributes
    ----------
    grade : ndarray of int, shape (n,)
        From 1, the weakest, up; every grade is used.
    misorder : float
        Share of the pairs in different grades that one must expect to be the wrong way round,
        from 0 to 1; 0 where there is one grade only.
    """

    grade: Places
    misorder: float


def grades(draws: Numbers, *, worth: float = WORTH) -> Grades:
    """Group cards into as few or many grades as the data can tell apart.

    Parameters
    ----------
    draws : ndarray of shape (D, n)
        Each row one joint draw of n cards' values.
    worth : float, optional
        What a pair told apart rightly is worth against one told apart wrongly, above 0 and at
        most 1. The higher, the more grades; 1 is a full ranking.

    Returns
    -------
    Grades

    Raises
    ------
    SettingError
        If `worth` is out of its bounds.

    References
    ----------
    Kline, P., Rose, E. K. and Walters, C. R. (2024). A discrimination report card. *American
    Economic Review* 114(8), 2472-2525, section 3 (from memory).

    Examples
    --------
    Two cards that nobody can tell apart, and one that stands out:

    >>> rng = np.random.default_rng(1)
    >>> graded = grades(np.array([0.0, 0.1, 9.0]) + rng.standard_normal((1000, 3)))
    >>> graded.grade.tolist(), graded.misorder
    ([1, 1, 2], 0.0)
    """
    if not 0 < worth <= 1:
        msg = f"worth must be above 0 and at most 1, got {worth}"
        raise SettingError(msg)
    order = np.argsort(draws.mean(axis=0), kind="stable")
    right = chance_below(draws[:, order])
    place = _cheapest_cuts(np.triu((1 + worth) * right - 1, 1))
    grade = np.empty(len(order), dtype=np.intp)
    grade[order] = place
    return Grades(grade, _misorder(place, right))


def chance_below(draws: Numbers) -> Numbers:
    """Probability that one card's value lies below another's, for every pair.

    Parameters
    ----------
    draws : ndarray of shape (D, n)
        Each row one joint draw of n cards' values.

    Returns
    -------
    ndarray of shape (n, n)
        Row below column; opposite entries add up to 1, and the diagonal is a half. Ties within
        a draw are broken by place, which draws of continuous values never need.

    Examples
    --------
    >>> chance_below(np.array([[1.0, 2.0], [3.0, 2.5]])).tolist()
    [[0.5, 0.5], [0.5, 0.5]]
    """
    count, cards = draws.shape
    places = _places(draws)
    below = np.full((cards, cards), 0.5)
    for i in range(cards - 1):
        below[i, i + 1 :] = np.count_nonzero(places[i] < places[i + 1 :], axis=1) / count
    lower = np.tril_indices(cards, -1)
    below[lower] = 1 - below.T[lower]
    return below


def _places(draws: Numbers) -> npt.NDArray[np.integer[Any]]:
    """Return each card's place in each draw, one row a card, in as few bytes as will do."""
    order = draws.argsort(axis=1, kind="stable")
    places = np.empty(draws.shape, dtype=np.min_scalar_type(draws.shape[1]))
    np.put_along_axis(
        places, order, np.arange(draws.shape[1], dtype=places.dtype)[None], axis=1
    )
    return np.ascontiguousarray(places.T)


def _cheapest_cuts(cost: Numbers) -> Places:
    """Cut an order into grades so that the pairs left together cost least.

    ``cost`` holds each pair's cost above the diagonal and 0 elsewhere. The pairs among cards a
    to b - 1 cost ``sums[b, b] - sums[a, b]``, where ``sums`` adds the cost of all rows before
    the one and all columns before the other.
    """
    cards = len(cost)
    sums = np.zeros((cards + 1, cards + 1))
    sums[1:, 1:] = cost.cumsum(axis=0).cumsum(axis=1)
    least, start = np.zeros(cards + 1), np.zeros(cards + 1, dtype=np.intp)
    for end in range(1, cards + 1):
        total = least[:end] + sums[end, end] - sums[:end, end]
        start[end] = total.argmin()
        least[end] = total[start[end]]
    return _numbered(start, cards)


def _numbered(start: Places, cards: int) -> Places:
    """Give cards their grades from 1, where `start` says at which card the last one opens."""
    opens = np.zeros(cards, dtype=np.intp)
    end = cards
    while end > 0:
        end = int(start[end])
        opens[end] = 1
    return opens.cumsum()


def _misorder(place: Places, right: Numbers) -> float:
    apart = place[:, None] < place[None, :]
    return float(np.mean(1 - right[apart])) if apart.any() else 0.0
