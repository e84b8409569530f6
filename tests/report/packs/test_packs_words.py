"""What is printed of packs."""

from dataclasses import replace

import pytest

from winrate_tools.decide.packs.exposure import CopyChances, PacksSeen, SlotDealt
from winrate_tools.decide.packs.pack_groups import GroupDealt
from winrate_tools.report.packs import packs_words
from winrate_tools.stats.packs.dealing import CountRange
from winrate_tools.stats.packs.exposure import Draft

STEPS = (
    CopyChances(1, 0.42, 0.084, 0.36, 0.42),
    CopyChances(2, 0.66, 0.16, 0.59, 0.66),
    CopyChances(3, 0.8, 0.23, 0.74, 0.8),
    CopyChances(4, 0.89, 0.3, 0.84, 0.89),
)
MAIN = SlotDealt("main", 14, 212, 502, 210, 5, STEPS)
LANTERN = SlotDealt("lantern", 1, 28, 28, 15, 3, STEPS[:1])
TOOLS = GroupDealt("role", "tool", 45, 114, CountRange(47.7, 42, 54))
GUESTS = GroupDealt("role", "guest", 4, 9, CountRange(3.8, 2, 6))
UNNAMED = GroupDealt("role", None, 1, 1, CountRange(0.4, 0, 1))
SEEN = PacksSeen(
    Draft(5, 3, 15),
    (MAIN, LANTERN),
    65,
    9,
    5,
    CountRange(162.98, 158, 168),
    (TOOLS, GUESTS, UNNAMED),
    (),
)


def test_what_is_dealt_is_said_with_the_pool_and_the_different_cards():
    assert packs_words.dealt_sentence(SEEN) == (
        "5 seats open 3 packs of 15 each: 225 of the pool's 530 cards are dealt (42%). Of its "
        "240 different cards about 163 turn up (8 in 10 drafts: 158 to 168)."
    )
    assert packs_words.dealt_sentence(replace(SEEN, different=None)).endswith("dealt (42%).")


def test_the_tables_that_a_pool_serves_are_said():
    assert packs_words.served_sentence(SEEN) == (
        "The pool is large enough: with 3 packs each it serves up to 9 seats, and 5 seats "
        "could open up to 5 packs each."
    )


def test_what_passes_one_seat_is_said():
    assert packs_words.passing_sentence(SEEN) == (
        "One seat looks at 65 cards a round as the packs pass, each counted once, and at 195 "
        "in the whole draft; it takes 45 of them."
    )


def test_every_slot_that_is_short_is_named():
    short = replace(SEEN, slots=(replace(MAIN, needed=503), replace(LANTERN, needed=30)))

    assert packs_words.short_sentence(short) == (
        "The pool is too small for 5 seats with 3 packs of 15 each: the slot main takes 503 "
        "cards and the pool has 502; the slot lantern takes 30 cards and the pool has 28."
    )
    assert "main" not in packs_words.short_sentence(
        replace(short, slots=(replace(MAIN, needed=502), short.slots[1]))
    )


@pytest.mark.parametrize(
    ("seats", "packs", "start"),
    [
        (9, 2, "It serves 9 seats with 3 packs each or 5 seats with 2 packs each."),
        (2, 0, "It serves 2 seats with 3 packs each. Smaller"),
        (1, 1, "It serves 5 seats with 1 pack each. Smaller"),
        (1, 0, "It serves no table of such packs. Smaller packs or more cards"),
    ],
)
def test_what_a_small_pool_does_serve_is_said(seats, packs, start):
    seen = replace(SEEN, most_seats=seats, most_packs=packs)

    assert packs_words.instead_sentence(seen).startswith(start)


def test_the_first_copies_are_said_with_their_slot_where_there_are_several():
    assert packs_words.copies_sentence((MAIN, LANTERN)) == (
        "A card's chance of being dealt in the slot main: 8 in 20 with 1 copy, 13 in 20 with 2 "
        "copies, 16 in 20 with 3 copies. Every further copy adds less."
    )
    assert packs_words.copies_sentence((LANTERN,)) == (
        "A card's chance of being dealt: 8 in 20 with 1 copy."
    )
    assert "slot lantern" in packs_words.copies_sentence((replace(MAIN, steps=()), LANTERN))


def test_where_all_is_dealt_no_copy_is_said_to_add_anything():
    all_dealt = replace(MAIN, steps=(CopyChances(1, 1.0, 0.5, 0.9, 1.0), *STEPS[1:]))

    assert packs_words.copies_sentence((all_dealt, LANTERN)) == (
        "Every copy in the slot main is dealt, since the packs take all of them."
    )


def test_the_most_and_the_least_dealt_groups_are_named():
    assert packs_words.groups_sentence([TOOLS, GUESTS, UNNAMED]) == (
        "Most of all tool: 8 in 10 drafts deal 42 to 54 cards. Least of all guest: 8 in 10 "
        "drafts deal 2 to 6 cards."
    )
    assert "Least" not in packs_words.groups_sentence([TOOLS, UNNAMED])
    assert packs_words.groups_sentence([replace(TOOLS, kind="archetype")]).endswith(
        "A card counts for every archetype that it supports."
    )


