r"""Paired comparison: players and their decks are told apart by whom they beat.

A game between player :math:`a` with archetype :math:`x` and player :math:`b` with archetype
:math:`y` is won by :math:`a` with log-odds

.. math:: \eta = s_a - s_b + \alpha_x - \alpha_y + \gamma z,

:math:`z` being 1 if :math:`a` had the first seat, -1 if :math:`b` had it and 0 if nobody knows.
A drawn game counts as half a win each way. Only differences show, so strengths are either held
against one that is taken as 0, or every one of them has a prior.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.errors import CountError, FitError

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
UNKNOWN = -1
MOST_STEPS = 100
SETTLED = 1e-10
FARTHEST = 25.0
"""Log-odds beyond which a strength without a prior is taken to run away."""


@dataclass(frozen=True, slots=True, eq=False)
class Contests:
    """R encounters of two decks, each of one or more games.

    Attributes
    ----------
    player, opponent : ndarray of int, shape (R,)
        Who met, as places in a list of players.
    wins, games : ndarray of shape (R,)
        Of the player, ``0 <= wins <= games``; a draw is half a win.
    archetype, opponent_archetype : ndarray of int, shape (R,)
        What they played, as places in a list of archetypes; -1 where unknown.
    seat : ndarray of shape (R,)
        1 where the player had the first seat, -1 where the opponent had it, else 0.

    Raises
    ------
    CountError
        If a player meets themself or wins do not lie between 0 and games.
    """

    player: Places
    opponent: Places
    wins: Numbers
    games: Numbers
    archetype: Places
    opponent_archetype: Places
    seat: Numbers

    def __post_init__(self) -> None:
        if (same := self.player == self.opponent).any():
            msg = f"two different players were wanted, got {self.player[same][0]} twice"
            raise CountError(msg)
        if (bad := ~((self.wins >= 0) & (self.wins <= self.games))).any():
            wins, games = self.wins[bad][0], self.games[bad][0]
            msg = f"wins must lie between 0 and games ({games:g}), got {wins:g}"
            raise CountError(msg)

    def rows(self, players: int, archetypes: int) -> Numbers:
        """Code who met whom: players, then the first seat, then archetypes.

        Parameters
        ----------
        players, archetypes : int
            Lengths of the two lists.

        Returns
        -------
        ndarray of shape (R, players + 1 + archetypes)
            What each strength adds to the log-odds of each encounter.
        """
        who = _sides(self.player, self.opponent, players)
        what = _sides(self.archetype, self.opponent_archetype, archetypes)
        return np.column_stack([who, self.seat, what])


def _sides(ours: Places, theirs: Places, count: int) -> Numbers:
    """Code one side as 1 and the other as -1; nothing where it is unknown or the same."""
    everyone = np.eye(count + 1)[:, :count]
    return np.asarray(everyone[ours] - everyone[theirs])


@dataclass(frozen=True, slots=True, eq=False)
class PairsFit:
    """Strengths on the log-odds, as a normal.

    Attributes
    ----------
    mean : ndarray of shape (P,)
        Where the density is highest.
    covariance : ndarray of shape (P, P)
        Inverse of its curvature there.
    information : ndarray of shape (P, P)
        The games' own part of that curvature.
    log_likelihood : float
        Of the games there; binomial coefficients are left out.
    log_evidence : float
        Laplace's approximation of the log probability of the games under the prior; ``nan``
        without a prior.
    deviance : float
        Twice the log-likelihood ratio against a model with one chance for each row.
    """

    mean: Numbers
    covariance: Numbers
    information: Numbers
    log_likelihood: float
    log_evidence: float
    deviance: float


def most_likely(rows: Numbers, wins: Numbers, games: Numbers) -> PairsFit:
    """Fit strengths by maximum likelihood; leave out the column that counts as 0.

    Parameters
    ----------
    rows : ndarray of shape (R, P)
        What each strength adds to the log-odds of each row, of full column rank.
    wins, games : ndarray of shape (R,)
        ``0 <= wins <= games``.

    Returns
    -------
    PairsFit
        With the usual large-sample covariance.

    Raises
    ------
    FitError
        If some are never compared with the rest, or one of them won or lost everything, so
        that no finite strength is the likeliest.

    References
    ----------
    Bradley, R. A. and Terry, M. E. (1952). Rank analysis of incomplete block designs: I.
    *Biometrika* 39(3/4), 324-345; Ford, L. R. (1957). Solution of a ranking problem from
    binary comparisons. *American Mathematical Monthly* 64(8), 28-33, for when a finite
    solution exists (both from memory).

    Examples
    --------
    Ada beat Bo 3 to 1: her strength is log 3 where his is 0.

    >>> found = most_likely(np.array([[1.0]]), np.array([3.0]), np.array([4.0]))
    >>> found.mean.round(4).tolist()
    [1.0986]
    """
    nothing = np.zeros(rows.shape[1])
    return _climb(rows, wins, games, nothing, nothing, nothing)


def posterior(
    rows: Numbers,
    wins: Numbers,
    games: Numbers,
    *,
    mean: Numbers,
    variance: Numbers,
    design_effect: float = 1.0,
    start: Numbers | None = None,
) -> PairsFit:
    """Fit strengths of which something is believed beforehand.

    Parameters
    ----------
    rows : ndarray of shape (R, P)
        What each strength adds to the log-odds of each row.
    wins, games : ndarray of shape (R,)
        ``0 <= wins <= games``.
    mean, variance : ndarray of shape (P,)
        Of the independent normal priors; ``variance > 0``.
    design_effect : float, optional
        How many games count as one independent game, at least 1.
    start : ndarray of shape (P,), optional
        Where to look first, if something near the mode is known; the prior mean if not given.

    Returns
    -------
    PairsFit
        The normal that fits the posterior at its mode; finite whatever was won.

    References
    ----------
    Davidson, R. R. and Solomon, D. L. (1973). A Bayesian approach to paired comparison
    experimentation. *Biometrika* 60(3), 477-487 (from memory).

    Examples
    --------
    >>> one = np.ones((1, 1))
    >>> found = posterior(one, 9 * one[0], 9 * one[0], mean=0 * one[0], variance=0.25 * one[0])
    >>> found.mean.round(2).tolist()
    [0.73]
    """
    won, played = wins / design_effect, games / design_effect
    return _climb(rows, won, played, mean, 1 / variance, mean if start is None else start)


def _climb(
    rows: Numbers,
    wins: Numbers,
    games: Numbers,
    mean: Numbers,
    precision: Numbers,
    start: Numbers,
) -> PairsFit:
    """Climb to the mode by Newton's steps, halved where they would lead down."""
    point, height = start, _height(rows, wins, games, start, mean, precision)
    for _ in range(MOST_STEPS):
        rate = expit(rows @ point)
        slope = rows.T @ (wins - games * rate) - precision * (point - mean)
        curve = _information(rows, games, rate) + np.diag(precision)
        step = _solved(curve, slope, is_safe=bool(precision.all()))
        if slope @ step < SETTLED:
            return _fit(rows, wins, games, point, mean, precision)
        risen = _height(rows, wins, games, point + step, mean, precision)
        while risen < height and np.abs(step).max() > SETTLED:
            step = 0.5 * step
            risen = _height(rows, wins, games, point + step, mean, precision)
        point, height = point + step, risen
        if not precision.any() and np.abs(point).max() > FARTHEST:
            break
    msg = "no finite strength is the likeliest: somebody won or lost every game that tells"
    raise FitError(msg)


