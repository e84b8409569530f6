"""What archetypes and skill bands lead one to expect of an average card in each row."""

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed.rows import Rows, coded, expected_rate

Numbers = npt.NDArray[np.float64]
FEWEST_CARDS = 30
"""Below this many cards with games nobody can tell cards' effects from archetypes'."""
WIDEST = 30.0
HALVINGS = 40


def expectation(rows: Rows, design_effect: float) -> Numbers:
    """Win rate expected of an average card in each row.

    Cards and archetypes are told apart by the crossed model, with skill bands as fixed
    effects: an archetype is not stronger for having strong cards, nor a card for being in a
    strong archetype. The level is then set so that the rows expect the wins that they have.

    Parameters
    ----------
    rows : Rows
        Counts by card and stratum.
    design_effect : float
        Variance of a count against that of independent games, at least 1.

    Returns
    -------
    ndarray of shape (m,)
        Strictly between 0 and 1. Without archetypes, with fewer than 30 cards, or where the
        model cannot be fitted (a band that always wins, say), the strata's own rates.
    """
    plain, _ = expected_rate(rows)
    cards = np.count_nonzero(np.bincount(rows.card[rows.games > 0]))
    if "archetype" not in rows.strata or cards < FEWEST_CARDS:
        return plain
    try:
        log_odds = _log_odds(rows, design_effect)
    except FitError:
        return plain
    known = rows.labelled
    level = _level(log_odds[known], rows.games[known], rows.wins[known].sum())
    return np.where(known, expit(log_odds + level), plain)


def _log_odds(rows: Rows, design_effect: float) -> Numbers:
    """Fit the crossed model to the labelled rows; log-odds of each row without its card."""
    from winrate_tools.stats.crossed.cells import Cells
    from winrate_tools.stats.crossed.crossed import crossed

    group, _ = coded(rows.labels["archetype"])
    columns = [np.ones(len(rows.games))]
    if "skill_band" in rows.strata:
        band, names = coded(rows.labels["skill_band"])
        shown = [k for k, name in enumerate(names) if name is not None]
        columns += [(band == k).astype(np.float64) for k in shown[1:]]
    fixed, use = np.array(columns).T, rows.labelled
    wins, games = rows.wins[use] / design_effect, rows.games[use] / design_effect
    fit = crossed(Cells(wins, games, rows.card[use], fixed[use], group[use]))
    effect = np.zeros(int(group.max()) + 1)
    effect[: len(fit.group_effect)] = fit.group_effect
    return np.asarray(fixed @ fit.fixed + effect[group])


def _level(log_odds: Numbers, games: Numbers, wins: float) -> float:
    """Return what to add so that the rows expect as many wins as they have."""
    low, high = -WIDEST, WIDEST
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        short = games @ expit(log_odds + middle) < wins
        low, high = (middle, high) if short else (low, middle)
    return high
