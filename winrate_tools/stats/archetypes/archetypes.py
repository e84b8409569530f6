r"""How strong each archetype is, apart from who plays it, and how much of that is its cards'.

Games of archetype :math:`k` in skill band :math:`b` are won with log-odds

.. math:: \eta_{kb} = \beta_b + \alpha_k, \qquad \alpha_k \sim N(0, \tau^2),

so that archetypes with few games lean towards the others, as far as the archetypes resemble
each other. Few archetypes leave their spread :math:`\tau` uncertain; it is integrated over a
grid. What is reported is the strength :math:`\alpha_k - \sum_j s_j \alpha_j` relative to the
mean of all games, :math:`s_j` being the archetypes' shares of play.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.cards.mixture import NormalMixture

Numbers = npt.NDArray[np.float64]
SPREAD_SCALE = 0.3
"""Scale of the half-normal prior of the spread, on the log-odds."""
SPREADS = np.geomspace(0.003, 1.5, 60)
BAND_SD = 1.5
"""Standard deviation of the bands' prior about the mean; it matters for bands of few games."""
MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class ArchetypeStrength:
    """Posterior of the strengths of K archetypes, on the log-odds.

    Attributes
    ----------
    relative : NormalMixture
        Strengths relative to the mean of all games, one component for each spread.
    share : ndarray of shape (K,)
        Shares of play, sum 1.
    mean_rate : float
        Win rate of all games.
    spread : float
        Posterior mean of the spread between archetypes.
    removable : ndarray of shape (K,)
        Part of each strength's variance that endless games would remove.
    information : ndarray of shape (K,)
        Information that one further game of an archetype brings about its relative strength,
        if the others go on being played in step.
    """

    relative: NormalMixture
    share: Numbers
    mean_rate: float
    spread: float
    removable: Numbers
    information: Numbers


def archetype_strength(
    games: npt.ArrayLike,
    wins: npt.ArrayLike,
    *,
    design_effect: float = 1.0,
    error: float = 0.0,
) -> ArchetypeStrength:
    """Estimate archetypes' strengths from their games in each skill band.

    Parameters
    ----------
    games, wins : array_like of float, shape (K, B)
        Counts by archetype and skill band, ``0 <= wins <= games``; need not be whole. One
        column stands for players of all bands together.
    design_effect : float, optional
        How many games count as one independent game, at least 1.
    error : float, optional
        Standard deviation, on the log-odds, by which such counts misjudge a strength however
        many games there are, at least 0.

    Returns
    -------
    ArchetypeStrength
        Finite for every archetype, with or without games.

    Raises
    ------
    CountError
        If a count is unknown or breaks a bound.
    FitError
        If fewer than two archetypes have games, or all of these were won, or all lost.

    Notes
    -----
    Bands are fitted beside the archetypes. Expected wins at each band's mean rate would adjust
    for them too, but too little where good players favour a strong archetype, because that
    band's mean then holds part of the archetype's strength.

    References
    ----------
    Gelman, A. (2006). Prior distributions for variance parameters in hierarchical models.
    *Bayesian Analysis* 1(3), 515-534, for a spread of few groups; Breslow, N. E. and Clayton,
    D. G. (1993). Approximate inference in generalized linear mixed models. *JASA* 88(421),
    9-25, for the approximation (both values from memory).

    Examples
    --------
    Both archetypes win half their games; the second one does it against better odds:

    >>> games = [[900, 100], [100, 900]]
    >>> found = archetype_strength(games, [[400, 60], [20, 440]])
    >>> found.relative.centre.round(2).tolist()
    [0.34, -0.34]
    """
    n, x = _demand_counts(games, wins)
    played = n.sum(axis=0) > 0
    sample = _Sample(n[:, played] / design_effect, x[:, played] / design_effect)
    fits = [_fit(sample, spread) for spread in SPREADS]
    height = np.array([fit.log_density for fit in fits])
    weight = np.exp(height - height.max())
    weight /= weight.sum()
    count, share = len(n), n.sum(axis=1) / n.sum()
    away = np.eye(count) - share
    mean = np.array([away @ fit.mean for fit in fits])
    variance = np.array([np.diag(away @ fit.covariance @ away.T) for fit in fits])
    rate, weights = sample.mean_rate, np.repeat(weight[:, None], count, axis=1)
    relative = NormalMixture(weights, mean, np.sqrt(variance + error**2))
    return ArchetypeStrength(
        relative=relative,
        share=share,
        mean_rate=rate,
        spread=float(weight @ SPREADS),
        removable=relative.scale**2 - error**2,
        information=rate * (1 - rate) / (design_effect * np.maximum(1 - share, 1e-9)),
    )


