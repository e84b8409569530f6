"""How many cards of a group are dealt."""

import numpy as np
import pytest
from scipy import stats

from winrate_tools.decide.packs.pack_groups import GroupDealt, groups_dealt
from winrate_tools.decide.packs.slots import Slot
from winrate_tools.errors import CountError
from winrate_tools.pools import PoolCard

MAIN = tuple(
    PoolCard(
        f"Card {n}",
        copies=1 + n % 3,
        faction="Wick" if n % 4 else None,
        role="tool" if n % 2 else "Tool",
        archetypes=("Kites", "Moths") if n % 5 == 0 else ("Moths",) if n % 5 < 4 else (),
    )
    for n in range(60)
)
SPECIAL = tuple(
    PoolCard(f"Light {n}", 1, faction="Wick" if n < 6 else "Cog", slot="lantern")
    for n in range(20)
)
SLOTS = [Slot("main", 6, MAIN), Slot("lantern", 1, SPECIAL)]
OPENED = 12


def found(kind: str, name: str | None) -> GroupDealt:
    [group] = [
        group
        for group in groups_dealt(SLOTS, OPENED)
        if (group.kind, group.name) == (kind, name)
    ]
    return group


def test_a_group_of_two_slots_is_the_sum_of_both():
    copies = sum(card.copies for card in MAIN if card.faction)
    main = stats.hypergeom(120, copies, 72).pmf(np.arange(copies + 1))
    special = stats.hypergeom(20, 6, 12).pmf(np.arange(7))
    reached = np.cumsum(np.convolve(main, special))

    group = found("faction", "Wick")

    assert (group.cards, group.copies) == (51, copies + 6)
    assert group.dealt.mean == pytest.approx(copies * 72 / 120 + 6 * 12 / 20)
    assert group.dealt.low == np.argmax(reached >= 0.1)
    assert group.dealt.high == np.argmax(reached >= 0.9)


def test_cards_without_a_label_are_a_group_of_their_own_and_come_last():
    factions = [group for group in groups_dealt(SLOTS, OPENED) if group.kind == "faction"]

    assert [group.name for group in factions] == ["Wick", "Cog", None]
    assert sum(group.dealt.mean for group in factions) == pytest.approx(OPENED * 7)


def test_a_label_counts_as_one_whatever_the_case_and_keeps_its_first_spelling():
    assert found("role", "Tool").cards == 60


def test_a_card_of_several_archetypes_counts_in_each():
    kites, moths, none = (found("archetype", name) for name in ("Kites", "Moths", None))

    assert (kites.cards, moths.cards, none.cards) == (12, 48, 32)


@pytest.mark.parametrize(("named", "is_counted"), [(5, True), (4, False)])
def test_archetypes_are_counted_where_half_of_the_copies_name_any(named: int, is_counted: bool):
    cards = (
        PoolCard("Named", named, faction="Wick", archetypes=("Kites",)),
        PoolCard("Unnamed", 10 - named, faction="Wick"),
    )

    groups = groups_dealt([Slot("main", 3, cards)], 2)

    assert ("archetype" in {group.kind for group in groups}) is is_counted
    assert "faction" in {group.kind for group in groups}


def test_cards_without_copies_make_no_group_of_cards_without_a_label():
    cards = (PoolCard("Moth", 6, role="guest"), PoolCard("Ghost", 0))

    groups = groups_dealt([Slot("main", 3, cards)], 2)

    assert [(group.kind, group.name) for group in groups] == [("role", "guest")]


def test_kinds_that_no_card_names_are_left_out():
    kinds = [group.kind for group in groups_dealt(SLOTS, OPENED)]

    assert list(dict.fromkeys(kinds)) == ["faction", "role", "archetype"]


def test_the_level_widens_the_range():
    [narrow, *_], [wide, *_] = (groups_dealt(SLOTS, OPENED, level) for level in (0.5, 0.98))

    assert wide.dealt.low < narrow.dealt.low
    assert wide.dealt.high > narrow.dealt.high


def test_a_pool_too_small_is_refused():
    with pytest.raises(CountError, match="cards dealt must be from 0 to the pool's 120 cards"):
        groups_dealt(SLOTS, opened=21)


def test_a_label_whose_cards_have_no_copies_is_told_with_none():
    cards = (PoolCard("Moth", 6, role="guest"), PoolCard("Ghost", 0, role="tool"))

    groups = groups_dealt([Slot("main", 3, cards)], 2)

    assert [(group.name, group.copies) for group in groups] == [("guest", 6), ("tool", 0)]
