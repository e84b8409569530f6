"""Which card comes for which."""

import numpy as np

from tests.decide.planning import stock
from winrate_tools.decide.plan.swaps import swaps_of
from winrate_tools.pools import PoolCard

CARDS = (
    PoolCard("out tool", 2, "Cog", "common", "tool"),
    PoolCard("out guest", 1, "Cog", "rare", "guest"),
    PoolCard("out lantern", 1, "Quill", "rare", slot="lantern"),
    PoolCard("in guest", 2, "cog", "common", "Guest"),
    PoolCard("in tool", 1, "Quill", "common", "tool"),
    PoolCard("in lantern", 1, "Cog", "rare", slot="lantern"),
)
SHELF = stock(CARDS, [2, 1, 1, 0, 0, 0], [-0.3, 0, 0, 0.3, 0, 0.01], sd=0.05)
CHANGE = np.array([-2, -1, -1, 2, 1, 1])


def test_copies_are_matched_by_slot_then_faction_then_role_then_rarity():
    found = {(one.out, one.into): one for one in swaps_of(SHELF, CHANGE)}

    assert {pair: one.copies for pair, one in found.items()} == {
        ("out guest", "in guest"): 1,
        ("out tool", "in guest"): 1,
        ("out tool", "in tool"): 1,
        ("out lantern", "in lantern"): 1,
    }
    assert found["out guest", "in guest"].shared == ("slot", "faction", "role")
    assert found["out tool", "in tool"].shared == ("slot", "role", "rarity")
    assert found["out lantern", "in lantern"].shared == ("slot", "rarity")


def test_swaps_that_have_most_in_common_come_first():
    assert [one.out for one in swaps_of(SHELF, CHANGE)] == [
        "out guest",
        "out tool",
        "out tool",
        "out lantern",
    ]


def test_the_chance_is_that_the_new_card_is_the_stronger():
    found = {(one.out, one.into): one.chance_stronger for one in swaps_of(SHELF, CHANGE)}

    assert found["out tool", "in guest"] == 1
    into, out = SHELF.effects[:, 5], SHELF.effects[:, 2]
    assert found["out lantern", "in lantern"] == (into > out).mean()


def test_copies_left_over_stand_for_nobody():
    found = swaps_of(SHELF, np.array([-2, 0, 0, 1, 0, 0]))

    assert [(one.out, one.into, one.copies) for one in found] == [("out tool", "in guest", 1)]


def test_nothing_out_or_nothing_in_makes_no_swaps():
    assert swaps_of(SHELF, np.array([-2, 0, 0, 0, 0, 0])) == ()
    assert swaps_of(SHELF, np.array([0, 0, 0, 1, 0, 0])) == ()


def test_unknown_labels_are_not_shared():
    cards = [PoolCard("a", 1), PoolCard("b", 1)]

    [found] = swaps_of(stock(cards, [1, 0], [0.0, 0.0]), np.array([-1, 1]))

    assert found.shared == ("slot",)


def test_labels_that_set_two_cards_apart_are_told_where_both_are_known():
    found = {(one.out, one.into): one for one in swaps_of(SHELF, CHANGE)}

    assert found["out guest", "in guest"].unlike == ("rarity",)
    assert found["out tool", "in tool"].unlike == ("faction",)
    assert found["out lantern", "in lantern"].unlike == ("faction",)
