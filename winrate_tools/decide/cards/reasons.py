"""Why a card got its verdict: every reason that applies at this level of detail."""

from typing import Literal, NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.decide.cards.rules import Verdict
from winrate_tools.errors import FitError
from winrate_tools.stats.cards.homes import best_home
from winrate_tools.stats.cards.strength import Strength
from winrate_tools.stats.records.beta_binomial import beta_binomial
from winrate_tools.stats.records.quantiles import sample_quantile
from winrate_tools.tables import CardTable

Reason = Literal[
    "weak",
    "trap",
    "newcomer trap",
    "unplayed",
    "narrow",
    "weak home",
    "weak hands",
    "few games",
    "on the line",
    "hidden company",
]
Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

EVEN = 0.5
ABOUT_EVEN = 0.2
"""A chance this near to one half says that the card is about at the line."""
FAR_MORE = 20
"""Times the present games that are still called a few more. A judgement, no source."""
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
    weak_home, weak_hands : ndarray of bool
        Whether its record, but not the card itself, is likelier than not below the line, and
        its archetypes (or its faction), or its players, win less than others.
    newcomer_trap : ndarray of bool
        Whether it is weak in the weakest players' hands and not in the strongest's.
    narrow : ndarray of bool
        Whether it is good in one archetype and weak in its others.
    """

    liked: Flags
    unplayed: Flags
    surprising: Flags
    weak_home: Flags
    weak_hands: Flags
    newcomer_trap: Flags
    narrow: Flags


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
    usage, counts = fitted.sample.usage, fitted.sample
    liked = np.zeros(len(table), dtype=np.bool_)
    if usage.known.any():
        liked = usage.known & (
            usage.score > sample_quantile(usage.score[usage.known], LIKED_FROM)
        )
    chance = fitted.own().below(line)
    home = counts.home + (fitted.weight * fitted.company).sum(axis=0)
    record = fitted.record().below(line - counts.home - counts.hands)
    below = _seen_below(fitted, line) & (record >= EVEN) & (chance < EVEN)
    return Signs(
        liked=liked,
        unplayed=unplayed(table),
        surprising=fitted.surprise().below(-abs(line)) >= SURPRISE,
        weak_home=below & _drags(home, counts.hands, line),
        weak_hands=below & _drags(counts.hands, home, line),
        newcomer_trap=_newcomer_traps(fitted, line),
        narrow=_narrow(fitted, chance, line),
    )


def _seen_below(fitted: Strength, line: float) -> Flags:
    """Whether a card's raw win rate lies as far below the sample's mean as the line does."""
    table, mean = fitted.sample.totals, fitted.sample.level.sample_mean
    least = expit(logit(mean) + line)
    return np.asarray(
        np.nan_to_num(table.wins, nan=np.inf) < np.nan_to_num(table.games) * least
    )


def _drags(part: Numbers, other: Numbers, line: float) -> Flags:
    """Whether a part of the record's company is low enough to be why it lies below the line."""
    return np.asarray((part < 0) & ((part <= other) | (part <= -0.5 * abs(line))))


def _newcomer_traps(fitted: Strength, line: float) -> Flags:
    levels = list(fitted.sample.bands.values())
    if len(levels) < 2:
        return np.zeros(len(fitted.sample.totals), dtype=np.bool_)
    low, high = (fitted.own(level=level).below(line) for level in (levels[0], levels[-1]))
    return np.asarray((low >= SURPRISE) & (high <= EVEN))


def _narrow(fitted: Strength, chance: Numbers, line: float) -> Flags:
    homes, own = fitted.sample.homes, fitted.own()
    if homes is None:
        return np.zeros(len(chance), dtype=np.bool_)
    best = best_home(homes, own.centre, own.scale, line)
    return np.asarray((best.chance_good >= SURPRISE) & (best.chance_weak_elsewhere >= EVEN))


def reasons(
    signs: Signs,
    card: int,
    verdict: Verdict,
    chance: float,
    *,
    games: float,
    needed: int | None,
    is_luck: bool,
    is_close: bool,
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
    games : float
        Games behind the card, NaN if unknown.
    needed : int or None
        Further games that would settle the verdict, None if none would.
    is_luck, is_close : bool
        What `waiting` asks for.

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
    found += [reason for reason, flags in _further(signs) if flags[card]]
    if verdict == "more games":
        found.append(waiting(chance, games, needed, is_luck=is_luck, is_close=is_close))
    return tuple(found)


def waiting(
    chance: float, games: float, needed: int | None, *, is_luck: bool, is_close: bool
) -> Reason:
    """Say why a verdict waits.

    Parameters
    ----------
    chance : float
        Probability that the card lies below the line.
    games : float
        Games behind the card, NaN if unknown.
    needed : int or None
        Further games that would settle it, None if none would.
    is_luck : bool
        Whether games would remove most of what is unknown of the card.
    is_close : bool
        Whether its whole range lies close to the line.

    Returns
    -------
    str
        ``"few games"`` if a number of games comparable with those there are would do, or there
        are none; ``"on the line"`` if the range lies close to it and it would take very many
        more, or the chance is about even; ``"few games"`` too if games would do or luck is
        most of what is unknown; else ``"hidden company"``: what company hides, games do not
        show.
    """
    if not games > 0:
        return "few games"
    if needed is not None and needed <= FAR_MORE * games:
        return "few games"
    near = EVEN - ABOUT_EVEN <= chance <= EVEN + ABOUT_EVEN
    if is_close and (near or needed is not None):
        return "on the line"
    return "few games" if is_luck or needed is not None else "hidden company"


def _further(signs: Signs) -> tuple[tuple[Reason, Flags], ...]:
    return (
        ("newcomer trap", signs.newcomer_trap),
        ("narrow", signs.narrow),
        ("weak home", signs.weak_home),
        ("weak hands", signs.weak_hands),
        ("unplayed", signs.unplayed),
    )


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
        known = table.games[inside & ~np.isnan(table.games)]
        if len(known):
            usual[inside] = sample_quantile(known, EVEN)
    return np.asarray(table.games < HARDLY_SEEN * usual)
