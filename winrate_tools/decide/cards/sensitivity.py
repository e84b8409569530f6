"""On what assumptions each cut hangs: where its verdict would turn if they were others.

A line is an effect on the log-odds here.
"""

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
    turned = has_games & (_cuts(fitted, line, sure) != now)
    distance = np.abs(ALLOWANCES - fitted.allowance.share)[:, None]
    nearest = ALLOWANCES[np.where(turned, distance, np.inf).argmin(axis=0)]
    return [
        round(float(share), 2) if turns else None
        for share, turns in zip(nearest, turned.any(axis=0), strict=True)
    ]


def _cuts(fitted: Strength, line: float, sure: float) -> npt.NDArray[np.bool_]:
    """Say which cards each allowance would cut, as `Strength.own` has them; a row for each.

    Half of a normal at most lies on the other side of its mean: a card is not below the line
    with the sureness asked for unless so many of its components' means are.
    """
    none, weight = fitted.own(0.0), fitted.weight
    fixed, error = none.mean[0], none.sd[0] ** 2
    record, variance = fitted.record_mean - fitted.company, fitted.record_sd**2
    cuts = np.zeros((len(ALLOWANCES), len(fixed)), dtype=np.bool_)
    for cut, share in zip(cuts, ALLOWANCES, strict=True):
        below = (weight * (record < (line - fixed) / share)).sum(axis=0)
        may = np.flatnonzero(below >= 2 * sure - 1)
        left = given_allowance(share).left * fitted.between + error[may]
        sd = np.sqrt(share**2 * variance[:, may] + left)
        own = NormalMixture(weight[:, may], share * record[:, may] + fixed[may], sd)
        cut[may] = own.below(line) >= sure
    return cuts


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
