r"""What home games say of a table's players and archetypes, with strangers' word beforehand.

Players' strengths have the prior :math:`N(0, \sigma^2)`; a handful of players cannot teach how
much they differ, so :math:`\sigma` may be a quarter, a half or one. Each archetype's strength
lies near what strangers found, or now and then far off: `winrate_tools.stats.home.home`.
The posterior is a mixture over these spreads and over which archetypes are far off here; no
more than two of them are thought to be at once. Each such case is a paired comparison of its
own (`winrate_tools.stats.home.pairs`), weighted by how well it foretells the games.
"""

from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.home.home import STRAY, Discrepancy
from winrate_tools.stats.home.pairs import PairsFit, posterior

Numbers = npt.NDArray[np.float64]
PLAYER_SDS = (0.25, 0.5, 1.0)
"""Standard deviations that players' strengths may have, each as likely. A judgement."""
SEAT_SD = 0.3
"""Standard deviation of what the first seat is worth, beforehand. A judgement."""
MOST_STRAYS = 2


@dataclass(frozen=True, slots=True, eq=False)
class Outside:
    """What is believed of K archetypes before a home game is played, on the log-odds.

    Attributes
    ----------
    mean, sd : ndarray of shape (K,)
        Normal of each strength, by strangers' games; ``sd > 0``.
    holds : ndarray of bool, shape (K,)
        Whether it is about the archetype as it is played at home, so that only the usual
        difference, or now and then a large one, comes on top; False for one whose `sd`
        already says all.
    """

    mean: Numbers
    sd: Numbers
    holds: npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class HomeTable:
    """Posterior of P strengths as a mixture of C cases: players, first seat, archetypes.

    Attributes
    ----------
    players : int
        How many of the strengths are players'; the first seat's comes next.
    weight : ndarray of shape (C,)
        Of the cases, sum 1.
    mean : ndarray of shape (C, P)
        Strengths, case by case.
    covariance : ndarray of shape (C, P, P)
        The same.
    is_stray : ndarray of bool, shape (C, K)
        Which archetypes are far off in each case.
    """

    players: int
    weight: Numbers
    mean: Numbers
    covariance: Numbers
    is_stray: npt.NDArray[np.bool_]

    def of(self, contrasts: Numbers) -> NormalMixture:
        """Return what is believed of weighted sums of strengths.

        Parameters
        ----------
        contrasts : ndarray of shape (n, P)
            Weights.

        Returns
        -------
        NormalMixture
            Over n sums, a component for each case.
        """
        mean = self.mean @ contrasts.T
        variance = np.einsum("np,cpq,nq->cn", contrasts, self.covariance, contrasts)
        weight = np.repeat(self.weight[:, None], len(contrasts), axis=1)
        return NormalMixture(weight, mean, np.sqrt(variance))


def home_table(
    rows: Numbers,
    wins: Numbers,
    games: Numbers,
    outside: Outside,
    *,
    players: int,
    design_effect: float = 1.0,
    differs: Discrepancy | None = None,
) -> HomeTable:
    """Weigh home games with what strangers say of the archetypes.

    Parameters
    ----------
    rows : ndarray of shape (R, P)
        What each strength adds to the log-odds of each encounter, as by
        `winrate_tools.stats.home.pairs.Contests.rows`; no row for what is believed beforehand.
    wins, games : ndarray of shape (R,)
        ``0 <= wins <= games``.
    outside : Outside
        What is believed of the archetypes.
    players : int
        How many there are.
    design_effect : float, optional
        How many games count as one independent game, at least 1.
    differs : Discrepancy, optional
        How far the home table differs from strangers; the defaults if not given.

    Returns
    -------
    HomeTable
        Finite with any games, and with none.

    Examples
    --------
    Strangers find two archetypes equal. Here one player wins 30 of 40 games with either:

    >>> two = np.arange(2)
    >>> won = np.array([30.0, 30.0])
    >>> from winrate_tools.stats.home.pairs import Contests
    >>> met = Contests(0 * two, 0 * two + 1, won, won + 10, two, 1 - two, np.zeros(2))
    >>> rows = met.rows(2, 2)
    >>> alike = Outside(np.zeros(2), np.full(2, 0.03), two >= 0)
    >>> here = home_table(rows, met.wins, met.games, alike, players=2)
    >>> np.abs(here.of(np.eye(5)[[0, 3]] - np.eye(5)[[1, 4]]).centre).round(2).tolist()
    [1.0, 0.0]
    """
    differs = differs or Discrepancy()
    mean = np.r_[np.zeros(players + 1), outside.mean]
    cases = list(product(PLAYER_SDS, _strays(outside.holds)))
    fits: list[PairsFit] = []
    for case in cases:
        fit = posterior(
            rows,
            wins,
            games,
            mean=mean,
            variance=_variance(outside, players, differs.usual, case),
            design_effect=design_effect,
            start=fits[-1].mean if fits else None,
        )
        fits.append(fit)
    is_stray = np.array([strays for _, strays in cases])
    chance = differs.stray_share / (1 - differs.stray_share)
    height = np.array([fit.log_evidence for fit in fits])
    height += is_stray.sum(axis=1) * np.log(chance)
    weight = np.exp(height - height.max())
    return HomeTable(
        players,
        weight / weight.sum(),
        np.array([fit.mean for fit in fits]),
        np.array([fit.covariance for fit in fits]),
        is_stray,
    )


def _strays(holds: npt.NDArray[np.bool_]) -> list[npt.NDArray[np.bool_]]:
    """List which archetypes may be far off at once: none, each one, each pair."""
    places = np.flatnonzero(holds)
    chosen = [pair for size in range(MOST_STRAYS + 1) for pair in combinations(places, size)]
    return [np.isin(np.arange(len(holds)), pair) for pair in chosen]


def _variance(
    outside: Outside, players: int, usual: float, case: tuple[float, npt.NDArray[np.bool_]]
) -> Numbers:
    player_sd, strays = case
    added = np.where(outside.holds, np.where(strays, STRAY, usual), 0.0)
    variance = np.r_[np.full(players, player_sd**2), SEAT_SD**2, outside.sd**2 + added**2]
    return np.asarray(variance)
