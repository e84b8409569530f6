"""Games come in runs with one deck, so counts vary more than independent games would."""

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError, LevelError

RUN = 5
CORRELATION = 0.07
DEFAULT_DESIGN_EFFECT = 1 + (RUN - 1) * CORRELATION
"""Where nothing is known: decks that play 5 games each, whose results correlate by .07.

A judgement, no source: decks and their players differ by a standard deviation of about 13
points in win rate once the archetype is allowed for, and .132² is .07 of the .25 that one game
varies by.
"""


def design_effect(games_per_deck: npt.ArrayLike, *, correlation: float = CORRELATION) -> float:
    """Design effect of games that come in runs with one deck.

    Parameters
    ----------
    games_per_deck : float or array_like of float
        Games that each deck played, at least 1 each. One number stands for decks that all play
        as many; the mean of unequal runs gives too small an effect.
    correlation : float, optional
        Correlation between two results of one deck, from 0 to 1.

    Returns
    -------
    float
        Variance of a count of wins divided by that of as many independent games, at least 1:
        ``1 + (sum m² / sum m - 1) * correlation`` over runs of m games.

    Raises
    ------
    CountError
        If there is no deck or one has less than a game.
    LevelError
        If `correlation` lies outside [0, 1].

    References
    ----------
    Kish, L. (1965). *Survey Sampling*. Wiley, section 5.4 (from memory).

    Examples
    --------
    >>> round(design_effect(5), 6)
    1.28
    >>> round(design_effect([1, 9]), 6)
    1.504
    """
    runs = np.atleast_1d(np.asarray(games_per_deck, dtype=np.float64))
    if not runs.size:
        msg = "games per deck must hold at least one deck, got none"
        raise CountError(msg)
    if (bad := ~((runs >= 1) & np.isfinite(runs))).any():
        msg = f"games per deck must be at least 1, got {runs[bad][0]:g}"
        raise CountError(msg)
    if not 0 <= correlation <= 1:
        msg = f"correlation must lie from 0 to 1, got {correlation}"
        raise LevelError(msg)
    return float(1 + (np.sum(runs**2) / np.sum(runs) - 1) * correlation)


def design_effect_from_decks(
    wins: npt.ArrayLike, games: npt.ArrayLike, expected_rate: npt.ArrayLike
) -> float:
    """Design effect measured on decks whose results are known one by one.

    Parameters
    ----------
    wins, games : array_like of float
        Each deck's counts, ``0 <= wins <= games``.
    expected_rate : float or array_like of float
        Win rate that each deck's archetype and players lead one to expect, strictly between 0
        and 1. What this leaves unexplained counts as clustering.

    Returns
    -------
    float
        ``sum (W - G r)² / sum G r (1 - r)`` over decks, but at least 1. Weighting decks by
        their games makes this the effect on totals, the same that `design_effect` predicts;
        with few decks it is itself uncertain, by about ``sqrt(2 / decks)`` of its value.

    Raises
    ------
    CountError
        If the counts break a bound, are unknown, or there is no game at all.
    LevelError
        If an expected rate is not between 0 and 1.

    References
    ----------
    McCullagh, P. and Nelder, J. A. (1989). *Generalized Linear Models*, 2nd edition, section
    4.5 (from memory), where decks count alike; here they count by their games.

    Examples
    --------
    >>> design_effect_from_decks(wins=[5, 0], games=[5, 5], expected_rate=0.5)
    5.0
    """
    won, played, rate = _decks(wins, games, expected_rate)
    surplus = np.sum((won - played * rate) ** 2)
    return max(1.0, float(surplus / np.sum(played * rate * (1 - rate))))


def _decks(
    wins: npt.ArrayLike, games: npt.ArrayLike, expected_rate: npt.ArrayLike
) -> tuple[npt.NDArray[np.float64], ...]:
    """Return wins, games and rate in one shape, or refuse them."""
    columns = [np.asarray(column, dtype=np.float64) for column in (wins, games, expected_rate)]
    try:
        won, played, rate = np.broadcast_arrays(*columns)
    except ValueError as error:
        msg = "wins, games and expected rate must have one entry a deck, or be one number"
        raise CountError(msg) from error
    if (bad := ~((won >= 0) & (won <= played) & np.isfinite(played))).any():
        msg = f"wins must lie between 0 and games ({played[bad][0]:g}), got {won[bad][0]:g}"
        raise CountError(msg)
    if not played.sum() > 0:
        msg = "at least one game is needed to measure a design effect, got none"
        raise CountError(msg)
    if (bad := ~((rate > 0) & (rate < 1))).any():
        msg = f"expected rate must lie strictly between 0 and 1, got {rate[bad][0]:g}"
        raise LevelError(msg)
    return won, played, rate
