r"""How many more home games would settle what archetypes are at this table.

Further games go on like those so far: the same people meet as often, and choose archetypes as
they did. Such games bring their information about everybody's strength at once, so what a game
tells of an archetype is only what it does not tell of the players who hold it. An archetype
that one player alone ever holds is never known better than that player is.

Strengths are drawn from what is believed now, further games from the strengths; with
information :math:`J` a game, :math:`g` games come to :math:`u \sim N(gJ\beta, gJ)`. Each case
of the mixture then takes them in as a normal does, and the cases are weighted anew.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.home.home_table import HomeTable

Numbers = npt.NDArray[np.float64]
ENOUGH = 0.8
"""Probability with which a verdict should settle."""
STEPS = 36
"""Numbers of games that are tried, from 1 to the horizon."""
DRAWS = 400
NEGLIGIBLE = 0.01
"""Cases this much less likely than the likeliest are left out of what is still to come."""


CHANCE = 0.24
"""Variance of a game's result, about, between decks that are no mismatch."""


class Lines(NamedTuple):
    """Between which effects an archetype is fine, and how sure is sure enough.

    Attributes
    ----------
    low, high : float
        Effects on the log-odds, ``low < high``.
    sure, balanced : float
        Probability wanted for a strength outside the lines, and for one between them.
    """

    low: float
    high: float
    sure: float
    balanced: float

    def settled(self, believed: NormalMixture) -> npt.NDArray[np.bool_]:
        """Tell which of n items have a verdict, shape (n,)."""
        below, above = believed.below(self.low), 1 - believed.below(self.high)
        return np.asarray(
            (below >= self.sure) | (above >= self.sure) | (1 - below - above >= self.balanced)
        )


def pace(
    met: Numbers, decks: Numbers, share: Numbers, *, design_effect: float = 1.0
) -> Numbers:
    r"""Information that one further game of the table will bring on average.

    Parameters
    ----------
    met : ndarray of shape (N, N)
        Games that each player had against each other one; some above 0.
    decks : ndarray of shape (N, K)
        How often each player held each archetype.
    share : ndarray of shape (K,)
        How often strangers do, sum 1; each player is taken to have held one deck more, chosen
        as the table and strangers choose.
    design_effect : float, optional
        How many games count as one independent game, at least 1.

    Returns
    -------
    ndarray of shape (N + 1 + K, N + 1 + K)
        Over players, the first seat, of which it brings none, and archetypes.

    Examples
    --------
    >>> one = pace(np.array([[0.0, 5], [0, 0]]), np.eye(2) * 9, np.full(2, 0.5))
    >>> one.shape, one[:2, :2].round(2).tolist()
    ((5, 5), [[0.24, -0.24], [-0.24, 0.24]])
    """
    players = len(decks)
    usual = (decks.sum(axis=0) + share) / (decks.sum() + 1)
    choice = (decks + usual) / (decks.sum(axis=1, keepdims=True) + 1)
    often = met / met.sum()
    total = np.zeros((players + len(share) + 1,) * 2)
    for ours, theirs in np.argwhere(often):
        who = np.eye(players)[ours] - np.eye(players)[theirs]
        mean = np.r_[who, 0.0, choice[ours] - choice[theirs]]
        spread = [np.diag(p) - np.outer(p, p) for p in (choice[ours], choice[theirs])]
        seen = np.outer(mean, mean)
        seen[players + 1 :, players + 1 :] += spread[0] + spread[1]
        total += often[ours, theirs] * seen
    return np.asarray(CHANCE * total / design_effect)


def chance_settled(
    table: HomeTable,
    contrasts: Numbers,
    more: Numbers,
    games: float,
    lines: Lines,
    *,
    seed: int = 1,
) -> Numbers:
    """Probability that verdicts are settled after further games, to about .02.

    Parameters
    ----------
    table : HomeTable
        What is believed now.
    contrasts : ndarray of shape (n, P)
        What each verdict is about, as a weighted sum of strengths.
    more : ndarray of shape (P, P)
        Information that one further game of the table brings, as by `pace`.
    games : float
        Further games of the table, above 0.
    lines : Lines
        What settles a verdict.
    seed : int, optional
        Seed of the draws.

    Returns
    -------
    ndarray of shape (n,)

    References
    ----------
    Raiffa, H. and Schlaifer, R. (1961). *Applied Statistical Decision Theory*. Harvard,
    chapter 5, for what is believed once games to come are in (value from memory).
    """
    rng = np.random.default_rng(seed)
    kept = _likely(table)
    brought = _brought(kept, games * more, rng)
    return _share_settled(kept, contrasts, games * more, brought, lines)


