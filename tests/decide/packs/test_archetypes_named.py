"""Whether the cards of a pool name archetypes often enough to count by them."""

import pytest

from winrate_tools.decide.packs.archetypes_named import archetypes_named
from winrate_tools.pools import PoolCard


@pytest.mark.parametrize(
    ("named", "unnamed", "is_enough"), [(5, 5, True), (4, 5, False), (9, 0, True), (0, 9, None)]
)
def test_half_of_the_copies_are_enough_and_cards_without_copies_do_not_count(
    named: int, unnamed: int, is_enough: bool | None
):
    cards = (
        PoolCard("Named", named, archetypes=("Kites",)),
        PoolCard("Unnamed", unnamed),
        PoolCard("Ghost", 0, archetypes=("Kites",)),
    )

    assert archetypes_named(cards) is is_enough