def _demand_counts(games: npt.ArrayLike, wins: npt.ArrayLike) -> tuple[Numbers, Numbers]:
    n, x = (np.asarray(counts, dtype=np.float64) for counts in (games, wins))
    if n.ndim != 2 or n.shape != x.shape:
        msg = f"games and wins must both be archetypes x bands, got {n.shape} and {x.shape}"
        raise CountError(msg)
    if (bad := ~((x >= 0) & (x <= n) & np.isfinite(n))).any():
        msg = f"wins must lie between 0 and games ({n[bad][0]:g}), got {x[bad][0]:g}"
        raise CountError(msg)
    if (played := int((n.sum(axis=1) > 0).sum())) < 2:
        msg = f"at least two archetypes with games were wanted, got {played}"
        raise FitError(msg)
    if not 0 < x.sum() < n.sum():
        msg = f"some games must be won and some lost, got {x.sum():g} wins in {n.sum():g} games"
        raise FitError(msg)
    return n, x


class _Sample(NamedTuple):
    games: Numbers
    wins: Numbers

    @property
    def mean_rate(self) -> float:
        return float(self.wins.sum() / self.games.sum())


class _Fit(NamedTuple):
    """Archetype effects given their spread, and the spread's log density up to a constant."""

    mean: Numbers
    covariance: Numbers
    log_density: float


def _fit(sample: _Sample, spread: float) -> _Fit:
    """Climb to the mode of archetypes and bands, and take the normal that fits it there."""
    archetypes, bands = sample.games.shape
    start = np.r_[np.zeros(archetypes), np.full(bands, logit(sample.mean_rate))]
    precision = np.r_[np.full(archetypes, spread**-2), np.full(bands, BAND_SD**-2)]
    point = start
    for _ in range(MOST_STEPS):
        slope, curve = _slope_and_curve(sample, point)
        step = np.linalg.solve(curve + np.diag(precision), slope - precision * (point - start))
        point = point + step
        if np.abs(step).max() < 1e-10:
            break
    _, curve = _slope_and_curve(sample, point)
    eta = point[:archetypes, None] + point[archetypes:]
    inside = (sample.wins * eta - sample.games * np.logaddexp(0, eta)).sum()
    curve += np.diag(precision)
    height = inside - 0.5 * (precision * (point - start) ** 2).sum()
    height += 0.5 * (np.log(precision).sum() - np.linalg.slogdet(curve)[1])
    prior = np.log(spread) - 0.5 * (spread / SPREAD_SCALE) ** 2
    covariance = np.asarray(np.linalg.inv(curve)[:archetypes, :archetypes])
    return _Fit(point[:archetypes], covariance, float(height + prior))


def _slope_and_curve(sample: _Sample, point: Numbers) -> tuple[Numbers, Numbers]:
    """Slope of the log-likelihood, and its information, over archetypes and then bands."""
    archetypes = len(sample.games)
    rate = expit(point[:archetypes, None] + point[archetypes:])
    over = sample.wins - sample.games * rate
    weight = sample.games * rate * (1 - rate)
    slope = np.r_[over.sum(axis=1), over.sum(axis=0)]
    curve = np.diag(np.r_[weight.sum(axis=1), weight.sum(axis=0)])
    curve[:archetypes, archetypes:] = weight
    curve[archetypes:, :archetypes] = weight.T
    return slope, curve
