r"""Two groups of games compared within strata, after Mantel and Haenszel.

Each row is a 2x2 table: games of a first group (say, with the card in hand) and of a second
(with it in the deck), in one stratum. With :math:`a, b` wins and losses of the first group,
:math:`c, d` of the second and :math:`n` games in all, rows of one item are pooled by sums such
as :math:`\sum ad/n`, which rows with few games or none on one side cannot upset.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class TwoGroups:
    """Games of two groups, one row a stratum of an item.

    Parameters
    ----------
    first_wins, first_games, second_wins, second_games : ndarray of shape (m,)
        Counts, ``0 <= wins <= games``; need not be whole.
    item : ndarray of int, shape (m,)
        Which item each row belongs to, from 0 to ``items - 1``.
    items : int
        Number of items.

    Raises
    ------
    CountError
        If the counts break a bound, are unknown or differ in length.
    """

    first_wins: Numbers
    first_games: Numbers
    second_wins: Numbers
    second_games: Numbers
    item: Codes
    items: int

    def __post_init__(self) -> None:
        counts = (self.first_wins, self.first_games, self.second_wins, self.second_games)
        if len({len(column) for column in (*counts, self.item)}) > 1:
            lengths = ", ".join(str(len(column)) for column in (*counts, self.item))
            msg = f"counts and items must be of one length, got {lengths}"
            raise CountError(msg)
        for wins, games in (counts[:2], counts[2:]):
            if (bad := ~((wins >= 0) & (wins <= games) & np.isfinite(games))).any():
                msg = f"wins must lie between 0 and games ({games[bad][0]:g}), "
                msg += f"got {wins[bad][0]:g}"
                raise CountError(msg)

    @property
    def first_losses(self) -> Numbers:
        """Games of the first group that were lost."""
        return self.first_games - self.first_wins

    @property
    def second_losses(self) -> Numbers:
        """Games of the second group that were lost."""
        return self.second_games - self.second_wins

    @property
    def games(self) -> Numbers:
        """Games of both groups; at least the smallest number, so that rows may divide by it."""
        return np.maximum(self.first_games + self.second_games, np.finfo(np.float64).tiny)

    def total(self, column: Numbers) -> Numbers:
        """Sum a column of the rows over each item."""
        return np.bincount(self.item, column, self.items).astype(np.float64)


def two_groups(
    first_wins: npt.ArrayLike,
    first_games: npt.ArrayLike,
    second_wins: npt.ArrayLike,
    second_games: npt.ArrayLike,
    *,
    item: npt.ArrayLike | None = None,
) -> TwoGroups:
    """Lay out games of two groups, row by row.

    Parameters
    ----------
    first_wins, first_games, second_wins, second_games : array_like of float, shape (m,)
        Counts.
    item : array_like of int, shape (m,), optional
        Which item each row belongs to, from 0; all to one by default.

    Returns
    -------
    TwoGroups

    Raises
    ------
    CountError
        If the counts break a bound, are unknown or differ in length.
    """
    won, played, other_won, other_played = (
        np.atleast_1d(np.asarray(column, dtype=np.float64))
        for column in (first_wins, first_games, second_wins, second_games)
    )
    code = np.zeros(len(won)) if item is None else np.asarray(item)
    items = 1 if item is None else int(code.max(initial=-1)) + 1
    return TwoGroups(won, played, other_won, other_played, code.astype(np.intp), items)


class Pooled(NamedTuple):
    """One figure an item, with its sampling variance.

    Attributes
    ----------
    estimate, variance : ndarray of shape (items,)
        NaN where the rows cannot tell.
    """

    estimate: Numbers
    variance: Numbers


def log_odds_ratio(groups: TwoGroups, *, added: float = 0.0) -> Pooled:
    r"""Log of the common odds ratio of winning, first group against second.

    Parameters
    ----------
    groups : TwoGroups
        The games.
    added : float, optional
        What is added to both sums, at least 0, so that an item without a win or a loss keeps a
        finite figure. 0.25 is what one more stratum with a game in each of its four cells
        would add, and the variance counts that stratum too.

    Returns
    -------
    Pooled
        Above 0 where the first group wins more. The variance holds both with few large strata
        and with many small ones.

    References
    ----------
    Mantel, N. and Haenszel, W. (1959). Statistical aspects of the analysis of data from
    retrospective studies of disease. *JNCI* 22(4), 719-748.
    Robins, J., Breslow, N. and Greenland, S. (1986). Estimators of the Mantel-Haenszel
    variance consistent in both sparse data and large-strata limiting models. *Biometrics*
    42(2), 311-323.

    Examples
    --------
    >>> pooled = log_odds_ratio(two_groups([8, 22], [106, 98], [5, 16], [120, 85]))
    >>> f"{np.exp(pooled.estimate[0]):.4f}"
    '1.4031'
    """
    n = groups.games
    up = groups.first_wins * groups.second_losses / n
    down = groups.first_losses * groups.second_wins / n
    concord = (groups.first_wins + groups.second_losses) / n
    discord = (groups.first_losses + groups.second_wins) / n
    ups, downs = groups.total(up) + added, groups.total(down) + added
    same = groups.total(concord * up) + added / 2
    cross = groups.total(concord * down + discord * up) + added
    other = groups.total(discord * down) + added / 2
    ups, downs = _positive(ups, downs)
    variance = same / ups**2 + cross / (ups * downs) + other / downs**2
    return Pooled(np.log(ups / downs), variance / 2)


def log_rate_ratio(groups: TwoGroups) -> Pooled:
    """Log of the common ratio of win rates, first group against second.

    Parameters
    ----------
    groups : TwoGroups
        The games.

    Returns
    -------
    Pooled
        NaN for an item without a win on one side.

    References
    ----------
    Greenland, S. and Robins, J. M. (1985). Estimation of a common effect parameter from sparse
    follow-up data. *Biometrics* 41(1), 55-68.

    Examples
    --------
    >>> pooled = log_rate_ratio(two_groups([8, 22], [106, 98], [5, 16], [120, 85]))
    >>> f"{np.exp(pooled.estimate[0]):.4f}"
    '1.3256'
    """
    n, wins = groups.games, groups.first_wins + groups.second_wins
    first = groups.total(groups.first_wins * groups.second_games / n)
    second = groups.total(groups.second_wins * groups.first_games / n)
    first, second = _positive(first, second)
    both = groups.first_games * groups.second_games * wins / n**2
    spread = groups.total(both - groups.first_wins * groups.second_wins / n)
    return Pooled(np.log(first / second), spread / (first * second))


def rate_difference(groups: TwoGroups) -> Pooled:
    """Difference of win rates common to the strata, first group minus second.

    Parameters
    ----------
    groups : TwoGroups
        The games.

    Returns
    -------
    Pooled
        NaN for an item without a stratum that has games on both sides.

    References
    ----------
    Greenland, S. and Robins, J. M. (1985). *Biometrics* 41(1), 55-68, for the estimate.
    Sato, T., Greenland, S. and Robins, J. M. (1989). On the variance estimator for the
    Mantel-Haenszel risk difference. *Biometrics* 45(4), 1323-1324, for a variance that holds
    with many small strata too.

    Examples
    --------
    >>> pooled = rate_difference(two_groups([8, 22], [106, 98], [5, 16], [120, 85]))
    >>> f"{pooled.estimate[0]:.4f}"
    '0.0349'
    """
    n = groups.games
    first, second = groups.first_games / n, groups.second_games / n
    shared = groups.total(groups.first_games * second)
    (shared,) = _positive(shared)
    gap = groups.total(groups.first_wins * second - groups.second_wins * first) / shared
    lean = groups.second_wins * first**2 - groups.first_wins * second**2
    lean += first * second * (groups.second_games - groups.first_games) / 2
    mixed = groups.first_wins * groups.second_losses + groups.second_wins * groups.first_losses
    spread = gap * groups.total(lean) + groups.total(mixed / n) / 2
    return Pooled(gap, spread / shared**2)


def association(groups: TwoGroups, *, corrected: bool = False) -> Numbers:
    """Cochran-Mantel-Haenszel statistic: how little chance alone explains the difference.

    Parameters
    ----------
    groups : TwoGroups
        The games.
    corrected : bool, optional
        Whether half a game is taken off the surplus of wins, so that the tail of the
        chi-square distribution comes nearer to the exact one.

    Returns
    -------
    ndarray of shape (items,)
        Chi-square with one degree of freedom if the groups win alike in every stratum.

    References
    ----------
    Mantel, N. and Haenszel, W. (1959). *JNCI* 22(4), 719-748.

    Examples
    --------
    >>> association(two_groups([8, 22], [106, 98], [5, 16], [120, 85])).round(4).tolist()
    [1.1914]
    """
    n, wins = groups.games, groups.first_wins + groups.second_wins
    surplus = np.abs(groups.total(groups.first_wins - groups.first_games * wins / n))
    hyper = groups.first_games * groups.second_games * wins * (n - wins)
    spread = groups.total(np.where(n > 1, hyper / (n**2 * np.maximum(n - 1, 0.5)), 0.0))
    (spread,) = _positive(spread)
    return np.maximum(surplus - 0.5 * corrected, 0) ** 2 / spread


def _positive(*sums: Numbers) -> tuple[Numbers, ...]:
    """Set what must be above 0 to divide by it, and is not, to NaN."""
    return tuple(np.where(one > 0, one, np.nan) for one in sums)
