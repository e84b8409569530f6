"""What limits the verdicts: what the table lacks, and where it does not fit the model."""

from typing import NamedTuple, get_args

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.cards.lacking import Holdings, lacking
from winrate_tools.decide.cards.verdicts import Caution
from winrate_tools.stats.cards import prior
from winrate_tools.stats.cards.contrast import Contrast
from winrate_tools.stats.cards.model_checks import disagreement, outliers, scatter
from winrate_tools.stats.cards.strength import Strength

Numbers = npt.NDArray[np.float64]
FAR_BASELINE = 0.02
STEEP_ENOUGH = 0.03
"""Log-odds that a standard deviation of usage is worth, at least, in games with a card in hand
in drafts like those on which allowances were set: in simulated drafts with informative usage it
is .04 to .13."""
FLAT_SURE = 0.9
EARLY_ENOUGH, STEEP_AT_ANY_RATE = 0.03, 0.06
"""The same for being picked early, usage's plainest sign, at alike games and play; and what all
of usage is worth where it clearly tells something. Set on 260 simulated pools, of which 2 were
flagged falsely, and on 260 without informative usage, of which 223 were."""
IN_HAND = 0.42
"""Share of decks' games in which a card comes to hand: all games show so much of its worth."""
LIKELY = 0.5
MOST_SCATTER, LEAST_SCATTER = 1.2, 0.5
"""In simulated drafts that fit the model, the scatter about cards is .7 to 1.15; in 1 of 14 it
was above 1.2."""
CLEAR = 2.33
"""Standard errors beyond which a mean square is no chance: 1 in 100."""
UNEVEN_PACE = 0.2
"""Log-odds by which archetypes' gaps between held and unheld games may differ; in simulated
drafts of usual pace it is .1 at most."""
QUARTILES_APART = 1.349
"""Distance between the quartiles of a normal, in standard deviations."""


class Doubts(NamedTuple):
    """What limits the verdicts on a pool.

    Attributes
    ----------
    cautions : tuple of str
        Those that apply.
    far : tuple of str
        Cards whose records lie too far from what is expected of cards like them.
    clashing : tuple of str
        Cards whose held games against unheld ones tell another story than their records.
    """

    cautions: tuple[Caution, ...]
    far: tuple[str, ...]
    clashing: tuple[str, ...]


def doubts(fitted: Strength) -> Doubts:
    """Find what limits the verdicts that estimates can carry.

    Examples
    --------
    >>> from winrate_tools.stats.cards.strength import strength
    >>> from winrate_tools.tables import CardTable
    >>> fitted = strength(CardTable(["Ash Vine", "Tin Moth"], [400, 400], [160, 240]))
    >>> doubts(fitted).cautions
    ('few cards', 'no usage', 'no factions', 'no skill bands')
    """
    counts = fitted.sample
    away = fitted.target.baseline - fitted.target.mean
    apart = clash(fitted)
    far, clashing = (_names(fitted, each) for each in (fitted.deviates, apart))
    spread = np.nan if counts.homes is None else scatter(counts.homes)
    found: dict[Caution, bool] = {
        "baseline too low": away < -FAR_BASELINE,
        "baseline too high": away > FAR_BASELINE,
        "usage tells little": "skill_band" not in counts.strata and usage_is_flat(fitted),
        "scattered records": spread > MOST_SCATTER,
        "records too alike": spread < LEAST_SCATTER,
        "far records": bool(far),
        "clashing looks": bool(clashing) or _too_large(apart),
        "uneven pace": pace_spread(counts.contrast) > UNEVEN_PACE,
    }
    told = {*lacking(_held(fitted)), *(each for each, holds in found.items() if holds)}
    return Doubts(tuple(each for each in get_args(Caution) if each in told), far, clashing)


def _held(fitted: Strength) -> Holdings:
    counts = fitted.sample
    return Holdings(
        int((counts.evidence.games > 0).sum()),
        bool(counts.usage.columns),
        bool(counts.company.names),
        counts.strata,
        counts.contrast is not None,
    )


def usage_columns(fitted: Strength) -> tuple[str, ...]:
    """Name the columns of usage that bear on the estimates; a small pool cannot teach how."""
    taught = (fitted.sample.evidence.games > 0).sum() >= prior.FEWEST_CARDS
    return fitted.sample.usage.columns if taught else ()


def factions(fitted: Strength) -> tuple[str, ...]:
    """Name the factions set apart; a small pool cannot teach what they share."""
    return fitted.sample.company.names if fitted.company.any() else ()


def clash(fitted: Strength) -> Numbers:
    """How far the two looks at each card lie apart, as deviates; NaN where there is but one."""
    by_record, contrast, variance = fitted.looks()
    return disagreement(contrast, variance, by_record.centre, by_record.scale**2)


def usage_is_flat(fitted: Strength) -> bool:
    """Whether usage bears less on records than it does in usual drafts.

    Likely enough where mean picks are told; elsewhere it must be all but sure.
    """
    columns = usage_columns(fitted)
    if not columns:
        return False
    matrix, score = fitted.sample.usage.matrix, fitted.sample.usage.score
    draws = fitted.draw_weight
    usual = (fitted.expected - fitted.company)[: len(draws)].T
    [slope], seen = _slopes(score[:, None], usual), _in_hand(fitted)
    if "mean_pick" not in columns:
        return bool(draws[slope < seen * STEEP_ENOUGH].sum() >= FLAT_SURE)
    early = _slopes(matrix, usual)[columns.index("mean_pick")]
    flat = (early < seen * EARLY_ENOUGH) & (slope < STEEP_AT_ANY_RATE)
    return bool(draws[flat].sum() >= LIKELY)


def _in_hand(fitted: Strength) -> float:
    """Share of the games behind the records in which a card is in hand."""
    if fitted.sample.contrast is not None:
        return fitted.sample.seen
    return IN_HAND if fitted.sample.measure == "deck" else 1.0


def _slopes(columns: Numbers, values: Numbers) -> Numbers:
    """Slopes of least squares of n values at each of H draws on k columns, shape (k, H)."""
    about = columns - columns.mean(axis=0)
    return np.asarray(np.linalg.lstsq(about, values, rcond=None)[0])


def pace_spread(contrast: Contrast | None) -> float:
    """How far archetypes differ in what long games do to them, on the log-odds."""
    if contrast is None:
        return 0.0
    low, high = np.quantile(contrast.stratum_gap, [0.25, 0.75])
    return float((high - low) / QUARTILES_APART)


def _names(fitted: Strength, deviate: Numbers) -> tuple[str, ...]:
    return tuple(fitted.sample.totals.card[place] for place in outliers(deviate))


def _too_large(deviate: Numbers) -> bool:
    """Whether deviates are larger, all in all, than chance makes them."""
    known = deviate[~np.isnan(deviate)]
    return bool((known**2).sum() > len(known) + CLEAR * np.sqrt(2 * len(known)))
