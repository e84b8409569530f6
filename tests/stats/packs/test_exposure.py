"""What one seat of a table gets to see."""

from collections.abc import Iterator
from itertools import combinations, permutations, product
from statistics import mean

import numpy as np
import pytest
from scipy import stats

from winrate_tools.errors import CountError, SettingError
from winrate_tools.stats.packs.exposure import (
    Draft,
    cards_passing,
    chance_seen,
    most_packs,
    most_seats,
    places_seen,
)


def sights_of_all_drafts(draft: Draft, main: int, special: int) -> Iterator[set[int]]:
    """Cards that the first seat sees, over every deal of one round and every way to pick."""
    places = draft.size - (special > 0)
    for deal in permutations(range(main), draft.seats * places):
        for extra in permutations(range(main, main + special), draft.seats * (special > 0)):
            packs = [
                (*deal[seat * places : (seat + 1) * places], *extra[seat : seat + 1])
                for seat in range(draft.seats)
            ]
            left = [combinations(packs[t], draft.size - t) for t in range(len(draft.looks))]
            for views in product(*left):
                yield {card for view in views for card in view}


def drafted_sights(draft: Draft, pool: int, copies: int, drafts: int, rank: float) -> float:
    """Share of simulated drafts in which the first seat sees a card.

    Picks are at random but for the card's copies, which go by `rank`: 1 at sight, -1 last, 0 as
    any other.
    """
    rng = np.random.default_rng(7)
    seen = 0
    for _ in range(drafts):
        deal = rng.permutation(pool)[: draft.opened * draft.size]
        rounds = deal.reshape(draft.packs, draft.seats, draft.size)
        seen += any(_sees(list(map(list, packs)), copies, rank, rng) for packs in rounds)
    return seen / drafts


def _sees(packs: list[list[int]], copies: int, rank: float, rng: np.random.Generator) -> bool:
    while packs[0]:
        if min(packs[0]) < copies:
            return True
        for pack in packs:
            liking = rng.random(len(pack)) + 2 * rank * (np.array(pack) < copies)
            pack.pop(int(np.argmax(liking)))
        packs = [*packs[1:], packs[0]]
    return False


@pytest.mark.parametrize(
    ("seats", "size", "cards"),
    # Sums of S - t by hand; 92 and 276 for 8 seats are those of common practice (no source).
    [(8, 15, 92), (2, 15, 29), (15, 15, 120), (20, 15, 120), (3, 1, 1)],
)
def test_the_cards_that_pass_a_seat_are_those_left_in_each_pack(seats, size, cards):
    assert cards_passing(Draft(seats, 3, size)) == cards


def test_the_number_of_cards_seen_of_all_places_is_certain():
    draft = Draft(8, 3, 15)

    chances = places_seen(draft, 15)

    assert len(chances) == 8 * 3 * 15 + 1
    assert chances[276] == pytest.approx(1)


def test_the_cards_seen_of_a_slot_are_its_share_of_all_cards_seen():
    draft = Draft(5, 3, 15)
    one, rest = places_seen(draft, 1), places_seen(draft, 14)

    assert one @ np.arange(len(one)) == pytest.approx(195 / 15)
    # What one slot shows the other does not: the two mirror each other.
    assert len(one) == 16
    np.testing.assert_allclose(rest[180 : 180 + 16], one[::-1], atol=1e-12)


@pytest.mark.parametrize("places", [3, 4, 5, 6])
def test_the_cards_seen_of_a_large_slot_are_those_of_every_pack_that_comes_by(places):
    draft = Draft(3, 2, 6)
    packs = [stats.hypergeom(6, places, look).pmf(np.arange(places + 1)) for look in (6, 5, 4)]

    expected = np.ones(1)
    for pack in packs * 2:
        expected = np.convolve(expected, pack)
    np.testing.assert_allclose(places_seen(draft, places), expected, atol=1e-14)


@pytest.mark.parametrize("places", [-1, 16])
def test_places_that_a_pack_does_not_have_are_refused(places):
    with pytest.raises(CountError, match=f"copies must be from 0 to .* 15 cards, got {places}"):
        places_seen(Draft(8, 3, 15), places)


