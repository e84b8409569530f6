"""What a table that drafts from a pool gets to see."""

import pytest

from winrate_tools.decide.packs.packs import packs_seen
from winrate_tools.errors import SettingError
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.stats.packs.dealing import (
    chance_dealt,
    count_range,
    dealt_counts,
    kinds_dealt,
)
from winrate_tools.stats.packs.exposure import Draft, chance_seen

CARDS = [PoolCard(f"Moth {n}", 1 + n % 3, role="guest") for n in range(120)]
LIGHTS = [PoolCard(f"Light {n}", 1, slot="lantern") for n in range(20)]
POOL = PoolTable([*CARDS, PoolCard("Ghost", 0), *LIGHTS])
DRAFT = Draft(5, 3, 15)


def test_every_slot_says_what_it_has_and_what_the_packs_take():
    main, lantern = packs_seen(POOL, DRAFT).slots

    assert (main.slot, main.places, main.cards, main.copies, main.needed) == (
        "main", 14, 120, 240, 210,
    )  # fmt: skip
    assert (lantern.places, lantern.cards, lantern.copies, lantern.needed) == (1, 20, 20, 15)


def test_every_card_has_the_chances_of_its_copies_in_its_slot():
    seen = {card.card.card: card for card in packs_seen(POOL, DRAFT).cards}
    card, low = seen["Moth 1"], chance_seen([1, 2, 3], 240, DRAFT, 14)

    assert card.slot == "main"
    assert card.dealt == count_range(dealt_counts(2, 240, 210))
    for chances, copies in ((card.fewer, 1), (card.now, 2), (card.more, 3)):
        assert chances.copies == copies
        assert chances.dealt == pytest.approx(chance_dealt(copies, 240, 210))
        assert (chances.seen_low, chances.seen, chances.seen_high) == pytest.approx(
            tuple(way[copies - 1] for way in low)
        )
    assert seen["Light 0"].now.dealt == pytest.approx(15 / 20)
    assert seen["Light 0"].slot == "lantern"


def test_a_card_without_copies_never_comes_and_has_none_to_lose():
    [ghost] = [card for card in packs_seen(POOL, DRAFT).cards if card.card.card == "Ghost"]

    assert (ghost.now.dealt, ghost.now.seen, tuple(ghost.dealt)) == (0, 0, (0, 0, 0))
    assert ghost.fewer is None
    assert ghost.more is not None
    assert ghost.more.copies == 1


def test_a_card_that_is_its_whole_slot_can_have_no_more():
    pool = PoolTable([*CARDS, PoolCard("Fair", 15, slot="lantern")])
    [fair] = [card for card in packs_seen(pool, DRAFT).cards if card.slot == "lantern"]

    assert fair.more is None
    assert tuple(fair.dealt) == pytest.approx((15, 15, 15))


def test_expected_copies_add_up_to_the_cards_dealt():
    seen = packs_seen(POOL, DRAFT)

    assert sum(card.dealt.mean for card in seen.cards) == pytest.approx(225)
    assert sum(group.dealt.mean for group in seen.groups) == pytest.approx(225)
    assert sum(card.now.dealt for card in seen.cards) == pytest.approx(seen.different.mean)


def test_the_likeliest_card_comes_first():
    chances = [card.now.dealt for card in packs_seen(POOL, DRAFT).cards]

    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1]


def test_the_chance_comes_before_the_number_expected_which_breaks_ties():
    few_lights = packs_seen(PoolTable([*CARDS, *LIGHTS[:16]]), Draft(5, 3, 10))
    tight = packs_seen(PoolTable([PoolCard("Moth", 10), PoolCard("Oar", 20)]), Draft(2, 1, 15))

    assert few_lights.cards[0].slot == "lantern"
    assert few_lights.cards[0].dealt.mean < max(card.dealt.mean for card in few_lights.cards)
    assert [card.now.dealt for card in tight.cards] == [1, 1]
    assert [card.card.card for card in tight.cards] == ["Oar", "Moth"]


def test_different_cards_are_counted_over_all_slots():
    copies = [card.copies for card in CARDS]

    assert packs_seen(POOL, DRAFT).different == kinds_dealt([(copies, 210), ([1] * 20, 15)])


def test_steps_go_one_beyond_the_most_copies_and_no_further_than_six():
    main, lantern = packs_seen(POOL, DRAFT).slots
    many = packs_seen(PoolTable([PoolCard(f"Oar {n}", 40) for n in range(9)]), DRAFT)
    pair = packs_seen(PoolTable([*CARDS, PoolCard("Fair", 2, slot="sky")]), Draft(2, 1, 15))

    assert [step.copies for step in main.steps] == [1, 2, 3, 4]
    assert [step.copies for step in lantern.steps] == [1, 2]
    assert [step.copies for step in many.slots[0].steps] == [1, 2, 3, 4, 5, 6]
    assert [step.copies for step in pair.slots[1].steps] == [1, 2]


def test_the_copies_to_count_on_are_the_fewest_that_come_nine_times_in_ten():
    main, lantern = packs_seen(POOL, DRAFT).slots
    tight = packs_seen(PoolTable([PoolCard(f"Oar {n}", 25) for n in range(9)]), DRAFT)

    assert chance_dealt(1, 240, 210) < 0.9 <= chance_dealt(2, 240, 210)
    assert main.counted_on == 2
    assert chance_dealt(1, 20, 15) < 0.9 <= chance_dealt(2, 20, 15)
    assert lantern.counted_on == 2
    assert tight.slots[0].counted_on == 1


def test_a_slot_that_is_left_out_is_never_dealt():
    seen = packs_seen(POOL, DRAFT, {"lantern": 0})
    lights = [card for card in seen.cards if card.slot == "lantern"]

    assert (seen.slots[1].needed, seen.slots[1].steps, seen.slots[1].counted_on) == (
        0,
        (),
        None,
    )
    assert [card.now.dealt for card in lights] == [0] * 20
    assert seen.slots[0].needed == 225


def test_the_largest_tables_are_those_that_the_scarcest_slot_serves():
    seen = packs_seen(POOL, DRAFT)

    assert (seen.passing, seen.most_seats, seen.most_packs) == (65, 5, 3)
    assert packs_seen(POOL, DRAFT, {"lantern": 0}).most_seats == 5


def test_a_pool_too_small_has_no_chances_but_says_what_it_serves():
    seen = packs_seen(POOL, Draft(8, 3, 15))

    assert not seen.is_enough
    assert (seen.cards, seen.groups, seen.different) == ((), (), None)
    assert [slot.steps for slot in seen.slots] == [(), ()]
    assert [slot.counted_on for slot in seen.slots] == [None, None]
    assert (seen.most_seats, seen.most_packs) == (5, 2)


def test_a_pool_is_too_small_if_one_slot_is():
    few_lights = PoolTable([*CARDS, *LIGHTS[:14]])

    assert not packs_seen(few_lights, DRAFT).is_enough
    assert packs_seen(PoolTable([*CARDS, *LIGHTS[:15]]), DRAFT).is_enough


def test_slots_are_checked():
    with pytest.raises(SettingError, match="special slots must fit into a pack of 15"):
        packs_seen(POOL, DRAFT, {"lantern": 16})


def test_cards_without_copies_are_named_and_not_counted():
    seen = packs_seen(POOL, DRAFT)
    unnamed = [group for group in seen.groups if group.name is None]

    assert seen.absent == ("Ghost",)
    assert [group.cards for group in unnamed] == [20]
    assert packs_seen(PoolTable(CARDS), DRAFT).absent == ()
