r"""Cards dealt from a pool without putting back: how many of a kind come, and how surely.

Of a pool of N cards, D are dealt; c of the N are of a kind. The number of them among the D is
hypergeometric, and :math:`H(c) = 1 - \binom{N - c}{D} / \binom{N}{D}` is the chance that at
least one comes. Everything here is exact but for the last digits of a double.
"""

from collections.abc import Iterable
from functools import reduce
from math import sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from winrate_tools.errors import CountError, LevelError

Numbers = npt.NDArray[np.float64]

ROUNDING = 1e-12
"""A tail of exactly a tenth counts as one, whatever its last binary digit says."""


class CountRange(NamedTuple):
    """A number of cards as it differs from deal to deal.

    Attributes
    ----------
    mean : float
        Expected number.
    low, high : int
        Ends of the central range; both belong to it.
    """

    mean: float
    low: int
    high: int


def dealt_counts(copies: int, pool: int, dealt: int) -> Numbers:
    """Chances of the number of cards of a kind that are dealt.

    Parameters
    ----------
    copies : int
        Cards of the kind in the pool, from 0.
    pool : int
        All cards of the pool, at least `copies`.
    dealt : int
        Cards dealt, from 0 to `pool`.

    Returns
    -------
    ndarray of shape (copies + 1,)
        Chance of 0, 1, ... `copies` cards.

    Raises
    ------
    CountError
        If there are more copies or more cards dealt than the pool holds.

    References
    ----------
    Feller, W. (1968). *An Introduction to Probability Theory and Its Applications*, volume I,
    3rd edition, section II.6 (from memory).

    Examples
    --------
    >>> dealt_counts(4, 8, 4).round(4).tolist()
    [0.0143, 0.2286, 0.5143, 0.2286, 0.0143]
    """
    _demand_within("copies", copies, pool)
    _demand_within("cards dealt", dealt, pool)
    first, last = max(0, copies + dealt - pool), min(copies, dealt)
    x = np.arange(first, last, dtype=np.float64)
    others = pool - copies - dealt
    steps = np.log((copies - x) * (dealt - x)) - np.log((x + 1) * (others + x + 1))
    logs = np.concatenate([[0.0], np.cumsum(steps)])
    weights = np.exp(logs - logs.max())
    chances = np.zeros(copies + 1)
    chances[first : last + 1] = weights / weights.sum()
    return chances


def chance_dealt(copies: npt.ArrayLike, pool: int, dealt: npt.ArrayLike) -> Numbers:
    """Chance that at least one card of a kind is dealt.

    Parameters
    ----------
    copies, dealt : array_like of int
        Cards of the kind in the pool, and cards dealt, both from 0 to `pool`; they broadcast.
    pool : int
        All cards of the pool.

    Returns
    -------
    ndarray
        It rises with the copies, and every further copy adds less.

    Raises
    ------
    CountError
        If there are more copies or more cards dealt than the pool holds.

    Examples
    --------
    >>> chance_dealt([0, 1, 2], 360, 135).round(4).tolist()
    [0.0, 0.375, 0.61]
    """
    c, d = np.broadcast_arrays(np.asarray(copies, np.int64), np.asarray(dealt, np.int64))
    for name, numbers in (("copies", c), ("cards dealt", d)):
        _demand_within(name, int(numbers.min(initial=pool)), pool)
        _demand_within(name, int(numbers.max(initial=0)), pool)
    draws, place = np.unique(d, return_inverse=True)
    taken = np.arange(c.max(initial=0), dtype=np.float64)
    passed_over = (pool - draws[:, None] - taken) / (pool - taken)
    none = np.ones((len(draws), len(taken) + 1))
    none[:, 1:] = np.cumprod(passed_over, axis=1)
    return np.asarray(1 - none[place.reshape(d.shape), c])


def counts_together(parts: Iterable[Numbers]) -> Numbers:
    """Chances of a sum of independent numbers of cards.

    Parameters
    ----------
    parts : iterable of ndarray
        Chances of 0, 1, 2, ... cards in each.

    Returns
    -------
    ndarray
        Chances of 0, 1, 2, ... cards in all.

    Examples
    --------
    >>> counts_together([np.array([0.5, 0.5]), np.array([0.5, 0.5])]).tolist()
    [0.25, 0.5, 0.25]
    """
    return reduce(np.convolve, parts, np.ones(1))


