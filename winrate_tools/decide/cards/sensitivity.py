"""On what assumptions each cut hangs: where its verdict would turn if they were others.

A line is an effect on the log-odds here.
"""

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.decide.cards.doubts import usage_columns
from winrate_tools.decide.cards.rules import Rule
from winrate_tools.decide.cards.verdicts import Flip
from winrate_tools.stats.cards.allowance import given_allowance
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.cards.strength import Strength

Numbers = npt.NDArray[np.float64]
Places = npt.NDArray[np.intp]
ALLOWANCES = np.linspace(0.05, 1, 20)


def allowance_flips(fitted: Strength, line: float, sure: float) -> list[float | None]:
    """For each card, the allowance nearest to the one used that makes or unmakes a cut.

    Returns
    -------
    list of (float or None)
        None for a card without games, for one that no allowance turns, and wherever held
        games are compared with unheld ones, which tell the allowance.

    Examples
    --------
    >>> from winrate_tools.stats.cards.strength import strength
    >>> from winrate_tools.tables import CardTable
    >>> fitted = strength(CardTable(["Ash", "Bee", "Cat"], [900] * 3, [360, 500, 500]))
    >>> allowance_flips(fitted, -0.08, 0.9)
    [0.6, None, None]
    """
    has_games = fitted.sample.evidence.games > 0
    if fitted.sample.contrast is not None:
        return [None] * len(has_games)
    now = fitted.own().below(line) >= sure
    asked = np.flatnonzero(has_games & (now | _may_be_cut(fitted, line, sure)))
    distance = np.abs(ALLOWANCES - fitted.allowance.share)
    cut = np.array([own.below(line) >= sure for own in _own(fitted, asked)])
    found: list[float | None] = [None] * len(has_games)
    for card, turned in zip(asked, (cut != now[asked]).T, strict=True):
        if turned.any():
            nearest = np.where(turned, distance, np.inf).argmin()
            found[card] = round(float(ALLOWANCES[nearest]), 2)
    return found


def _own(fitted: Strength, cards: Places) -> Iterator[NormalMixture]:
    """Own effects of some cards at each allowance, as `Strength.own` has them of all."""
    none = fitted.own(0.0)
    fixed, error = none.mean[0, cards], none.sd[0, cards] ** 2
    weight = fitted.weight[:, cards]
    record = fitted.record_mean[:, cards] - fitted.company[:, cards]
    variance = fitted.record_sd[:, cards] ** 2
    for share in ALLOWANCES:
        left = given_allowance(share).left * fitted.between + error
        yield NormalMixture(weight, share * record + fixed, np.sqrt(share**2 * variance + left))


def _may_be_cut(fitted: Strength, line: float, sure: float) -> npt.NDArray[np.bool_]:
    """Leave out cards that no allowance can bring below the line, by Cantelli's inequality.

    A card whose mean lies above the line by k standard deviations lies below the line with a
    probability of 1 / (1 + k * k) at most.
    """
    none = fitted.own(0.0)
    whole = NormalMixture(fitted.weight, fitted.record_mean - fitted.company, fitted.record_sd)
    between = (fitted.weight * fitted.between).sum(axis=0)
    share = ALLOWANCES[:, None]
    left = np.array([given_allowance(each).left for each in ALLOWANCES])[:, None]
    variance = none.sd[0] ** 2 + share**2 * whole.scale**2 + left * between
    above = none.mean[0] + share * whole.centre - line
    return np.asarray((above <= np.sqrt((1 / sure - 1) * variance)).any(axis=0))


