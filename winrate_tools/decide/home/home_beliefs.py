"""What is believed of a table's players and archetypes: strangers' word, and its own games."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit, ndtri

from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool, ArchetypeVerdict
from winrate_tools.decide.archetypes.archetypes import BALANCED, MARGIN
from winrate_tools.decide.home.home_counts import Change, HomeCounts
from winrate_tools.decide.home.home_verdicts import PlayerStrength
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.home.home import USUAL
from winrate_tools.stats.home.home_table import HomeTable, Outside, home_table
from winrate_tools.stats.planning.nights import Lines, games_to_settle, pace

Numbers = npt.NDArray[np.float64]
EVEN = 0.5
UNHEARD = 0.3
"""Standard deviation of an archetype of which strangers say nothing. A judgement."""
CHANGED = 0.2
"""Standard deviation of what a rebuild does, five points, where nothing was forecast."""
DOUBT = 0.1
"""Standard deviation by which a forecast may be off besides what it says. A judgement."""
ALONE = 1.0
"""Standard deviation of strengths where home games alone are to speak."""
LEAST_REST = 0.2
"""Share of play that is taken to be as it was, if everything was changed."""
MOST_NIGHTS = 200
"""Nights after which nobody waits any longer."""
GAMES_A_NIGHT = 20
"""Games of a night where nights are unknown. A judgement."""


@dataclass(frozen=True, eq=False)
class Home:
    """A table's matches, what strangers say of its archetypes, and what both come to.

    Attributes
    ----------
    counts : HomeCounts
        The matches.
    pool : ArchetypePool or None
        Strangers' word, None where they tell no archetypes apart.
    sure : float
        How sure is sure enough.
    design_effect : float
        How many games count as one independent game.
    seed : int
        Seed of every draw.
    """

    counts: HomeCounts
    pool: ArchetypePool | None
    sure: float
    design_effect: float
    seed: int

    @cached_property
    def strangers(self) -> dict[str, ArchetypeVerdict]:
        """Strangers' verdicts by archetype, those with games."""
        told = () if self.pool is None else self.pool.archetypes
        return {one.archetype: one for one in told if one.games}

    @cached_property
    def outside(self) -> Outside:
        """What is believed of archetypes and of changes before the games."""
        beliefs = [self._stranger(name) for name in self.counts.archetypes]
        holds = [name in self.strangers for name in self.counts.archetypes]
        usual = np.array([mean for mean, _ in beliefs])
        moved = zip(self._moves(usual), map(_doubt, self.counts.changes), strict=True)
        both = np.array([*beliefs, *moved]).reshape(-1, 2)
        none = [False] * len(self.counts.changes)
        return Outside(both[:, 0], both[:, 1], np.array([*holds, *none]))

    def _stranger(self, name: str) -> tuple[float, float]:
        """Effect of an archetype against the mean of all games, and its error."""
        if self.pool is None or name not in self.strangers:
            return 0.0, UNHEARD
        one, mean = self.strangers[name], logit(self.pool.mean)
        return float(logit(one.estimate) - mean), error_of(one.low, one.high, self.pool.sure)

    def _moves(self, usual: Numbers) -> Numbers:
        """Tell what each change should do, so that its archetype ends up as was forecast.

        Forecasts count from the mean of all archetypes, which the changes move too.
        """
        told = np.array([one.forecast for one in self.counts.changes], dtype=np.float64)
        places, known = list(self.counts.changed), ~np.isnan(told)
        gaps = np.where(known, logit(told) - usual[places], 0.0)
        share = np.where(known, self.share[places], 0.0)
        mean = share @ gaps / max(1 - share.sum(), LEAST_REST)
        return np.where(known, gaps + mean, 0.0)

    @cached_property
    def share(self) -> Numbers:
        """How often each archetype is played, sum 1; a new one as often as the usual one."""
        told = {name: one.play_share for name, one in self.strangers.items()}
        usual = float(np.mean(list(told.values()))) if told else 1.0
        share = [told.get(name, usual) for name in self.counts.archetypes]
        return np.array(share) / sum(share)

    @cached_property
    def lines(self) -> Lines:
        """Between which effects an archetype is fine, at an even table."""
        margin = MARGIN if self.pool is None else self.pool.margin
        balanced = BALANCED if self.pool is None else self.pool.balanced
        low, high = (float(logit(EVEN + side * margin)) for side in (-1, 1))
        return Lines(low, high, self.sure, balanced)

    @cached_property
    def relative(self) -> Numbers:
        """Each current archetype against the mean of all, as sums of strengths."""
        archetypes = len(self.counts.archetypes)
        against = np.zeros((archetypes, len(self.counts.current)))
        against[:, -archetypes:] = np.eye(archetypes) - self.share
        return np.asarray(against @ self.counts.current)

    def fit(self, outside: Outside | None = None, *, played: bool = True) -> HomeTable:
        """Weigh the games, or none of them, with what is believed beforehand."""
        some = slice(None) if played else slice(0)
        return home_table(
            self.counts.rows[some],
            self.counts.contests.wins[some],
            self.counts.contests.games[some],
            outside or self.outside,
            players=len(self.counts.players),
            design_effect=self.design_effect,
        )

    @cached_property
    def before(self) -> HomeTable:
        """What is believed before the games."""
        return self.fit(played=False)

    @cached_property
    def now(self) -> HomeTable:
        """What is believed after the games."""
        return self.fit()

    @cached_property
    def alone(self) -> NormalMixture:
        """What the games alone say of each archetype, strangers being asked of the others."""
        found = [self._alone(k).of(self.relative[[k]]) for k in range(len(self.relative))]
        parts = (
            np.column_stack([getattr(one, part) for one in found])
            for part in ("weight", "mean", "sd")
        )
        return NormalMixture(*parts)

    def _alone(self, k: int) -> HomeTable:
        """Weigh the games as if nothing was known of one archetype, nor of its change."""
        outside, size = self.outside, len(self.outside.mean)
        about = np.isin(np.r_[range(len(self.relative)), self.counts.changed], k)
        usual = np.hypot(outside.sd, np.where(outside.holds, USUAL, 0.0))
        mean, sd = np.where(about, 0.0, outside.mean), np.where(about, ALONE, usual)
        return self.fit(Outside(mean, sd, np.zeros(size, dtype=np.bool_)))

    @cached_property
    def waits(self) -> Numbers:
        """Further games of the table that each archetype's verdict will take."""
        return games_to_settle(
            self.now,
            self.relative,
            self.a_game,
            self.lines,
            horizon=MOST_NIGHTS * self.games_a_night,
            seed=self.seed,
        )

    @cached_property
    def games_a_night(self) -> float:
        """Games of an average night, as far as nights are known."""
        if not self.counts.nights:
            return float(GAMES_A_NIGHT)
        return float(self.counts.contests.games.sum() / self.counts.nights)

    @cached_property
    def a_game(self) -> Numbers:
        """Information that one further game brings about all strengths."""
        counts, effect = self.counts, self.design_effect
        brought = pace(counts.met, counts.decks, self.share, design_effect=effect)
        return np.asarray(counts.current.T @ brought @ counts.current)


