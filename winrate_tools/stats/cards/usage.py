"""How drafters treat a card, cleaned until it can inform a prior.

Cards that nobody plays are unplayed for a reason, so usage says something about strength
before a single game is counted. Raw counts say it badly: a rare is dealt less often than a
common, and a card without games would be an outlier of the logarithm.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.tables import CardTable, Labels

Numbers = npt.NDArray[np.float64]
FARTHEST = 2.5
"""Standard deviations at which a covariate is clipped, so that no card has leverage."""
FEWEST_IN_RARITY = 8
"""Rarities with fewer known cards than this are compared with the whole pool."""
SHARE_STRENGTH = 4.0
"""Copies' worth of the pool's own share, mixed into a card's share of played copies."""


class Usage(NamedTuple):
    """Cleaned usage of n cards: higher means that drafters like the card more.

    Attributes
    ----------
    columns : tuple of str
        Where each covariate came from: ``games``, ``mean_pick``, ``played``.
    matrix : ndarray of shape (n, k)
        Standardised within rarity over the cards that have a value, clipped at 2.5; 0 where
        the value is missing.
    score : ndarray of shape (n,)
        Mean over the covariates that a card has, 0 where it has none.
    known : ndarray of bool, shape (n,)
        Whether a card has any covariate.
    """

    columns: tuple[str, ...]
    matrix: Numbers
    score: Numbers
    known: npt.NDArray[np.bool_]


def usage(table: CardTable) -> Usage:
    """Clean the usage columns of a table of totals.

    Parameters
    ----------
    table : CardTable
        One row a card.

    Returns
    -------
    Usage
        Covariates that do not vary, within rarities, are left out.

    Examples
    --------
    >>> table = CardTable(card=["a", "b", "c"], games=[100, 1000, 0], wins=[50, 500, 0])
    >>> usage(table).matrix.round(2).ravel().tolist()
    [-1.0, 1.0, 0.0]
    """
    raw = {
        "games": _log_games(table),
        "mean_pick": None if table.mean_pick is None else -table.mean_pick,
        "played": _log_odds_played(table),
    }
    centred = {
        name: column - _rarity_means(column, table.rarity)
        for name, column in raw.items()
        if column is not None and _varies(column)
    }
    cleaned = {
        name: _standardised(column) for name, column in centred.items() if _varies(column)
    }
    columns = tuple(cleaned)
    stack = np.array(list(cleaned.values())).reshape(len(columns), len(table)).T
    known = ~np.isnan(stack)
    count = known.sum(axis=1)
    matrix = np.where(known, stack, 0.0)
    return Usage(columns, matrix, matrix.sum(axis=1) / np.maximum(count, 1), count > 0)


def _log_games(table: CardTable) -> Numbers:
    with np.errstate(divide="ignore"):
        return np.where(table.games > 0, np.log(table.games), np.nan)


def _log_odds_played(table: CardTable) -> Numbers | None:
    """Log-odds that a drafted copy makes the deck, drawn a little towards the pool's."""
    if table.drafted is None or table.played is None:
        return None
    drafted = np.where(np.isnan(table.played), np.nan, table.drafted)
    pool_share = np.nansum(table.played) / max(np.nansum(drafted), 1.0)
    pool_share = np.clip(pool_share, 0.01, 0.99)
    share = (table.played + SHARE_STRENGTH * pool_share) / (drafted + SHARE_STRENGTH)
    return np.where(drafted > 0, np.log(share / (1 - share)), np.nan)


def _varies(column: Numbers) -> bool:
    known = column[~np.isnan(column)]
    return len(known) > 1 and bool(np.ptp(known) > 1e-12)


def _standardised(centred: Numbers) -> Numbers:
    spread = np.sqrt(np.nanmean(centred**2))
    return np.asarray(np.clip(centred / spread, -FARTHEST, FARTHEST))


def _rarity_means(column: Numbers, rarity: Labels | None) -> Numbers:
    means = np.full(len(column), np.nanmean(column))
    labels = np.array(rarity if rarity is not None else [None] * len(column), dtype=object)
    for label in sorted({label for label in labels if label is not None}):
        inside = (labels == label) & ~np.isnan(column)
        if inside.sum() >= FEWEST_IN_RARITY:
            means[labels == label] = column[inside].mean()
    return means
