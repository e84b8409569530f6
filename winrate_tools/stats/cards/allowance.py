r"""How much of a record is the card's own: assumed, or learnt from a second channel.

Records hold what more games do not average out: players, archetype, deck. Of a record's
deviation :math:`t`, a share :math:`s` is the card's own effect, give or take a deviation whose
variance is a part :math:`\ell` of that between records. With totals alone neither can be seen
and both are taken from simulated drafts. Where a card in hand can be compared with the same
card in the deck, the contrast :math:`d` shows them: its slope on the records is :math:`s`.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from winrate_tools.settings import Measure

Numbers = npt.NDArray[np.float64]
INDEPENDENT = 0.45
"""What own effect and company leave unknown, against what they would if independent."""
FEWEST_CARDS = 20
"""Cards with a contrast from which on anything is learnt."""
UNSURE_LEFT = 0.5
"""How far what is left differs from one pool to the next, as a part of the usual figure."""
LEAST_SHARE = 0.02
LEAST_LEFT = 1e-6


class Allowance(NamedTuple):
    """What a record says about the card itself.

    Attributes
    ----------
    share : float
        Share of a record's deviation that is the card's own, above 0.
    sd : float
        Standard deviation of the share: how far pools differ, or what the contrast leaves open.
    left : float
        Variance of own effects about that share, as a part of the variance between records.
    is_learnt : bool
        Whether the contrast of this pool has had a say.
    """

    share: float
    sd: float
    left: float
    is_learnt: bool = False


HELD = {
    "mixed": Allowance(0.42, 0.10, 0.10),
    "faction": Allowance(0.55, 0.10, 0.10),
    "skill_band": Allowance(0.60, 0.15, 0.15),
    "faction, skill_band": Allowance(0.85, 0.10, 0.13),
    "archetype": Allowance(0.60, 0.10, 0.09),
    "archetype, skill_band": Allowance(0.96, 0.05, 0.04),
}
DECK = {
    "mixed": Allowance(0.20, 0.10, 0.05),
    "faction": Allowance(0.30, 0.10, 0.08),
    "skill_band": Allowance(0.30, 0.15, 0.15),
    "faction, skill_band": Allowance(0.60, 0.12, 0.25),
    "archetype": Allowance(0.33, 0.08, 0.07),
    "archetype, skill_band": Allowance(0.80, 0.10, 0.20),
}
USUAL: dict[Measure, dict[str, Allowance]] = {"held": HELD, "opening": HELD, "deck": DECK}
"""By measure and by what records are compared within; from `winrate_tools.simulate`."""


def usual_allowance(measure: Measure, *, factions: bool, strata: tuple[str, ...]) -> Allowance:
    """Look up what simulated drafts have shown for a table of this kind.

    Parameters
    ----------
    measure : str
        Which games count.
    factions : bool
        Whether factions are known; beside archetypes they do not matter.
    strata : tuple of str
        The table's strata, of ``"archetype"`` and ``"skill_band"``.

    Returns
    -------
    Allowance

    Examples
    --------
    >>> usual_allowance("held", factions=True, strata=()).share
    0.55
    >>> usual_allowance("deck", factions=True, strata=("archetype",)).share
    0.33
    """
    within = ("faction", *strata) if factions and "archetype" not in strata else strata
    return USUAL[measure][", ".join(within) or "mixed"]


def given_allowance(share: float) -> Allowance:
    """Take the user's word for the share; 1 takes records at face value.

    Examples
    --------
    >>> given_allowance(1).left
    0.0
    """
    return Allowance(float(share), 0.0, INDEPENDENT * share * (1 - share))


def scaled(allowance: Allowance, factor: float) -> Allowance:
    """Express an allowance for own effects `factor` times as large."""
    return allowance._replace(
        share=allowance.share * factor,
        sd=allowance.sd * factor,
        left=allowance.left * factor**2,
    )


def learnt_allowance(
    usual: Allowance,
    estimate: Numbers,
    variance: Numbers,
    record: Numbers,
    unsure: Numbers,
    between: float,
) -> Allowance:
    """Let the contrasts of a pool correct the usual allowance.

    Parameters
    ----------
    usual : Allowance
        What is assumed without them.
    estimate, variance : ndarray of shape (n,)
        Each card's own effect, seen through the shuffle (NaN where it was not), and its error.
        It must be independent of the record's, as it is where records count all games of the
        decks.
    record : ndarray of shape (n,)
        Posterior mean of each record's deviation, less its company.
    unsure : ndarray of shape (n,)
        Its posterior variance.
    between : float
        Variance between records.

    Returns
    -------
    Allowance
        Slope of the contrasts on the records, joined with the usual share as normal prior;
        and what is left about it, by moments. A regression on posterior means needs no
        correction for their error.

    References
    ----------
    Carroll, R. J. et al. (2006). *Measurement Error in Nonlinear Models*, 2nd ed., chapter 4
    on regression calibration (from memory).
    """
    known = ~np.isnan(estimate)
    if known.sum() < FEWEST_CARDS:
        return usual
    d, variance, x = estimate[known], variance[known], record[known]
    noise = variance + usual.share**2 * unsure[known] + usual.left * between
    weight = 1 / noise
    about = x - np.average(x, weights=weight)
    information = float((weight * about**2).sum())
    precision = information + usual.sd**-2
    share = float((weight * about * d).sum() + usual.sd**-2 * usual.share) / precision
    residual = d - np.average(d, weights=weight) - share * about
    excess = residual**2 - variance - share**2 * unsure[known]
    part = weight**2 / (weight**2).sum()
    error = float((2 * (part * noise) ** 2).sum()) / between**2
    usual_error = (UNSURE_LEFT * usual.left) ** 2
    seen = float(part @ excess) / between
    left = (seen * usual_error + usual.left * error) / (usual_error + error)
    return Allowance(
        max(share, LEAST_SHARE), precision**-0.5, max(left, LEAST_LEFT), is_learnt=True
    )


def shares(allowance: Allowance, weight: Numbers, seed: int) -> Numbers:
    """Give each of H weighted draws a share of its own, spread as far as it is unsure.

    Parameters
    ----------
    allowance : Allowance
        The share and its standard deviation.
    weight : ndarray of shape (H,)
        Weights of the draws, sum 1.
    seed : int
        Seed of the order in which draws get their shares.

    Returns
    -------
    ndarray of shape (H, 1)
        Normal quantiles at equal steps of weight, at least `LEAST_SHARE`.

    Examples
    --------
    >>> shares(Allowance(0.6, 0.1, 0.1), np.array([0.5, 0.5]), 1).ravel().round(2).tolist()
    [0.53, 0.67]
    """
    order = np.random.default_rng([seed, 1]).permutation(len(weight))
    places = np.empty(len(weight))
    places[order] = np.cumsum(weight[order]) - weight[order] / 2
    spread = allowance.share + allowance.sd * ndtri(np.clip(places, 1e-9, 1 - 1e-9))
    return np.asarray(np.maximum(spread, LEAST_SHARE)[:, None])
