r"""How far the home table differs from strangers, and what that makes of an outside estimate.

Strangers' games show an effect to :math:`N(m, s^2)`. At the home table the same thing has an
effect of its own,

.. math::
   \theta \sim (1 - \varepsilon)\, N(m, s^2 + \kappa^2)
   + \varepsilon\, N(m, s^2 + 0.4^2),

usually near by and now and then far off. So a few home games move little, many move what they
are about, and games that flatly contradict the strangers are believed sooner than a single
normal would let them be.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.cards.mixture import NormalMixture

Numbers = npt.NDArray[np.float64]
USUAL = 0.10
"""Standard deviation of the usual difference, where it cannot be learnt. A judgement."""
STRAY = 0.40
"""Standard deviation of what differs altogether. A judgement."""
STRAY_SHARE = 0.05
"""How much differs altogether, where it cannot be learnt. A judgement."""
FEWEST_CARDS = 30
"""Items with home games from which the usual difference can be learnt."""
USUAL_SCALE = 0.15
"""Scale of the half-normal prior of the usual difference."""
TAUGHT = 0.5
"""Share of the prior variance of the usual difference that must be gone to call it learnt."""
USUALS = np.linspace(0.01, 0.40, 40)
STRAY_SHARES = np.linspace(0.0, 0.2, 9)


@dataclass(frozen=True, slots=True)
class Discrepancy:
    """How the home table differs from strangers, on the log-odds.

    Attributes
    ----------
    usual : float
        Standard deviation of the usual difference.
    stray_share : float
        Share of items that differ altogether.
    is_learnt : bool
        Whether that was learnt from the home games, not assumed.
    """

    usual: float = USUAL
    stray_share: float = STRAY_SHARE
    is_learnt: bool = False


def discrepancy(outside: NormalMixture, seen: Numbers, variance: Numbers) -> Discrepancy:
    """Learn from all items how far the home table differs.

    Parameters
    ----------
    outside : NormalMixture
        What strangers' games say of n items.
    seen, variance : ndarray of shape (n,)
        What home games alone say, and the variance of its error; NaN where there are none.

    Returns
    -------
    Discrepancy
        Means over their posterior on a grid; the defaults where fewer than 30 items have
        home games, or these say too little.

    References
    ----------
    Schmidli, H. et al. (2014). Robust meta-analytic-predictive priors in clinical trials with
    historical control information. *Biometrics* 70(4), 1023-1032, for the mixture; Roever, C.
    and Friede, T. (2025) for one source taken with an allowance for bias (both from memory).

    Examples
    --------
    >>> outside = NormalMixture(np.ones((1, 40)), np.zeros((1, 40)), np.full((1, 40), 0.05))
    >>> near = discrepancy(outside, 0.05 * np.resize([1, -1], 40), np.full(40, 0.001))
    >>> far = discrepancy(outside, 0.30 * np.resize([1, -1], 40), np.full(40, 0.001))
    >>> near.usual < 0.05 < 0.2 < far.usual
    True
    """
    known = ~np.isnan(seen)
    if known.sum() < FEWEST_CARDS:
        return Discrepancy()
    weight, mean, sd = (part[:, known] for part in (outside.weight, outside.mean, outside.sd))
    off, error = seen[known] - mean, sd**2 + variance[known]
    far = (weight * _density(off, error + STRAY**2)).sum(axis=0)
    near = np.array([(weight * _density(off, error + k**2)).sum(axis=0) for k in USUALS])
    share = STRAY_SHARES[:, None, None]
    fit = np.log((1 - share) * near + share * far + 1e-300).sum(axis=-1)
    beforehand = np.exp(-0.5 * (USUALS / USUAL_SCALE) ** 2)
    chance = beforehand * np.exp(fit - fit.max())
    chance /= chance.sum()
    usual = chance.sum(axis=0)
    if _variance(usual) > TAUGHT * _variance(beforehand / beforehand.sum()):
        return Discrepancy()
    return Discrepancy(
        float(usual @ USUALS), float(chance.sum(axis=1) @ STRAY_SHARES), is_learnt=True
    )


def _variance(chance: Numbers) -> float:
    return float(chance @ (USUALS - chance @ USUALS) ** 2)


def _density(off: Numbers, variance: Numbers) -> Numbers:
    return np.asarray(np.exp(-0.5 * off**2 / variance) / np.sqrt(2 * np.pi * variance))


def at_home(outside: NormalMixture, differs: Discrepancy) -> NormalMixture:
    """Carry strangers' estimates to the home table, before a game is played there.

    Parameters
    ----------
    outside : NormalMixture
        What strangers' games say of n items.
    differs : Discrepancy
        How far the home table differs from them.

    Returns
    -------
    NormalMixture
        Twice as many components; the centres stay. ``at_home(...).given(seen, variance)``
        then takes in home games.

    Examples
    --------
    >>> one = NormalMixture(np.ones((1, 1)), np.full((1, 1), -0.2), np.full((1, 1), 0.05))
    >>> here = at_home(one, Discrepancy())
    >>> here.centre.round(6).tolist(), here.scale.round(3).tolist()
    ([-0.2], [0.141])
    """
    return NormalMixture(
        np.concatenate(
            [(1 - differs.stray_share) * outside.weight, differs.stray_share * outside.weight]
        ),
        np.concatenate([outside.mean, outside.mean]),
        np.sqrt(np.concatenate([outside.sd**2 + differs.usual**2, outside.sd**2 + STRAY**2])),
    )
