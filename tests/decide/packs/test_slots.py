"""The slots of a pack."""

import pytest

from winrate_tools.decide.packs.slots import slots_of
from winrate_tools.errors import SettingError
from winrate_tools.pools import PoolCard, PoolTable

POOL = PoolTable(
    [
        PoolCard("Fair", 1, slot="Lantern"),
        PoolCard("Moth", 9),
        PoolCard("Oar", 2, slot=" lantern "),
        PoolCard("Vine", 3, slot="Main"),
        PoolCard("Kite", 4, slot="sky"),
    ]
)


def shape(pool: PoolTable, size: int, places: dict[str, int]) -> list[tuple[str, int, int]]:
    return [(slot.name, slot.places, slot.copies) for slot in slots_of(pool, size, places)]


def test_each_special_slot_takes_one_place_and_the_main_slot_the_rest():
    assert shape(POOL, 15, {}) == [("main", 13, 12), ("Lantern", 1, 3), ("sky", 1, 4)]
    assert [card.card for card in slots_of(POOL, 15, {})[1].cards] == ["Fair", "Oar"]


def test_places_are_as_asked_for_whatever_the_case():
    assert shape(POOL, 15, {"LANTERN": 2, "sky": 0}) == [
        ("main", 13, 12), ("Lantern", 2, 3), ("sky", 0, 4),
    ]  # fmt: skip


def test_special_slots_may_fill_a_pack_but_not_more():
    assert shape(POOL, 5, {"lantern": 4})[0] == ("main", 0, 12)
    with pytest.raises(SettingError) as caught:
        slots_of(POOL, 5, {"lantern": 5})

    assert str(caught.value) == (
        "special slots must fit into a pack of 5, got 6 places: Lantern 5, sky 1"
    )


def test_a_main_slot_without_cards_counts_only_where_it_has_places():
    special = PoolTable([PoolCard("Fair", 9, slot="lantern")])

    assert shape(special, 3, {"lantern": 3}) == [("lantern", 3, 9)]
    assert shape(special, 3, {}) == [("main", 2, 0), ("lantern", 1, 9)]


@pytest.mark.parametrize(
    ("places", "message"),
    [
        ({"latern": 1}, "a slot must be one of the pool's, got 'latern'; it has Lantern, sky"),
        ({"main": 3}, "the main slot fills what the others leave of a pack"),
        ({"sky": -1}, "places of the slot sky must be a whole number from 0, got -1"),
    ],
)
def test_slots_that_make_no_sense_are_refused(places, message):
    with pytest.raises(SettingError, match=message):
        slots_of(POOL, 15, places)


def test_a_pool_without_special_slots_says_so():
    with pytest.raises(SettingError, match="got 'sky'; all its cards are in the main slot"):
        slots_of(PoolTable([PoolCard("Moth", 9)]), 15, {"sky": 1})
