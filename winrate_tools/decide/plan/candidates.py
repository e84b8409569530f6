r"""How strong a card is that the pool has not had yet: its record elsewhere, or a guess.

A record of :math:`w` wins in :math:`n` games is compared with the baseline :math:`B` of the
place where it was made, so that only the shift from an average card there carries over:
:math:`x = (w - nB) / nB(1-B)` on the log-odds, with variance :math:`\phi / nB(1-B)`. Like any
card's record it is partly its company's: of the spread between records a share :math:`s` is the
cards' own (`winrate_tools.stats.cards.allowance`). Without a record the card is one more of the
pool's kind, or a spread weaker or stronger, and as unsure as the pool is wide.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.pools import Candidate, CandidateTable
from winrate_tools.settings import MEASURES, Measure
from winrate_tools.stats.cards.allowance import usual_allowance
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT

Numbers = npt.NDArray[np.float64]
GUESSED = {"weaker": -1.0, "like": 0.0, "stronger": 1.0}
"""Where a guess lies from the pool's usual card, in spreads of the pool; a judgement."""


@dataclass(frozen=True, slots=True)
class Usual:
    """The pool's usual card, whose kind a new card is taken to be of.

    Attributes
    ----------
    centre, spread : float
        Mean and standard deviation of the cards' own effects on the log-odds.
    share : float
        Share of a record's deviation that is the card's own, in (0, 1].
    slope : float
        Win rate for one unit of log-odds.
    """

    centre: float
    spread: float
    share: float
    slope: float


def usual_card(verdict: PoolVerdict) -> Usual:
    """Describe the usual card of a judged pool.

    Returns
    -------
    Usual
        The centre is the mean over cards, not over games: what is played less is weaker.
    """
    mean = verdict.beliefs.mean
    slope = mean * (1 - mean)
    measure: Measure = next(one for one in MEASURES if one == verdict.measure)
    share = usual_allowance(measure, factions=False, strata=()).share
    centre = float(verdict.beliefs.draws.mean())
    return Usual(centre, max(verdict.spread / slope, 1e-6), share, slope)


def candidate_effects(
    table: CandidateTable, verdict: PoolVerdict, rng: np.random.Generator
) -> Numbers:
    """Draw what is believed of each candidate.

    Parameters
    ----------
    table : CandidateTable
        m candidates, each with a record or a guess.
    verdict : PoolVerdict
        The judged pool, for its usual card and the number of draws.
    rng : numpy.random.Generator
        Source of the draws.

    Returns
    -------
    ndarray of shape (D, m)
        Effects on the log-odds, on the scale of the pool's own.
    """
    usual = usual_card(verdict)
    known = [believed(candidate, usual) for candidate in table.candidates]
    mean, sd = np.array(known, dtype=np.float64).reshape(-1, 2).T
    noise = rng.standard_normal((len(verdict.beliefs.draws), len(known)))
    return np.asarray(mean + sd * noise)


def believed(candidate: Candidate, usual: Usual) -> tuple[float, float]:
    """Say what is believed of one candidate.

    Parameters
    ----------
    candidate : Candidate
        The card, with a record or a guess; of both, the guess says where the record's pull
        starts from.
    usual : Usual
        The pool's usual card.

    Returns
    -------
    tuple of float
        Mean and standard deviation of its effect on the log-odds.

    References
    ----------
    Carroll, R. J. et al. (2006). *Measurement Error in Nonlinear Models*, 2nd ed., section
    4.4.2, for the shrinkage of a record by its error (from memory).

    Examples
    --------
    A record counts as a shift from where it was made; a guess keeps the pool's whole spread:

    >>> from winrate_tools.pools import PoolCard
    >>> usual = Usual(centre=0.0, spread=0.1, share=0.5, slope=0.25)
    >>> good = Candidate(PoolCard("Moth", 1), games=4000, wins=2400, baseline=0.55)
    >>> [round(number, 3) for number in believed(good, usual)]
    [0.095, 0.073]
    >>> believed(Candidate(PoolCard("Bell", 1), guess="stronger"), usual)
    (0.1, 0.1)
    """
    start = usual.centre + usual.spread * GUESSED[candidate.guess or "like"]
    spread = usual.spread if candidate.spread is None else candidate.spread / usual.slope
    if not candidate.games or candidate.wins is None or candidate.baseline is None:
        return start, spread
    information = candidate.games * candidate.baseline * (1 - candidate.baseline)
    shift = (candidate.wins - candidate.games * candidate.baseline) / information
    error = DEFAULT_DESIGN_EFFECT / information
    between = spread**2 / usual.share
    pull = between / (between + error)
    left = usual.share**2 * between * (1 - pull) + usual.share * (1 - usual.share) * between
    return start + usual.share * pull * (shift - start), float(np.sqrt(left))
