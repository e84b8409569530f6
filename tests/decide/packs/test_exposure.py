"""What a table gets to see, as plain values."""

from dataclasses import replace

import pytest

from winrate_tools.decide.packs.exposure import PacksSeen, SlotDealt
from winrate_tools.stats.packs.exposure import Draft

MAIN = SlotDealt("main", 14, 100, 210, 210, None, ())
SEEN = PacksSeen(Draft(5, 3, 15), (MAIN,), 65, 5, 3, None, (), ())


@pytest.mark.parametrize(("copies", "is_enough"), [(209, False), (210, True), (500, True)])
def test_a_pool_is_enough_if_every_slot_is(copies: int, is_enough: bool):
    slots = (replace(MAIN, copies=copies), replace(MAIN, slot="lantern", needed=15))

    assert replace(SEEN, slots=slots).is_enough == is_enough
