"""Why a card got its verdict: every reason that applies at this level of detail."""

from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.decide.rules import Verdict
from winrate_tools.errors import FitError
from winrate_tools.stats.beta_binomial import beta_binomial
from winrate_tools.stats.strength import Strength
from winrate_tools.tables import CardTable

Reason = Literal["weak", "trap", "unplayed", "weak home", "few games", "on the line"]
Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

EVEN = 0.5
LIKED_FROM = 0.6
"""A card is liked if more than this share of the pool is used less. A judgement, no source."""
SURPRISE = 0.8
"""Probability that a trap is weaker, by the margin, than its usage promised."""
HARDLY_PLAYED = 0.5
"""Share of the pool's usual share of played copies below which a card is hardly played."""
HARDLY_SEEN = 0.25
"""The same for games against the median card of the rarity, where copies are unknown."""
UNPLAYED_SURE = 0.9


class Signs(NamedTuple):
    """What the reasons of n cards are read from; arrays of shape (n,).

    Attributes
    ----------
    liked : ndarray of bool
        Whether drafters treat the card better than most.
    unplayed : ndarray of bool
        Whether nearly nobody plays it.
    surprising : ndarray of bool
        Whether it is weaker than its usage promised, by the margin and very likely.
    weak_home : ndarray of bool
        Whether its record, but not the card itself, is likelier than not below the line, and
        its faction's cards win less than others.
    """

    liked: Flags
    unplayed: Flags
    surprising: Flags
    weak_home: Flags


def signs(table: CardTable, fitted: Strength, line: float) -> Signs:
    """Read the signs off a table of totals and the estimates made from it.

    Parameters
    ----------
    table : CardTable
        One row a card.
    fitted : Strength
        Estimates for the same table.
    line : float
        The line, as an effect on the log-odds.

    Returns
    -------
    Signs
        One entry a card.
    """
    usage = fitted.usage
    liked = np.zeros(len(table), dtype=np.bool_)
    if usage.known.any():
        liked = usage.known & (usage.score > np.quantile(usage.score[usage.known], LIKED_FROM))
    drags = (fitted.weight * fitted.company).sum(axis=0) < 0
    below = (fitted.record().below(line) >= EVEN) & (fitted.own().below(line) < EVEN)
    surprising = fitted.surprise().below(-abs(line)) >= SURPRISE
    return Signs(liked, unplayed(table), surprising, drags & below)


def reasons(
    signs: Signs, card: int, verdict: Verdict, chance: float, *, settles: bool
) -> tuple[Reason, ...]:
    """Name every reason that applies to one card, the telling one first.

    Parameters
    ----------
    signs : Signs
        Of all cards.
    card : int
        Which of them.
    verdict : str
        The card's verdict.
    chance : float
        Probability that it lies below the line.
    settles : bool
        Whether further games would settle the verdict.

    Returns
    -------
    tuple of str
        Empty for a sound card that is played.
    """
    found: list[Reason] = []
    if verdict == "cut":
        found.append("weak")
    if chance >= EVEN and signs.liked[card] and signs.surprising[card]:
        found.append("trap")
    if signs.weak_home[card]:
        found.append("weak home")
    if signs.unplayed[card]:
        found.append("unplayed")
    if verdict == "more games":
        found.append("few games" if settles else "on the line")
    return tuple(found)


def unplayed(table: CardTable) -> Flags:
    """Whether nearly nobody plays a card, whatever it wins; shape (n,).

    With drafted and played copies, a card is unplayed if its share of played copies lies
    below half the pool's with probability 0.9; else if its games are under a quarter of its
    rarity's median. A card of which nothing is known is not.
    """
    if table.drafted is not None and table.played is not None:
        known = ~np.isnan(table.drafted) & ~np.isnan(table.played) & (table.drafted > 0)
        if known.any():
            return np.asarray(
                _rarely_played(table.played, table.drafted, known) | (table.games == 0)
            )
    return _rarely_seen(table)


def _rarely_played(played: Numbers, drafted: Numbers, known: Flags) -> Flags:
    flags = np.zeros(len(played), dtype=np.bool_)
    try:
        fit = beta_binomial(played[known], drafted[known])
    except FitError:
        return flags
    chance = fit.chance_below(HARDLY_PLAYED * fit.mean, played[known], drafted[known])
    flags[known] = chance >= UNPLAYED_SURE
    return flags


def _rarely_seen(table: CardTable) -> Flags:
    labels = np.array(table.rarity or [None] * len(table), dtype=object)
    usual = np.full(len(table), np.nan)
    for label in set(labels.tolist()):
        inside = labels == label
        if not np.isnan(table.games[inside]).all():
            usual[inside] = np.nanmedian(table.games[inside])
    return np.asarray(table.games < HARDLY_SEEN * usual)
