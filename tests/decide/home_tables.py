"""A judged pool and a table's own matches, small enough to see through."""

import datetime as dt
from dataclasses import replace

import numpy as np

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.decide.home.home_beliefs import Home
from winrate_tools.decide.home.home_counts import home_counts
from winrate_tools.matches import Match, MatchTable
from winrate_tools.tables import ArchetypeTable, CardTable

ARCHETYPES = ("Kites", "Moths", "Bells", "Drums")
RATES = (0.505, 0.55, 0.55, 0.595)
"""Kites fail and Drums are too strong among strangers, who win 55 % on the whole."""
CARDS = tuple(f"card {n}" for n in range(40))
FIRST = dt.date(2026, 1, 9)
WEEK = dt.timedelta(weeks=1)


def strangers() -> PoolVerdict:
    """Judge 40 cards and four archetypes of which strangers know a lot."""
    rng = np.random.default_rng(3)
    games = np.full(len(CARDS), 4000)
    cards = CardTable(
        list(CARDS), games, rng.binomial(games, rng.normal(0.55, 0.03, len(CARDS)))
    )
    decks = ArchetypeTable(list(ARCHETYPES), [8000] * 4, [round(8000 * rate) for rate in RATES])
    return judge(cards, archetypes=decks)


POOL = strangers()
WITHOUT_ARCHETYPES = replace(POOL, archetypes=None)


def match(player, opponent, won, lost, ours=None, theirs=None, night=0, **others) -> Match:
    """A match on one of the nights, a week apart."""
    day = FIRST + night * WEEK
    return Match(
        player,
        opponent,
        won,
        lost,
        archetype=ours,
        opponent_archetype=theirs,
        date=day,
        **others,
    )


def nights(won: int, lost: int, count: int, archetype: str = "Kites") -> list[Match]:
    """Nights on which everybody once holds an archetype against the two in the middle."""
    people = ("Ada", "Bo", "Cy")
    return [
        match(people[n % 3], people[(n + step) % 3], won, lost, archetype, other, night=n)
        for n in range(count)
        for step, other in ((1, "Moths"), (2, "Bells"))
    ]


def home(matches, changes=(), pool=POOL) -> Home:
    """Join matches and strangers' word."""
    known = None if pool.archetypes is None else list(ARCHETYPES)
    counts = home_counts(MatchTable(matches), known, changes)
    return Home(counts, pool.archetypes, pool.sure, pool.design_effect, pool.seed)
