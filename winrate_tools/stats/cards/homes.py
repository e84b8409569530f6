"""Whether a card is good in one archetype only."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr

from winrate_tools.stats.records.heterogeneity import paule_mandel, shrunk

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
FAR_HOME = 0.3
"""Standard deviation of what stands out of a card's archetypes. A judgement, no source."""
FEWEST_CELLS = 20
"""Cards in archetypes needed to learn how much a card's effect differs between them."""
LEAST_SHARE = 0.02
"""Share of a card's games below which an archetype is no home of it."""


class Homes(NamedTuple):
    """Records of n cards in each of K archetypes.

    Attributes
    ----------
    names : tuple of (str or None)
        Labels of the archetypes.
    games : ndarray of shape (n, K)
        Games.
    surprise : ndarray of shape (n, K)
        Effective wins beyond those expected of an average card there.
    information : ndarray of shape (n, K)
        Fisher information about the card's log-odds there.
    """

    names: tuple[str | None, ...]
    games: Numbers
    surprise: Numbers
    information: Numbers


class BestHome(NamedTuple):
    """The archetype that suits each card best; arrays of shape (n,).

    Attributes
    ----------
    place : ndarray of int
        The archetype.
    chance_good : ndarray
        Probability that the card is at least average there.
    chance_weak_elsewhere : ndarray
        Probability that it lies below the line in its other archetypes, taken together.
    """

    place: Places
    chance_good: Numbers
    chance_weak_elsewhere: Numbers


def best_home(homes: Homes, effect: Numbers, sd: Numbers, line: float) -> BestHome:
    """Find each card's best archetype and compare it with the others.

    What a card does in an archetype beyond its overall effect is drawn towards 0, as far as
    such differences are chance and do not stand out (`heterogeneity.shrunk`).

    Parameters
    ----------
    homes : Homes
        Records by archetype.
    effect, sd : ndarray of shape (n,)
        Posterior of each card's own effect.
    line : float
        Effect below which a card is weak.

    Returns
    -------
    BestHome
        Chances are 0 for a card with one home.

    Examples
    --------
    >>> import numpy as np
    >>> games = np.full((30, 2), 9000.0)
    >>> tilt = np.tile([0.3, -0.3], (30, 1)) * (np.arange(30) == 0)[:, None]
    >>> noise = 0.02 * np.where(np.arange(60).reshape(30, 2) % 3, 1, -2)
    >>> homes = Homes(("a", "b"), games, games / 4 * (tilt + noise), games / 4)
    >>> found = best_home(homes, np.full(30, -0.05), np.full(30, 0.02), line=-0.08)
    >>> int(found.place[0]), bool(found.chance_good[0] > 0.9)
    (0, True)
    """
    total = homes.games.sum(axis=1, keepdims=True)
    share = np.divide(homes.games, total, out=np.zeros_like(homes.games), where=total > 0)
    labelled = np.array([name is not None for name in homes.names], dtype=np.bool_)
    at_home = (share >= LEAST_SHARE) & (homes.information > 0) & labelled
    none = np.zeros(len(effect))
    many = at_home & (at_home.sum(axis=1, keepdims=True) > 1)
    if many.sum() < FEWEST_CELLS:
        return BestHome(none.astype(np.intp), none, none)
    raw, variance = _beyond(homes, many)
    spread = paule_mandel(raw[many], variance[many]).variance
    beyond = shrunk(np.nan_to_num(raw), variance, spread, far=FAR_HOME)
    place = np.where(many, beyond.mean, -np.inf).argmax(axis=1)
    card = np.arange(len(effect))
    here, part = beyond.mean[card, place], share[card, place]
    wide = np.sqrt(sd**2 + beyond.variance[card, place])
    others = here * part / np.maximum(1 - part, LEAST_SHARE)
    has = many.any(axis=1)
    return BestHome(
        place,
        np.where(has, ndtr((effect + here) / wide), 0.0),
        np.where(has, ndtr((line - effect + others) / wide), 0.0),
    )


def _beyond(homes: Homes, many: npt.NDArray[np.bool_]) -> tuple[Numbers, Numbers]:
    """Return what each card does in each archetype beyond its overall effect, and its error."""
    information = np.where(many, homes.information, 0.0)
    total = information.sum(axis=1, keepdims=True)
    overall = np.where(many, homes.surprise, 0.0).sum(axis=1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        raw = homes.surprise / information - overall / total
        variance = 1 / information - 1 / total
    return raw, np.where(many, np.maximum(variance, 1e-12), np.inf)
