"""A pool that has something for every figure."""

from dataclasses import replace

import pytest

from tests.report.archetype_pools import POOL as ARCHETYPES
from winrate_tools.decide.cards.verdicts import PoolVerdict


@pytest.fixture
def illustrated_pool(pool) -> PoolVerdict:
    return replace(pool, archetypes=ARCHETYPES)
