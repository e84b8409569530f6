"""What differs between two pools."""

import pytest

from winrate_tools.decide.plan.changes import changes_between
from winrate_tools.errors import CountError
from winrate_tools.pools import PoolCard, PoolTable

OLD = PoolTable(
    [
        PoolCard("Ash Vine", 3, role="tool", archetypes=("Kites",)),
        PoolCard("Tin Moth", 1, role="guest", archetypes=("Kites", "Moths")),
        PoolCard("Elm Bell", 2, role="tool", archetypes=("Moths",)),
        PoolCard("Oil Lamp", 1),
        PoolCard("Not there", 0),
    ]
)
NEW = PoolTable(
    [
        PoolCard("ash vine", 2, role="tool", archetypes=("kites",)),
        PoolCard("Elm Bell", 4, role="tool", archetypes=("Moths",)),
        PoolCard("Oil Lamp", 1),
        PoolCard("Fog Horn", 2, role="guest", archetypes=("Kites",)),
        PoolCard("Tin Moth", 0),
        PoolCard("Not there", 0),
    ]
)


def test_every_card_is_out_in_more_fewer_or_the_same():
    found = changes_between(OLD, NEW)

    sides = (found.out, found.into, found.more, found.fewer)
    assert [[(c.card.card, c.before, c.after) for c in side] for side in sides] == [
        [("Tin Moth", 1, 0)],
        [("Fog Horn", 0, 2)],
        [("Elm Bell", 2, 4)],
        [("ash vine", 3, 2)],
    ]
    assert (found.before, found.after, found.kept) == (7, 9, 1)


def test_reasons_are_matched_whatever_their_case():
    found = changes_between(OLD, NEW, {"TIN MOTH": "weak", "Fog Horn": "sound"})

    assert [one.why for one in (*found.out, *found.into, *found.fewer)] == ["weak", "sound", ""]


def test_archetypes_count_copies_and_name_what_came_and_went():
    kites, moths = changes_between(OLD, NEW).supports

    assert (kites.archetype, kites.before, kites.after) == ("kites", 4, 4)
    assert (kites.new, kites.gone) == (("Fog Horn",), ("Tin Moth",))
    assert kites.roles == (("tool", 2), ("guest", 2))
    assert (moths.before, moths.after, moths.new, moths.gone) == (3, 4, (), ("Tin Moth",))


def test_an_archetype_that_lost_all_its_cards_is_still_told_of():
    gone = PoolTable([PoolCard("Oil Lamp", 1, archetypes=("Bells",))])

    bells, kites, moths = changes_between(OLD, gone).supports

    assert (bells.archetype, bells.before, bells.after) == ("Bells", 0, 1)
    assert (kites.archetype, kites.before, kites.after) == ("Kites", 4, 0)
    assert (moths.archetype, moths.before, moths.after) == ("Moths", 3, 0)


def test_pools_without_archetypes_have_no_supports():
    lamp = PoolTable([PoolCard("Oil Lamp", 1)])

    found = changes_between(lamp, lamp)

    assert (found.supports, found.few_name_archetypes) == ((), False)


@pytest.mark.parametrize("is_old", [True, False])
def test_archetypes_are_not_compared_where_few_cards_of_a_pool_name_any(is_old: bool):
    few = PoolTable([PoolCard("Oil Lamp", 9), PoolCard("Elm Bell", 8, archetypes=("Moths",))])
    pools = (few, NEW) if is_old else (NEW, few)

    found = changes_between(*pools)

    assert (found.supports, found.few_name_archetypes) == ((), True)
    assert not changes_between(OLD, NEW).few_name_archetypes


def test_a_new_name_much_like_one_that_is_gone_is_pointed_out():
    new = PoolTable([PoolCard("Ash Vines", 3), PoolCard("Oil Lamp", 1)])

    assert changes_between(OLD, new).alike == (("Ash Vine", "Ash Vines"),)
    assert changes_between(OLD, NEW).alike == ()


def test_pools_of_different_games_are_refused():
    with pytest.raises(CountError, match="no card in common"):
        changes_between(OLD, PoolTable([PoolCard("Silk Kite", 1)]))


def test_cards_without_a_role_count_for_their_archetype_and_for_no_role():
    plain = PoolTable([PoolCard("Oil Lamp", 2, archetypes=("Kites",))])

    [kites] = changes_between(plain, plain).supports

    assert (kites.after, kites.roles) == (2, ())
