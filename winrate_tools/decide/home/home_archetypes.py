"""What becomes of strangers' word on archetypes once a table has played."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.special import expit

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeVerdict, Call
from winrate_tools.decide.archetypes.archetypes import call
from winrate_tools.decide.home.home_beliefs import Home, at_even_table
from winrate_tools.decide.home.home_verdicts import Agreement, HomeArchetype, Never
from winrate_tools.stats.cards.mixture import NormalMixture

Numbers = npt.NDArray[np.float64]
USUAL_LUCK = 1.28
"""Standard errors up to which wins are as expected: 4 times in 5."""


def home_archetypes(home: Home) -> tuple[HomeArchetype, ...]:
    """Judge every archetype for this table, the weakest first."""
    before, now = (table.of(home.relative) for table in (home.before, home.now))
    believed = _Believed(before, now, home.alone)
    records = _records(home)
    judged = [_judged(home, k, believed, records) for k in range(len(home.counts.archetypes))]
    return tuple(sorted(judged, key=lambda one: one.estimate))


class _Believed(NamedTuple):
    """Archetypes against the mean of all: before the games, after them, by them alone."""

    before: NormalMixture
    now: NormalMixture
    alone: NormalMixture


class _Records(NamedTuple):
    """Games of each archetype's decks as it is now; arrays of shape (K,)."""

    games: Numbers
    wins: Numbers
    expected: Numbers
    variance: Numbers
    mirrors: Numbers


def _records(home: Home) -> _Records:
    """Count what each archetype won, and what strangers' word and the players led to expect."""
    counts, met, players = home.counts, home.counts.contests, len(home.counts.players)
    strengths = home.now.weight @ home.now.mean
    strengths[players + 1 :] = home.outside.mean
    chance = expit(counts.rows @ strengths)
    is_old = np.zeros((len(counts.matches), len(counts.archetypes) + 1), dtype=np.bool_)
    is_old[:, list(counts.changed)] = ~counts.is_new
    found = _Records(*(np.zeros(len(counts.archetypes) + 1) for _ in _Records._fields))
    mirrored = np.where(met.archetype == met.opponent_archetype, 0.5 * met.games, 0.0)
    for place, wins, p in (
        (met.archetype, met.wins, chance),
        (met.opponent_archetype, met.games - met.wins, 1 - chance),
    ):
        since = ~is_old[np.arange(len(place)), place]
        luck = home.design_effect * met.games * p * (1 - p)
        seen = (met.games, wins, met.games * p, luck, mirrored)
        for total, each in zip(found, seen, strict=True):
            np.add.at(total, place[since], each[since])
    return _Records(*(total[:-1] for total in found))


def _judged(home: Home, k: int, believed: _Believed, records: _Records) -> HomeArchetype:
    name = home.counts.archetypes[k]
    now, alone = believed.now, believed.alone
    verdict = _call(home, now, k)
    games, nights, never = _wait(home, k, verdict)
    strangers, strangers_low, strangers_high = _even(home, home.strangers.get(name))
    start, seen = believed.before.scale[k] ** 2, alone.scale[k] ** 2
    has_games = records.games[k] > 0
    return HomeArchetype(
        archetype=name,
        is_changed=k in home.counts.changed,
        games=int(records.games[k]),
        wins=float(records.wins[k]),
        expected=float(records.expected[k]),
        strangers=strangers,
        strangers_low=strangers_low,
        strangers_high=strangers_high,
        strangers_verdict=home.strangers[name].verdict if name in home.strangers else None,
        start=float(expit(believed.before.centre[k])),
        start_verdict=_call(home, believed.before, k),
        alone=float(expit(alone.centre[k])) if has_games else None,
        alone_low=_rate(alone, k, 1 - home.sure) if has_games else None,
        alone_high=_rate(alone, k, home.sure) if has_games else None,
        estimate=float(expit(now.centre[k])),
        low=_rate(now, k, 1 - home.sure),
        high=_rate(now, k, home.sure),
        chance_below=float(now.below(home.lines.low)[k]),
        chance_above=float(1 - now.below(home.lines.high)[k]),
        verdict=verdict,
        weight=float(start / (start + seen)) if has_games else 0.0,
        chance_stray=float(home.now.weight @ home.now.is_stray[:, k]),
        agreement=_agreement(records, k),
        games_needed=games,
        nights_needed=nights,
        never=never,
        mirrors=int(records.mirrors[k]),
    )


def _call(home: Home, believed: NormalMixture, k: int) -> Call:
    below, above = believed.below(home.lines.low)[k], 1 - believed.below(home.lines.high)[k]
    return call(below, above, home.sure)


def _rate(believed: NormalMixture, k: int, level: float) -> float:
    return float(expit(believed.quantile(level)[k]))


def _even(home: Home, one: ArchetypeVerdict | None) -> Sequence[float | None]:
    """Move strangers' estimate and range to an even table."""
    if one is None or home.pool is None:
        return None, None, None
    return at_even_table(home.pool.mean, one.estimate, one.low, one.high)


def _agreement(records: _Records, k: int) -> Agreement:
    if not records.games[k]:
        return "no games"
    off = (records.wins[k] - records.expected[k]) / np.sqrt(records.variance[k])
    if abs(off) <= USUAL_LUCK:
        return "as expected"
    return "better" if off > 0 else "worse"


def _wait(home: Home, k: int, verdict: Call) -> tuple[int | None, int | None, Never | None]:
    """Say how many games, and nights, will settle a verdict, or why none will."""
    if verdict != "unsettled":
        return 0, 0 if home.counts.nights else None, None
    games = home.waits[k]
    if np.isfinite(games):
        if not home.counts.nights:
            return int(games), None, None
        return int(games), int(np.ceil(games / home.games_a_night)), None
    hands = int((home.counts.decks[:, k] > 0).sum())
    reasons: dict[int, Never] = {0: "nobody plays it", 1: "one hand"}
    return None, None, reasons.get(hands, "too slow")