def _likely(table: HomeTable) -> HomeTable:
    keep = table.weight > NEGLIGIBLE * table.weight.max()
    weight = table.weight[keep]
    return HomeTable(
        table.players,
        weight / weight.sum(),
        table.mean[keep],
        table.covariance[keep],
        table.is_stray[keep],
    )


def _brought(table: HomeTable, more: Numbers, rng: np.random.Generator) -> Numbers:
    """Draw what further games say, shape (draws, P)."""
    case = rng.choice(len(table.weight), size=DRAWS, p=table.weight)
    deviates = rng.normal(size=(2, DRAWS, table.mean.shape[1]))
    roots = np.linalg.cholesky(table.covariance)[case]
    strength = table.mean[case] + np.einsum("dpq,dq->dp", roots, deviates[0])
    values, vectors = np.linalg.eigh(more)
    noise = deviates[1] * np.sqrt(np.maximum(values, 0.0))
    return np.asarray(strength @ more + noise @ vectors.T)


def _share_settled(
    table: HomeTable, contrasts: Numbers, more: Numbers, brought: Numbers, lines: Lines
) -> Numbers:
    """Take in each draw of further games, and tell how often each verdict is settled."""
    curve = np.linalg.inv(table.covariance)
    covariance = np.linalg.inv(curve + more)
    believed = np.einsum("cpq,cq->cp", curve, table.mean)
    total = believed[:, None] + brought
    mean = np.einsum("cpq,cdq->cdp", covariance, total)
    height = np.log(table.weight) - 0.5 * (believed * table.mean).sum(axis=1)
    height += 0.5 * (np.linalg.slogdet(curve)[1] + np.linalg.slogdet(covariance)[1])
    fit = height[:, None] + 0.5 * (total * mean).sum(axis=-1)
    weight = np.exp(fit - fit.max(axis=0))
    weight /= weight.sum(axis=0)
    variance = np.einsum("np,cpq,nq->cn", contrasts, covariance, contrasts)
    shape = (*weight.shape, len(contrasts))
    mixture = NormalMixture(
        np.broadcast_to(weight[..., None], shape).reshape(len(weight), -1),
        (mean @ contrasts.T).reshape(len(weight), -1),
        np.sqrt(np.broadcast_to(variance[:, None], shape)).reshape(len(weight), -1),
    )
    return np.asarray(lines.settled(mixture).reshape(shape[1:]).mean(axis=0))


def games_to_settle(
    table: HomeTable,
    contrasts: Numbers,
    more: Numbers,
    lines: Lines,
    *,
    horizon: float,
    seed: int = 1,
) -> Numbers:
    """Fewest further games of the table after which verdicts are settled with 4 in 5.

    Parameters
    ----------
    table, contrasts, more, lines, seed
        As in `chance_settled`.
    horizon : float
        Games after which nobody waits any longer, at least 1.

    Returns
    -------
    ndarray of shape (n,)
        Games, at least 1, to a quarter or so; ``inf`` where the horizon would not do.

    Examples
    --------
    Two decks that swap hands every game, no word from outside; one won 52 % of 200:

    >>> from winrate_tools.stats.home.home_table import Outside, home_table
    >>> from winrate_tools.stats.home.pairs import Contests
    >>> two, games, half = np.arange(2), np.full(2, 100.0), np.full(2, 0.5)
    >>> met = Contests(two, 1 - two, 0.52 * games, games, 0 * two, 0 * two + 1, np.zeros(2))
    >>> alike = Outside(np.zeros(2), np.full(2, 0.3), two < 0)
    >>> here = home_table(met.rows(2, 2), met.wins, games, alike, players=2)
    >>> a_game = pace(np.eye(2)[::-1], np.full((2, 2), 9.0), half)
    >>> asked, lines = np.array([[0, 0, 0, 0.5, -0.5]]), Lines(-0.08, 0.08, 0.9, 0.8)
    >>> needed = games_to_settle(here, asked, a_game, lines, horizon=20_000)
    >>> bool(1000 < needed[0] < 20_000)
    True
    """
    grid = np.unique(np.ceil(np.geomspace(1, horizon, STEPS)))
    chances = [chance_settled(table, contrasts, more, g, lines, seed=seed) for g in grid]
    enough = np.array(chances) >= ENOUGH
    return np.where(enough.any(axis=0), grid[enough.argmax(axis=0)], np.inf)
