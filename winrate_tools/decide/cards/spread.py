"""How sure it is what cards differ by, and what share of their records is their own."""

from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.strength import Strength
from winrate_tools.stats.records.quantiles import sample_quantile

if TYPE_CHECKING:
    from winrate_tools.decide.cards.verdicts import PoolVerdict

Numbers = npt.NDArray[np.float64]


class SpreadRange(NamedTuple):
    """Central ranges of a pool's spread and of its real share.

    Attributes
    ----------
    spread_low, spread_high : float
        Ends for the standard deviation of the cards' own values, a fraction of games.
    real_share_low, real_share_high : float
        Ends for the share of the variance between raw win rates that is real, from 0 to 1.
    """

    spread_low: float
    spread_high: float
    real_share_low: float
    real_share_high: float


def real_share(fitted: Strength, own_spread: float) -> float:
    """Share of the variance between raw win rates that is the cards' own (rankability).

    Parameters
    ----------
    fitted : Strength
        Estimates for n cards.
    own_spread : float
        Standard deviation of the cards' own effects, on the log-odds.

    Returns
    -------
    float
        From 0 to 1. What records owe to company stands below the line too: it is the rest of
        what they differ by.

    References
    ----------
    van Dishoeck, A. M. et al. (2011). Random variation and rankability of hospitals using
    outcome indicators. *BMC Medical Research Methodology* 11:21 (from memory): the variance
    between items over itself and the median variance of one item's record.
    """
    table, mean = fitted.sample.totals, fitted.sample.level.sample_mean
    seen = np.nan_to_num(table.games) * ~np.isnan(table.wins) > 0
    information = table.games[seen] * mean * (1 - mean) / fitted.sample.design_effect
    record = (table.wins[seen] / table.games[seen] - mean) / (mean * (1 - mean))
    about = record - np.average(record, weights=information)
    between = float((information * about**2).sum() - seen.sum()) / float(information.sum())
    luck = sample_quantile(1 / information, 0.5)
    return own_spread**2 / (max(between, own_spread**2) + luck)


def spread_range(pool: "PoolVerdict", sure: float | None = None) -> SpreadRange:
    r"""Say between what ends the spread of the cards and their share of it lie.

    In each joint draw the cards differ by some standard deviation :math:`s` about the mean of
    all draws, which has the mean square that the pool's spread is the root of. What raw win
    rates differ by is counted, so the share follows :math:`s^2`.

    Parameters
    ----------
    pool : PoolVerdict
        A judged pool.
    sure : float, optional
        The ranges hold the central ``2 * sure - 1``; the pool's own if not given.

    Returns
    -------
    SpreadRange

    Examples
    --------
    >>> from winrate_tools.decide.cards.judgement import judge
    >>> from winrate_tools.tables import CardTable
    >>> names, wins = [f"Card {place}" for place in range(40)], range(1900, 2100, 5)
    >>> pool = judge(CardTable(names, [4000] * 40, [*wins]))
    >>> found = spread_range(pool)
    >>> found.spread_low < pool.spread < found.spread_high
    True
    """
    level, draws = pool.sure if sure is None else sure, pool.beliefs.draws
    off = draws - draws.mean()
    apart = np.sort(np.sqrt(np.einsum("dn,dn->d", off, off) / off.shape[1]))
    middles = (np.arange(len(apart)) + 0.5) / len(apart)
    ends = np.interp([1 - level, level], middles, apart)
    return SpreadRange(*(ends * _points_of(pool)).tolist(), *_shares(pool, ends).tolist())


def _points_of(pool: "PoolVerdict") -> float:
    """Win rate for one unit of log-odds at the average card."""
    return pool.beliefs.mean * (1 - pool.beliefs.mean)


def _shares(pool: "PoolVerdict", apart: Numbers) -> Numbers:
    """Return the real shares that go with what cards differ by, on the log-odds."""
    luck = _luck(pool)
    records = (pool.spread / _points_of(pool)) ** 2 / pool.real_share - luck
    return np.asarray(apart**2 / (np.maximum(records, apart**2) + luck))


def _luck(pool: "PoolVerdict") -> float:
    """Variance on the log-odds that luck gives the record of the card in the middle."""
    chance = pool.sample_mean * (1 - pool.sample_mean)
    games = [card.games for card in pool.cards if card.games and card.wins is not None]
    return sample_quantile([pool.design_effect / (number * chance) for number in games], 0.5)
