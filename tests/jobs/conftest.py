"""A small pool with its ranking, for every job."""

import pytest

from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable
from winrate_tools.ranking import Ranking, rank
from winrate_tools.tables import ArchetypeTable, CardTable, Source

NAMES = ("Ash Vine", "Tin Moth", "Elm Bell", "Fog Lamp", "Oak Kite", "Sea Drum")


@pytest.fixture(scope="session")
def cards() -> CardTable:
    wins = [1700, 1900, 2000, 2020, 2040, 2100]
    archetypes = ["Kites", "Moths"] * 3
    source = Source("cards.csv", notes=("said on reading",))
    return CardTable(NAMES, [4000] * 6, wins, archetype=archetypes, source=source)


@pytest.fixture(scope="session")
def decks() -> ArchetypeTable:
    return ArchetypeTable(["Kites", "Moths"], [5000] * 2, [2700, 2300], source=Source("a.csv"))


@pytest.fixture(scope="session")
def ranking(cards: CardTable, decks: ArchetypeTable) -> Ranking:
    return rank(cards, archetypes=decks)


@pytest.fixture(scope="session")
def pool() -> PoolTable:
    return PoolTable([PoolCard(name, 2, role="guest") for name in NAMES], Source("pool.csv"))


@pytest.fixture(scope="session")
def candidates() -> CandidateTable:
    card = PoolCard("Ivy Oar", 2, role="guest", price=0.5)
    return CandidateTable([Candidate(card, guess="stronger")], Source("new.csv"))
