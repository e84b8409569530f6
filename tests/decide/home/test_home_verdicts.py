"""The values that a table's games come to."""

import pytest

from tests.decide.home_tables import POOL, nights
from winrate_tools.decide.home.home import home_update
from winrate_tools.matches import MatchTable


def test_the_chances_of_below_between_and_above_are_one():
    found = home_update(POOL, MatchTable(nights(3, 2, 4)))

    for one in found.archetypes[:1]:
        assert one.chance_below + one.chance_between + one.chance_above == pytest.approx(1)
    assert all(0 <= one.chance_between <= 1 for one in found.archetypes)
