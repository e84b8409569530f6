r"""What archetypes will do once the pool has changed, and how far to trust that.

The change is that of what cards make of an archetype's strength
(`winrate_tools.decide.plan.play`), draw by draw. To it comes an error of the model itself,
since drafters will take the new pool otherwise than the old one: a standard deviation of .65
points, a judgement from our own simulated drafts.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.decide.plan.play import Play
from winrate_tools.decide.plan.stock import Stock
from winrate_tools.errors import SettingError

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
Crossing = Literal["above", "below"]
MODEL_ERROR = 0.0065
"""Standard deviation of the forecast's own error, as a win rate; a judgement, see above."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """One archetype before a change and after it, on the scale of win rates.

    Attributes
    ----------
    archetype : str
        Name.
    before, before_low, before_high : float
        Best estimate and the range that agrees with the verdicts.
    after, after_low, after_high : float
        The same after the change, with the model's own error.
    change, change_low, change_high : float
        What the change does, the same.
    chance_up : float
        Probability that it gains.
    crosses : str or None
        ``"above"`` or ``"below"`` if the best estimate would come to lie beyond a line that it
        keeps within now.
    chance_beyond : float
        Probability that it would then lie beyond that line, 0 without one.
    line : float or None
        That line.
    """

    archetype: str
    before: float
    before_low: float
    before_high: float
    after: float
    after_low: float
    after_high: float
    change: float
    change_low: float
    change_high: float
    chance_up: float
    crosses: Crossing | None = None
    chance_beyond: float = 0.0
    line: float | None = None


def forecast(
    stock: Stock, play: Play, verdict: PoolVerdict, after: Counts, *, sure: float | None = None
) -> tuple[Outcome, ...]:
    """Forecast every archetype.

    Parameters
    ----------
    stock : Stock
        The items, with what is believed of them.
    play : Play
        What archetypes play of them.
    verdict : PoolVerdict
        The judged pool.
    after : ndarray of int, shape (n,)
        Copies after the change.
    sure : float, optional
        The ranges hold the central ``2 * sure - 1``; as in the verdict if not given.

    Returns
    -------
    tuple of Outcome
        The weakest archetype first; empty where the table does not tell archetypes apart.

    Raises
    ------
    SettingError
        If the estimates are raw records: forecasts from those are worse than none.
    """
    demand_own_effects(verdict)
    pool = verdict.archetypes
    if pool is None or not play.archetype:
        return ()
    slope = pool.mean * (1 - pool.mean)
    moved = play.strengths(after, stock.effects) - play.strengths(stock.before, stock.effects)
    reach = ndtri(verdict.sure if sure is None else sure)
    error = 0.0 if (after == stock.before).all() else MODEL_ERROR
    return tuple(
        _outcome(pool, k, slope * moved[:, k], reach, error) for k in range(len(play.archetype))
    )


def demand_own_effects(verdict: PoolVerdict) -> None:
    """Refuse effects that are raw records in disguise.

    Raises
    ------
    SettingError
        If records were taken at face value, by an allowance of 1.
    """
    if verdict.allowance >= 1 and not verdict.is_learnt:
        msg = (
            "a forecast needs what cards do themselves, and an allowance of 1 takes their "
            "records at face value, company and all; leave the allowance out"
        )
        raise SettingError(msg)


def _outcome(
    pool: ArchetypePool, k: int, moved: Numbers, reach: float, error: float
) -> Outcome:
    one = pool.archetypes[k]
    change, doubt = float(moved.mean()), float(np.hypot(moved.std(), error))
    sd = float(np.hypot((one.high - one.low) / 2 / float(ndtri(pool.sure)), doubt))
    both = float(reach * sd)
    crosses, beyond, line = _crossing(pool, one.estimate, one.estimate + change, sd)
    return Outcome(
        archetype=one.archetype,
        before=one.estimate,
        before_low=one.low,
        before_high=one.high,
        after=one.estimate + change,
        after_low=one.estimate + change - both,
        after_high=one.estimate + change + both,
        change=change,
        change_low=change - reach * doubt,
        change_high=change + reach * doubt,
        chance_up=_chance_up(moved, error),
        crosses=crosses,
        chance_beyond=beyond,
        line=line,
    )


def _crossing(
    pool: ArchetypePool, before: float, after: float, sd: float
) -> tuple[Crossing | None, float, float | None]:
    """Say which line an estimate would cross outwards, and how surely the truth lies there."""
    if before <= pool.high_line < after:
        return "above", float(ndtr((after - pool.high_line) / sd)), pool.high_line
    if after < pool.low_line <= before:
        return "below", float(ndtr((pool.low_line - after) / sd)), pool.low_line
    return None, 0.0, None


def _chance_up(moved: Numbers, error: float) -> float:
    return 0.5 if not error else float(ndtr(moved / error).mean())
