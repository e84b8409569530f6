"""What the cards of one faction share, and that is therefore hardly their own.

A faction's cards are played together. Where all of them win less, their archetypes are failing
or their players are weaker; thirty cards that happen to be weak together are the less likely
story. So whatever a faction's records share is put down to company.
"""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.records.heterogeneity import paule_mandel
from winrate_tools.tables import Labels

Numbers = npt.NDArray[np.float64]
USUAL_SD = 0.08
"""What factions share usually varies by two points of win rate. A judgement, no source."""
USUAL_WORTH = 4.0
"""Factions' worth of weight that the usual figure has against the pool's own."""


class Company(NamedTuple):
    """The factions of n cards.

    Attributes
    ----------
    names : tuple of str
        Labels of the g factions, sorted; () where there is nothing to compare.
    member : ndarray of shape (n, g)
        1 where a card belongs to a faction, else 0.
    sd : float
        Standard deviation of what factions share, on the log-odds.
    """

    names: tuple[str, ...]
    member: Numbers
    sd: float


def company(faction: Labels | None, evidence: Evidence) -> Company:
    """Find the factions of a pool, and how much what they share varies.

    Parameters
    ----------
    faction : sequence of (str or None), or None
        Each card's faction; None where unknown.
    evidence : Evidence
        The cards' counts, in the same order.

    Returns
    -------
    Company
        Without factions where fewer than two are known.

    Examples
    --------
    >>> import numpy as np
    >>> evidence = Evidence(np.array([90.0, 110.0]), np.array([200.0, 200.0]), np.zeros(2))
    >>> company(("Wick", "Cog"), evidence).names
    ('Cog', 'Wick')
    """
    names = sorted({label for label in faction or () if label is not None})
    if faction is None or len(names) < 2:
        return Company((), np.zeros((len(evidence.games), 0)), USUAL_SD)
    member = np.array([[float(label == name) for name in names] for label in faction])
    return Company(tuple(names), member, _sd(member, evidence))


def _sd(member: Numbers, evidence: Evidence) -> float:
    """Paule and Mandel's estimate between faction means, drawn towards the usual figure."""
    rate = expit(evidence.offset)
    information = evidence.games * rate * (1 - rate)
    seen = (information > 0) & (member.sum(axis=1) > 0)
    if not seen.any():
        return USUAL_SD
    estimate = (evidence.wins - evidence.games * rate)[seen] / information[seen]
    variance = 1 / information[seen]
    weight = 1 / (variance + paule_mandel(estimate, variance).variance)
    total = weight @ member[seen]
    there = total > 0
    means = ((weight * estimate) @ member[seen])[there] / total[there]
    own = paule_mandel(means, 1 / total[there]).variance
    count = int(there.sum())
    return float(np.sqrt((count * own + USUAL_WORTH * USUAL_SD**2) / (count + USUAL_WORTH)))
