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
from winrate_tools.stats.cards.ranks import places

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
WORTH = 0.25
"""A pair is told apart, by itself, if the order is right with 4 in 5: 1 / (1 + 0.25)."""
FEWEST_DRAWS, MOST_COMPARISONS = 200, 2_000_000_000
"""From a thousand cards on fewer draws will do, for there are more pairs to a grade."""
AT_ONCE = 8
"""Draws whose comparisons make one number of 64 bits."""
MOST_IN_A_BYTE = 255
ALIKE = 12
"""Cards whose means agree to so many decimals keep their order."""


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


def grades(
    draws: Numbers, *, worth: float = WORTH, place: npt.NDArray[np.integer[Any]] | None = None
) -> Grades:
    """Group cards into as few or many grades as the data can tell apart.

    Parameters
    ----------
    draws : ndarray of shape (D, n)
        Each row one joint draw of n cards' values.
    worth : float, optional
        What a pair told apart rightly is worth against one told apart wrongly, above 0 and at
        most 1. The higher, the more grades; 1 is a full ranking.
    place : ndarray of int, shape (n, D), optional
        The draws' `ranks.places`, where they are known already.

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
    order = np.argsort(draws.mean(axis=0).round(ALIKE), kind="stable")
    cards = len(order)
    compared = max(FEWEST_DRAWS, MOST_COMPARISONS // cards**2)
    place = places(draws) if place is None else place
    cuts = _cheapest_cuts(place[order, :: -(-len(draws) // compared)], worth)
    grade = np.empty(cards, dtype=np.intp)
    grade[order] = _numbered(cuts.start, cards)
    return Grades(grade, _misorder(cuts, np.bincount(grade)))


class _Cuts(NamedTuple):
    """Where the last grade of the first b cards opens, b from 0 to n, and chances of pairs.

    `within` adds up the chances of the pairs left together to stand in their right order,
    `all_pairs` those of all.
    """

    start: Places
    within: float
    all_pairs: float


def _cheapest_cuts(places: npt.NDArray[np.integer[Any]], worth: float) -> _Cuts:
    """Cut an order into grades so that the pairs left together cost least.

    Cards come one by one, and `right[a]` adds up, over the pairs among card a and those after
    it, the draws that have them in order: whole numbers, so that nothing is lost.
    """
    cards, count = places.shape
    places = np.pad(places, ((0, 0), (0, -count % AT_ONCE)))
    lower, pairs = np.empty(places.shape, dtype=np.bool_), _pairs(np.arange(cards + 1))
    least, start, within = np.zeros(cards + 1), np.zeros(cards + 1, dtype=np.intp), [0.0]
    right = np.zeros(cards)
    for end in range(1, cards + 1):
        below = _counted(np.less(places[: end - 1], places[end - 1], out=lower[: end - 1]))
        right[: end - 1] += below[::-1].cumsum()[::-1]
        total = least[:end] + (1 + worth) * right[:end] / count - pairs[end:0:-1]
        start[end] = total.argmin()
        least[end] = total[start[end]]
        within.append(within[start[end]] + float(right[start[end]]) / count)
    return _Cuts(start, within[-1], float(right[0] / count))


def _counted(true: npt.NDArray[np.bool_]) -> Places:
    """Count what is true in each row, eight at once, for a row is a multiple of eight long."""
    eights = true.view(np.uint64)
    parts = np.add.reduceat(eights, range(0, eights.shape[1], MOST_IN_A_BYTE), axis=1)
    return np.asarray(parts.view(np.uint8).sum(axis=1, dtype=np.intp))


def _pairs(cards: Places) -> Places:
    return cards * (cards - 1) // 2


def _numbered(start: Places, cards: int) -> Places:
    """Give cards their grades from 1, where `start` says at which card the last one opens."""
    opens = np.zeros(cards, dtype=np.intp)
    end = cards
    while end > 0:
        end = int(start[end])
        opens[end] = 1
    return opens.cumsum()


def _misorder(cuts: _Cuts, sizes: Places) -> float:
    """Share of the pairs told apart that one must expect to be the wrong way round."""
    apart = int(_pairs(sizes.sum()) - _pairs(sizes).sum())
    return 1 - (cuts.all_pairs - cuts.within) / apart if apart else 0.0