def _solved(curve: Numbers, slope: Numbers, *, is_safe: bool) -> Numbers:
    """Return the step that the curvature asks for, where it asks for one alone."""
    if not is_safe and np.linalg.cond(curve) > 1e14:
        msg = "strengths can be compared only among those who met; some never met the others"
        raise FitError(msg)
    return np.asarray(np.linalg.solve(curve, slope))


def _information(rows: Numbers, games: Numbers, rate: Numbers) -> Numbers:
    return np.asarray(rows.T @ (rows * (games * rate * (1 - rate))[:, None]))


def _height(
    rows: Numbers,
    wins: Numbers,
    games: Numbers,
    point: Numbers,
    mean: Numbers,
    precision: Numbers,
) -> float:
    eta = rows @ point
    inside = (wins * eta - games * np.logaddexp(0, eta)).sum()
    return float(inside - 0.5 * (precision * (point - mean) ** 2).sum())


def _fit(
    rows: Numbers,
    wins: Numbers,
    games: Numbers,
    point: Numbers,
    mean: Numbers,
    precision: Numbers,
) -> PairsFit:
    rate = expit(rows @ point)
    information = _information(rows, games, rate)
    curve = information + np.diag(precision)
    height = _height(rows, wins, games, point, mean, precision)
    evidence = np.nan
    if precision.all():
        evidence = height + 0.5 * (np.log(precision).sum() - np.linalg.slogdet(curve)[1])
    inside = _height(rows, wins, games, point, mean, np.zeros_like(mean))
    return PairsFit(
        point,
        np.asarray(np.linalg.inv(curve)),
        information,
        inside,
        float(evidence),
        2 * (_best(wins, games) - inside),
    )


def _best(wins: Numbers, games: Numbers) -> float:
    """Log-likelihood at each row's own win rate; a certain row adds nothing."""
    share = np.divide(wins, games, out=np.full_like(wins, 0.5), where=games > 0)
    inner = (share > 0) & (share < 1)
    p, n, w = share[inner], games[inner], wins[inner]
    return float((w * np.log(p) + (n - w) * np.log1p(-p)).sum())