@pytest.mark.parametrize(("seats", "size", "pool"), [(2, 2, 5), (3, 2, 6), (2, 3, 6)])
@pytest.mark.parametrize("copies", [1, 2])
def test_a_sight_is_that_of_all_deals_and_picks(seats, size, pool, copies):
    draft = Draft(seats, 1, size)
    share = mean(min(cards) < copies for cards in sights_of_all_drafts(draft, pool, 0))

    assert chance_seen(copies, pool, draft).usual == pytest.approx(share)


@pytest.mark.parametrize(("main", "special"), [(3, 2), (2, 4), (4, 3)])
def test_a_sight_of_a_special_slot_is_that_of_all_deals_and_picks(main, special):
    draft = Draft(2, 1, 2)
    sights = list(sights_of_all_drafts(draft, main, special))

    of_main, of_special = mean(0 in cards for cards in sights), mean(main in c for c in sights)
    assert chance_seen(1, main, draft, 1).usual == pytest.approx(of_main)
    assert chance_seen(1, special, draft, 1).usual == pytest.approx(of_special)


@pytest.mark.parametrize(("rank", "which"), [(1, "low"), (0, "usual"), (-1, "high")])
def test_drafts_played_out_agree_with_each_way_to_take_a_card(rank, which):
    draft, drafts = Draft(4, 2, 6), 1500
    exact = float(getattr(chance_seen(2, 70, draft), which))

    share = drafted_sights(draft, 70, 2, drafts, rank)

    assert abs(share - exact) <= 4 * np.sqrt(exact * (1 - exact) / drafts)


def test_more_seats_than_cards_show_no_more_packs():
    few, many = Draft(6, 2, 6), Draft(9, 2, 6)

    assert chance_seen(1, 200, few).usual == chance_seen(1, 200, many).usual
    assert chance_seen(1, 200, many).high == pytest.approx(2 * 6 * 6 / 200)


def test_sights_keep_their_order_and_grow_with_copies():
    low, usual, high = chance_seen(np.arange(6), 540, Draft(8, 3, 15), 14)

    assert (low <= usual).all()
    assert (usual <= high).all()
    assert low[0] == usual[0] == high[0] == 0
    assert (np.diff(usual) > 0).all()
    assert usual[1] == pytest.approx(276 * 14 / 15 / 540)
    assert low[1] == pytest.approx(3 * 14 / 540)
    assert high[1] == pytest.approx(24 * 14 / 540)


def test_a_slot_without_places_shows_nothing():
    low, usual, high = chance_seen([1, 2], 5, Draft(8, 3, 15), 0)

    assert [*low, *usual, *high] == [0] * 6


def test_the_largest_table_is_the_one_that_the_scarcest_slot_serves():
    draft = Draft(8, 3, 15)
    slots = [(540, 14), (28, 1), (5, 0)]

    assert most_seats(draft, slots) == 28 // 3
    assert most_packs(draft, slots) == 28 // 8
    assert most_seats(draft, [(540, 15)]) == 12
    assert most_packs(draft, [(540, 15)]) == 4
    assert most_packs(draft, [(119, 15)]) == 0
    assert most_packs(draft, [(120, 15)]) == 1


def test_a_pool_too_small_is_refused():
    with pytest.raises(CountError, match="pool must hold 360 cards to be dealt, got 359"):
        chance_seen(1, 359, Draft(8, 3, 15))


@pytest.mark.parametrize(
    ("seats", "packs", "size", "message"),
    [
        (1, 3, 15, "seats must be a whole number from 2 to 100, got 1"),
        (101, 3, 15, "seats must be a whole number from 2 to 100, got 101"),
        (8, 0, 15, "packs must be a whole number from 1 to 20, got 0"),
        (8, 3, 0, "size must be a whole number from 1 to 100, got 0"),
    ],
)
def test_a_table_that_nobody_drafts_at_is_refused(seats, packs, size, message):
    with pytest.raises(SettingError, match=message):
        Draft(seats, packs, size)