def _doubt(change: Change) -> float:
    """How far off a change may be from what it should do, as a standard deviation."""
    if change.forecast is None:
        return CHANGED
    if change.low is None or change.high is None:
        return DOUBT
    error = error_of(change.low, change.high, 0.5 + 0.5 * change.level)
    return float(np.hypot(error, DOUBT))


def error_of(low: float | None, high: float | None, sure: float) -> float:
    """Return the standard deviation behind a range on the log-odds, 0 without one."""
    if low is None or high is None:
        return 0.0
    return float((logit(high) - logit(low)) / 2 / ndtri(sure))


def at_even_table(mean: float, *rates: float) -> list[float]:
    """Move rates from where the mean of all games is another to where it is a half."""
    shift = logit(mean) - logit(EVEN)
    return [float(expit(logit(rate) - shift)) for rate in rates]


def player_strengths(home: Home) -> tuple[PlayerStrength, ...]:
    """Tell how good each player is against the table's average one, the strongest first."""
    counts, size = home.counts, len(home.counts.players)
    against = np.zeros((size, home.now.mean.shape[1]))
    against[:, :size] = np.eye(size) - 1 / size
    believed = home.now.of(against)
    low, high = (expit(believed.quantile(level)) for level in (1 - home.sure, home.sure))
    met = counts.contests
    played, won = np.zeros(size), np.zeros(size)
    for who, wins in ((met.player, met.wins), (met.opponent, met.games - met.wins)):
        np.add.at(played, who, met.games)
        np.add.at(won, who, wins)
    return tuple(
        PlayerStrength(
            counts.players[n],
            int(played[n]),
            float(won[n]),
            float(expit(believed.centre[n])),
            float(low[n]),
            float(high[n]),
        )
        for n in np.argsort(-believed.centre, kind="stable")
    )
