"""What an average card wins in this sample, and what each card was expected to win."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.errors import FitError
from winrate_tools.settings import Settings
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.tables import CardTable

Numbers = npt.NDArray[np.float64]
HALVINGS = 200


class Baseline(NamedTuple):
    """The level that effects are counted from.

    Attributes
    ----------
    rate : float
        Win rate that the line is drawn from: the sample's mean, or as the user has it.
    sample_mean : float
        Win rate of the whole sample, strictly between 0 and 1.
    offset : ndarray of shape (n,)
        Log-odds at which an average card would have won in each card's place. Weighted by
        games, they expect as many wins as the sample has.
    variance : float
        Of the sample's mean, on the log-odds, where the line does not move with it; else 0.
    """

    rate: float
    sample_mean: float
    offset: Numbers
    variance: float = 0.0


def baseline(table: CardTable, settings: Settings) -> Baseline:
    """Find the level of a table of totals.

    Parameters
    ----------
    table : CardTable
        One row a card.
    settings : Settings
        Its `baseline` is used.

    Returns
    -------
    Baseline
        A baseline given by the user moves the line, never the estimates.

    Raises
    ------
    FitError
        If no card has a game with a known result, or the baseline is asked of a column that
        the table does not have.

    Examples
    --------
    >>> table = CardTable(["Ash Vine", "Tin Moth"], [100, 300], [52, 168])
    >>> baseline(table, Settings()).rate
    0.55
    >>> baseline(table, Settings(baseline=0.5)).sample_mean
    0.55
    """
    known = ~np.isnan(table.wins)
    games, wins = table.games[known].sum(), table.wins[known].sum()
    if not games:
        msg = "no card has a game with a known result"
        raise FitError(msg)
    edge = 0.5 / (games + 1)
    mean = float(np.clip(wins / games, edge, 1 - edge))
    if settings.baseline == "sample":
        return Baseline(mean, mean, np.full(len(table), logit(mean)))
    effect = settings.design_effect or DEFAULT_DESIGN_EFFECT
    variance = float(effect / (games * mean * (1 - mean)))
    if settings.baseline == "player_rate":
        return _of_players(table, mean, variance)
    return Baseline(settings.baseline, mean, np.full(len(table), logit(mean)), variance)


def _of_players(table: CardTable, mean: float, variance: float) -> Baseline:
    if table.player_rate is None:
        msg = "the baseline is asked of the column player_rate, and the table has none"
        raise FitError(msg)
    games = np.where(np.isnan(table.wins), 0.0, table.games)
    known = np.where(np.isnan(table.player_rate), 0.0, games)
    if not known.any():
        msg = "no card with a game has a player_rate to take the baseline from"
        raise FitError(msg)
    rate = float((known * np.nan_to_num(table.player_rate)).sum() / known.sum())
    players = logit(np.where(np.isnan(table.player_rate), rate, table.player_rate))
    return Baseline(rate, mean, players + _shift(players, games, mean), variance)


def _shift(players: Numbers, games: Numbers, mean: float) -> float:
    """Return what to add to the players' log-odds so that they expect the sample's wins."""
    low, high = -50.0, 50.0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        expected = (games * expit(players + middle)).sum() / games.sum()
        low, high = (middle, high) if expected < mean else (low, middle)
    return high