def at_face_value(fitted: Strength, rule: Rule) -> tuple[int, int] | None:
    """How many cards would be cut, and how many kept, if records were all the cards' own.

    Returns
    -------
    tuple of (int, int) or None
        None wherever held games are compared with unheld ones, which tell the allowance.

    Examples
    --------
    >>> from winrate_tools.stats.cards.strength import strength
    >>> from winrate_tools.tables import CardTable
    >>> fitted = strength(CardTable(["Ash", "Bee", "Cat"], [900] * 3, [360, 500, 500]))
    >>> at_face_value(fitted, Rule(0.48, 0.9))
    (1, 2)
    """
    if fitted.sample.contrast is not None:
        return None
    chance = fitted.own(1.0).below(float(fitted.effect(rule.line)))
    played = chance[fitted.sample.evidence.games > 0]
    verdicts = [rule.verdict(below) for below in played]
    return verdicts.count("cut"), verdicts.count("keep")


def other_flips(fitted: Strength, line: float, sure: float) -> list[tuple[Flip, ...]]:
    """For each card, what else that is assumed makes or unmakes its cut.

    Returns
    -------
    list of tuple of str
        Empty for a card without games.

    Notes
    -----
    Nothing is fitted again: what is learnt from all cards together is kept, and each card's
    own estimate is made anew.

    Examples
    --------
    >>> from winrate_tools.stats.cards.strength import strength
    >>> from winrate_tools.tables import CardTable
    >>> fitted = strength(CardTable(["Ash", "Bee", "Cat"], [900] * 3, [360, 500, 500]))
    >>> other_flips(fitted, -0.08, 0.9)
    [(), (), ()]
    """
    now, played = fitted.own().below(line) >= sure, fitted.sample.evidence.games > 0
    others: dict[Flip, NormalMixture] = {}
    if usage_columns(fitted):
        others["without usage"] = without_usage(fitted)
    if len(fitted.weight) > len(fitted.draw_weight):
        others["without odd cards"] = without_odd_cards(fitted)
    if fitted.sample.contrast is not None:
        others["without the comparison"] = fitted.looks()[0]
    turned = {name: played & ((own.below(line) >= sure) != now) for name, own in others.items()}
    return [tuple(name for name in turned if turned[name][i]) for i in range(len(now))]


def without_usage(fitted: Strength) -> NormalMixture:
    """Own effects if how drafters treat a card told nothing of it.

    What usage explained of the spread between cards is left for the cards to differ by.
    """
    evidence, draws = fitted.sample.evidence, len(fitted.draw_weight)
    company, between = fitted.company[:draws], fitted.between[:draws]
    by_usage = fitted.expected[:draws] - company
    middle = by_usage.mean(axis=1, keepdims=True)
    spread = between + by_usage.var(axis=1, keepdims=True)
    prior = middle + company
    rate = expit(evidence.offset + prior)
    information = evidence.games * rate * (1 - rate)
    variance = 1 / (1 / spread + information)
    record = prior + variance * (evidence.wins - evidence.games * rate)
    share = fitted.own_share[:draws]
    own = NormalMixture(
        np.broadcast_to(fitted.draw_weight[:, None], record.shape),
        share * (record - company),
        np.sqrt(share**2 * variance + fitted.allowance.left * spread),
    )
    return _compared(fitted, own)


def without_odd_cards(fitted: Strength) -> NormalMixture:
    """Own effects if no card were expected to lie far from cards used like it, either way.

    The second class of the prior holds all odd cards, whether it is one of falls or a wide net.
    """
    draws, (own, _, _) = len(fitted.draw_weight), fitted.looks()
    weight = own.weight[:draws] + 1e-300
    usual = NormalMixture(weight / weight.sum(axis=0), own.mean[:draws], own.sd[:draws])
    return _compared(fitted, usual)


def _compared(fitted: Strength, own: NormalMixture) -> NormalMixture:
    """Let held against unheld games have their say too, where there are any."""
    if fitted.sample.contrast is None:
        return own
    _, contrast, variance = fitted.looks()
    known = ~np.isnan(contrast)
    weight = 1 / (variance + own.scale**2)
    mean = np.average((contrast - own.centre)[known], weights=weight[known])
    return own.given(contrast - mean, variance)
