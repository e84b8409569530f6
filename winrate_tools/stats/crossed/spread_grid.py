"""The spread of few groups: a grid of values, weighted by what the counts say of each.

Few groups leave their spread uncertain, and its best value is often 0, at which no group would
differ from another; averaging over the spread keeps that doubt.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.crossed.climb import Flags, Stand, Summit, at, climbed

Numbers = npt.NDArray[np.float64]
GROUP = 1
"""Place of the groups' spread among card, group and cell."""
FINENESS = 0.5
"""Distance of the grid's points, in standard errors of the spread."""
DEPTH = 12.0
"""Log density below the top at which the grid ends."""
MOST_POINTS = 60


class Grid(NamedTuple):
    """Fits over a grid of the groups' spread, with weights that sum to 1."""

    stands: list[Stand]
    weights: Numbers

    @property
    def spreads(self) -> Numbers:
        """Spreads of card, group and cell at each point; shape (points, 3)."""
        return np.array([stand.spreads for stand in self.stands])


def spread_grid(summit: Summit, free: Flags, scale: float) -> Grid:
    """Weigh values of the groups' spread, everything else at its best for each.

    The density of a spread is its Laplace likelihood with coefficients integrated out (flat
    prior), times a half-normal prior. It is even in the spread and smooth, and so are effects
    and their covariances, so that equally spaced points from 0 integrate them almost exactly.

    Parameters
    ----------
    summit : Summit
        The best fit.
    free : ndarray of shape (3,)
        Which spreads may move.
    scale : float
        Scale of the half-normal prior, above 0.

    Returns
    -------
    Grid
        In order of the groups' spread.
    """
    held = free & (np.arange(3) != GROUP)
    curve = summit.stand.information.diagonal()[GROUP - 3] + scale**-2
    width = FINENESS / np.sqrt(curve)
    middle = round(float(summit.stand.spreads[GROUP] / width))
    found = {middle: _held_at(summit.stand, middle * width, held)}
    for way in (1, -1):
        _walk(found, middle, way, width, held, scale)
    places = sorted(found)
    stands = [found[place] for place in places]
    density = np.array([_log_density(stand, scale) for stand in stands])
    weights = np.exp(density - density.max()) * np.where(np.array(places) == 0, 0.5, 1.0)
    return Grid(stands, weights / weights.sum())


def _walk(
    found: dict[int, Stand], middle: int, way: int, width: float, held: Flags, scale: float
) -> None:
    """Add points to one side, from each to the next, until they hardly matter or end at 0."""
    top, place = _log_density(found[middle], scale), middle
    while place + way >= 0 and abs(place - middle) < MOST_POINTS:
        stand = found[place]
        place += way
        found[place] = _held_at(stand, place * width, held)
        density = _log_density(found[place], scale)
        top = max(top, density)
        if density < top - DEPTH:
            return


def _held_at(stand: Stand, spread: float, held: Flags) -> Stand:
    spreads = np.where(np.arange(3) == GROUP, spread, stand.spreads)
    return climbed(at(stand, stand.look.point.fixed, spreads), held).stand


def _log_density(stand: Stand, scale: float) -> float:
    integrated = np.linalg.slogdet(stand.look.fixed_information)[1]
    prior = (stand.spreads[GROUP] / scale) ** 2
    return float(stand.look.height - 0.5 * (integrated + prior))