@pytest.mark.parametrize(
    ("dealt", "said"),
    [
        ((15.0, 15, 15), "every draft deals 15 cards"),
        ((14.9, 15, 15), "8 in 10 drafts deal 15 cards"),
        ((0.4, 0, 1), "8 in 10 drafts deal 0 to 1 card"),
    ],
)
def test_only_what_every_draft_deals_is_called_certain(dealt, said):
    group = replace(TOOLS, dealt=CountRange(*dealt))

    assert packs_words.groups_sentence([group]) == f"Most of all tool: {said}."


def test_the_copies_to_count_on_are_said_for_every_slot_that_is_dealt():
    assert packs_words.counted_on_sentence((MAIN, LANTERN)) == (
        "a chance of 18 in 20 or more of being dealt takes 5 copies in the slot main; 3 copies "
        "in the slot lantern."
    )
    assert packs_words.counted_on_sentence((replace(MAIN, counted_on=1),)).endswith(
        "of being dealt takes 1 copy."
    )
    assert packs_words.counted_on_sentence((replace(MAIN, counted_on=None),)).endswith(
        "takes more copies than there can be."
    )
    assert "lantern" not in packs_words.counted_on_sentence(
        (MAIN, replace(LANTERN, needed=0, counted_on=None))
    )


def test_groups_that_may_not_come_once_a_seat_are_named_the_thinnest_first():
    few = [
        replace(GUESTS, name=f"guest {n}", dealt=CountRange(float(n), n - 1, n + 1))
        for n in range(9, 0, -1)
    ]
    gone = replace(GUESTS, name="gone", dealt=CountRange(0.0, 0, 0))

    five = packs_words.thin_sentence(replace(SEEN, groups=(TOOLS, *few, gone, UNNAMED)))

    assert five == (
        "these may come to fewer cards than there are seats, by the range that 8 in 10 drafts "
        "keep to: guest 1 (0 to 2), guest 2 (1 to 3), guest 3 (2 to 4), guest 4 (3 to 5), "
        "guest 5 (4 to 6)."
    )
    seats = replace(SEEN, draft=Draft(9, 3, 15), groups=tuple(few))
    assert packs_words.thin_sentence(seats).endswith("guest 8 (7 to 9) and 1 more.")
    assert packs_words.thin_sentence(replace(SEEN, groups=(TOOLS, UNNAMED))) == (
        "of every group above, 9 in 10 drafts deal 5 cards or more, one for each seat."
    )


def test_the_room_for_more_seats_is_said():
    assert packs_words.room_sentence(SEEN) == (
        "one more seat deals 45 cards more, and there is room for 4 more seats."
    )
    assert packs_words.room_sentence(replace(SEEN, most_seats=6)).endswith("1 more seat.")
    assert packs_words.room_sentence(replace(SEEN, most_seats=5)).endswith("there is no room.")


def test_a_chance_never_rounds_over_the_one_to_count_on():
    assert packs_words.chance(STEPS[3]) == "17 in 20"
    assert packs_words.sure_in_twenty(0.9) == "18 in 20"
    assert packs_words.sure_in_twenty(1e-6) == "under 1 in 20"
    assert packs_words.chance(None) == ""


def test_a_range_of_sights_names_its_ends_once():
    assert packs_words.by_how_early(STEPS[0]) == "2 to 8 in 20"
    assert packs_words.by_how_early(CopyChances(1, 0.5, 0.5, 0.5, 0.51)) == "10 in 20"
    assert packs_words.by_how_early(CopyChances(9, 1, 0.01, 0.9, 1)) == (
        "under 1 in 20 to always"
    )
    assert packs_words.by_how_early(CopyChances(9, 1, 0.0, 0.9, 0.5)) == "never to 10 in 20"


def test_small_numbers_keep_their_digits():
    assert packs_words.added(0.025) == "1 in 20"
    assert packs_words.added(0.0249) == "under 1 in 20"
    assert packs_words.added(0.899) == packs_words.sure_in_twenty(0.899) == "17 in 20"
    assert packs_words.added(0.999) == "over 19 in 20"
    assert packs_words.added(0.0) == "nothing"
    assert packs_words.added(1.0) == "20 in 20"
    assert packs_words.mean(0.0) == "0.0"
    assert packs_words.for_each(GUESTS, 5) == "0.4 to 1.2"
    assert packs_words.for_each(replace(GUESTS, dealt=CountRange(5, 5, 5)), 5) == "1"


def test_what_is_left_or_lacks_is_counted():
    assert packs_words.left_over(MAIN) == "292"
    assert packs_words.left_over(replace(LANTERN, needed=28)) == "0"
    assert packs_words.left_over(replace(LANTERN, needed=30)) == "2 too few"


def test_cards_without_copies_are_named_up_to_a_number():
    few, many = replace(SEEN, absent=("Moth",)), replace(SEEN, absent=tuple("abcdefghij"))

    assert packs_words.absent_sentence(few) == "Without copies, and so never dealt: Moth."
    assert packs_words.absent_sentence(many).endswith(": a, b, c, d, e, f, g, h and 2 more.")
