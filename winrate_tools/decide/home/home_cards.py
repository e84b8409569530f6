"""What becomes of strangers' word on cards once a table has listed what its decks held."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.alike import folded
from winrate_tools.decide.cards.rules import Rule
from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.decide.home.home_beliefs import Home
from winrate_tools.decide.home.home_verdicts import HomeCard
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.home.home import Discrepancy, at_home, discrepancy
from winrate_tools.stats.home.home_cards import Beforehand, CardEvidence, Listed, card_evidence

Numbers = npt.NDArray[np.float64]


class HomeCards(NamedTuple):
    """Cards that matches list.

    Attributes
    ----------
    cards : tuple of HomeCard
        The one that moved most first.
    usual : Discrepancy
        How far cards here differ from what strangers saw.
    unknown : tuple of str
        Cards that strangers never met.
    """

    cards: tuple[HomeCard, ...]
    usual: Discrepancy
    unknown: tuple[str, ...]


def home_cards(pool: PoolVerdict, home: Home) -> HomeCards:
    """Judge for this table every card that its matches list."""
    names = {folded(card.card): place for place, card in enumerate(pool.cards)}
    sides = (
        [match.cards for match in home.counts.matches],
        [match.opponent_cards for match in home.counts.matches],
    )
    said = list(dict.fromkeys(name for side in sides for cards in side for name in cards))
    unknown = tuple(name for name in said if folded(name) not in names)
    listed = Listed(*(_flags(side, names) for side in sides))
    games = home.counts.contests.games @ (listed.ours.astype(int) + listed.theirs)
    outside, usual = pool.beliefs.effects, Discrepancy()
    if not games.any():
        return HomeCards((), usual, unknown)
    usual = discrepancy(outside, *_evidence(home, listed, outside, usual))
    evidence = _evidence(home, listed, outside, usual)
    start = at_home(outside, usual)
    here = start.given(evidence.seen, evidence.variance)
    judged = _judged(pool, start, here, games)
    return HomeCards(
        tuple(sorted(judged, key=lambda card: -abs(card.estimate - card.before))),
        usual,
        unknown,
    )


def _flags(side: Sequence[Sequence[str]], names: dict[str, int]) -> npt.NDArray[np.bool_]:
    flags = np.zeros((len(side), len(names)), dtype=np.bool_)
    for row, cards in enumerate(side):
        known = [names[folded(name)] for name in cards if folded(name) in names]
        flags[row, known] = True
    return flags


def _evidence(
    home: Home, listed: Listed, outside: NormalMixture, usual: Discrepancy
) -> CardEvidence:
    before = home.before.of(np.eye(home.now.mean.shape[1]))
    met = home.counts.contests
    return card_evidence(
        home.counts.rows,
        met.wins,
        met.games,
        listed,
        Beforehand(outside.centre, at_home(outside, usual).scale ** 2),
        Beforehand(before.centre, before.scale**2),
        design_effect=home.design_effect,
    )


def _judged(
    pool: PoolVerdict, start: NormalMixture, here: NormalMixture, games: Numbers
) -> list[HomeCard]:
    mean, rule, sure = logit(pool.beliefs.mean), Rule(pool.line, pool.sure), pool.sure
    line = float(logit(pool.line) - mean)
    first, below = start.below(line), here.below(line)
    low, estimate, high = (
        expit(mean + effect)
        for effect in (here.quantile(1 - sure), here.centre, here.quantile(sure))
    )

    def card(n: int, before: CardVerdict) -> HomeCard:
        return HomeCard(
            before.card,
            int(games[n]),
            before.estimate,
            before.low,
            before.high,
            before.verdict,
            float(first[n]),
            rule.verdict(first[n], has_games=bool(before.games)),
            float(estimate[n]),
            float(low[n]),
            float(high[n]),
            float(below[n]),
            rule.verdict(below[n], has_games=True),
        )

    return [card(n, before) for n, before in enumerate(pool.cards) if games[n]]