def count_quantile(chances: Numbers, level: float) -> int:
    """Smallest number that is not passed with a given chance.

    Parameters
    ----------
    chances : ndarray
        Chances of 0, 1, 2, ... cards.
    level : float
        Strictly between 0 and 1.

    Returns
    -------
    int

    Raises
    ------
    LevelError
        If `level` lies outside (0, 1).

    Examples
    --------
    >>> count_quantile(dealt_counts(10, 1000, 50), 0.99)
    3
    """
    _demand_level(level)
    reached = np.cumsum(chances) >= level - ROUNDING
    return int(np.argmax(reached))


def count_range(chances: Numbers, level: float = 0.8) -> CountRange:
    """Mean and central range of a number of cards.

    Parameters
    ----------
    chances : ndarray
        Chances of 0, 1, 2, ... cards.
    level : float, optional
        What the range holds at least, strictly between 0 and 1; at most half of the rest lies
        beyond either end.

    Returns
    -------
    CountRange

    Raises
    ------
    LevelError
        If `level` lies outside (0, 1).

    Examples
    --------
    >>> mean, low, high = count_range(dealt_counts(30, 360, 135))
    >>> round(mean, 2), low, high
    (11.25, 8, 15)
    """
    mean = float(np.arange(len(chances)) @ chances)
    tail = (1 - level) / 2
    return CountRange(mean, count_quantile(chances, tail), count_quantile(chances, 1 - tail))


def kinds_dealt(slots: Iterable[tuple[npt.ArrayLike, int]], level: float = 0.8) -> CountRange:
    r"""How many different cards are dealt.

    Parameters
    ----------
    slots : iterable of (array_like of int, int)
        For each slot, the copies of each card that may fill it, and how many are dealt; the
        copies are the slot's whole pool.
    level : float, optional
        What the range holds, strictly between 0 and 1.

    Returns
    -------
    CountRange
        The mean is exact; the ends are those of a normal with the exact variance.

    Raises
    ------
    CountError
        If more cards are dealt than the pool holds.
    LevelError
        If `level` lies outside (0, 1).

    Notes
    -----
    Two cards with a and b copies both stay away with the chance that a card with a + b copies
    does, which gives their covariance :math:`H(a) + H(b) - H(a + b) - H(a) H(b)`.

    Examples
    --------
    >>> mean, low, high = kinds_dealt([([1] * 100, 80), ([2] * 40, 20)])
    >>> round(mean, 2), low, high
    (97.59, 96, 99)
    """
    _demand_level(level)
    parts = [(np.asarray(copies, dtype=np.int64), dealt) for copies, dealt in slots]
    moments = [_kinds_moments(copies, dealt) for copies, dealt in parts]
    mean = sum(each for each, _ in moments)
    reach = float(ndtri((1 + level) / 2)) * sqrt(sum(variance for _, variance in moments))
    most = sum(int(np.count_nonzero(copies)) for copies, _ in parts)
    return CountRange(mean, max(round(mean - reach), 0), min(round(mean + reach), most))


def _kinds_moments(copies: npt.NDArray[np.int64], dealt: int) -> tuple[float, float]:
    """Mean and variance of the number of different cards of one slot."""
    sizes, cards = np.unique(copies, return_counts=True)
    pool = int(sizes @ cards)
    comes = chance_dealt(sizes, pool, dealt)
    pairs = np.minimum(sizes[:, None] + sizes, pool)
    both = comes[:, None] + comes - chance_dealt(pairs, pool, dealt)
    covariance = both - np.outer(comes, comes)
    alone = cards @ (comes * (1 - comes) - covariance.diagonal())
    return float(cards @ comes), max(float(alone + cards @ covariance @ cards), 0.0)


def _demand_level(level: float) -> None:
    if not 0 < level < 1:
        msg = f"level must lie strictly between 0 and 1, got {level}"
        raise LevelError(msg)


def _demand_within(name: str, number: int, pool: int) -> None:
    if not 0 <= number <= pool:
        msg = f"{name} must be from 0 to the pool's {pool} cards, got {number}"
        raise CountError(msg)
