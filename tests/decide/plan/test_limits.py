"""From goals to limits and levels."""

from math import inf

import pytest

from tests.decide.planning import stock
from winrate_tools.decide.plan.copies import Advice
from winrate_tools.decide.plan.limits import levels_of, limits_of, prices
from winrate_tools.errors import CountError, SettingError
from winrate_tools.goals import Goals, Quota
from winrate_tools.pools import PoolCard

CARDS = (
    PoolCard("a", 3, "Cog", "common", "tool", 0.5, archetypes=("Kites", "Moths")),
    PoolCard("b", 1, "cog", "rare", "guest", None, is_protected=True),
    PoolCard("c", 2, "Quill", "common", None, 2.0, archetypes=("kites",)),
    PoolCard("d", 1, "Quill", "lantern", "lantern", 4.0, slot="lantern"),
    PoolCard("new", 2, "Quill", "common", "tool", 1.0),
)
SHELF = stock(CARDS, [3, 1, 2, 1, 0], [0.0] * 5)
FREE = Goals(keep=(), changes=None)


def limits(goals: Goals) -> dict[str, tuple[list[float], float, float, str]]:
    return {
        one.name: (one.weight.tolist(), one.low, one.high, one.of)
        for one in limits_of(SHELF, goals)
    }


def test_each_slot_keeps_its_size_unless_the_owner_says_another():
    sizes = {
        "cards in slot main": ([1, 1, 1, 0, 1], 6, 6, "copies"),
        "cards in slot lantern": ([0, 0, 0, 1, 0], 1, 1, "copies"),
    }

    assert limits(FREE) == sizes
    other = limits(Goals(keep=(), changes=None, size=9))
    assert other["cards in slot main"][1:3] == (9, 9)
    assert other["cards in slot lantern"] == sizes["cards in slot lantern"]


def test_counts_are_kept_by_label_whatever_its_case():
    found = limits(Goals(keep=("faction", "role"), changes=None))

    assert found["faction Cog"] == ([1, 1, 0, 0, 0], 4, 4, "copies")
    assert found["faction Quill"] == ([0, 0, 1, 1, 1], 3, 3, "copies")
    assert found["role tool"] == ([1, 0, 0, 0, 1], 3, 3, "copies")
    assert len(found) == 2 + 2 + 3


def test_slack_lets_kept_counts_move_but_not_below_none():
    found = limits(Goals(keep=("rarity",), slack=2, changes=None))

    assert found["rarity common"][1:3] == (3, 7)
    assert found["rarity rare"][1:3] == (0, 3)


def test_quotas_count_copies_that_carry_the_label():
    quotas = (Quota("archetype", "KITES", 4), Quota("role", "Tool", None, 5))

    found = limits(Goals(keep=(), changes=None, quotas=quotas))

    assert found["quota for archetype KITES"] == ([1, 0, 1, 0, 0], 4, inf, "copies")
    assert found["quota for role Tool"] == ([1, 0, 0, 0, 1], -inf, 5, "copies")


@pytest.mark.parametrize(
    ("quota", "hint"),
    [
        (Quota("faction", "Quil", 1), "no card has faction 'Quil'; did you mean 'Quill'?"),
        (Quota("role", "moon", 1), "no card has role 'moon'; there are tool, guest, lantern"),
    ],
)
def test_a_quota_for_a_label_that_no_card_has_is_refused(quota: Quota, hint: str):
    with pytest.raises(SettingError) as caught:
        limits_of(SHELF, Goals(quotas=(quota,)))

    assert str(caught.value) == f"quotas: {hint}"


def test_a_quota_for_a_label_of_no_card_at_all_is_refused():
    bare = stock([PoolCard("a", 1)], [1], [0.0])

    with pytest.raises(SettingError, match=r"there are none$"):
        limits_of(bare, Goals(quotas=(Quota("role", "moon", 1),)))


def test_box_money_and_changes_are_bounded():
    found = limits(Goals(keep=(), changes=4, budget=9, box_cards=8))

    assert found["cards in the box"] == ([1] * 5, -inf, 8, "copies")
    assert found["budget"] == ([0.5, 0, 2, 4, 1], -inf, 9, "added")
    assert found["copies that come in"] == ([1] * 5, -inf, 4, "added")
    assert found["copies that go out"] == ([1] * 5, -inf, 4, "removed")


def test_an_unknown_price_counts_for_nothing():
    assert prices(SHELF).tolist() == [0.5, 0, 2, 4, 1]


ADVICE = tuple(Advice(copies, 4, ()) for copies in (2, 2, 4, 1, 3))


def test_cards_move_whole_or_to_what_their_part_asks_for():
    found = levels_of(SHELF, ADVICE, Goals())

    assert found == ((0, 2, 3), (1,), (0, 2, 4), (0, 1), (0, 2))


def test_cards_move_copy_by_copy_where_the_owner_wants_it():
    found = levels_of(SHELF, ADVICE, Goals(whole=False))

    assert found == ((0, 1, 2, 3), (1,), (0, 1, 2, 3, 4), (0, 1), (0, 1, 2))


def test_unknown_cards_stay():
    shelf = stock(CARDS[:1], [3], [0.0], unknown=("a",))

    assert levels_of(shelf, ADVICE[:1], Goals()) == ((3,),)


def test_under_a_budget_a_card_without_price_gains_no_copies():
    shelf = stock([PoolCard("a", 1)], [1], [0.0])

    assert levels_of(shelf, (Advice(3, 4, ()),), Goals(budget=5)) == ((0, 1),)
    assert levels_of(shelf, (Advice(3, 4, ()),), Goals()) == ((0, 1, 3),)


def test_under_a_budget_a_candidate_needs_a_price():
    shelf = stock([PoolCard("a", 1)], [0], [0.0])

    with pytest.raises(CountError, match="'a' needs a price, since there is a budget"):
        levels_of(shelf, (Advice(1, 1, ()),), Goals(budget=0))
    assert levels_of(shelf, (Advice(1, 1, ()),), Goals()) == ((0, 1),)


def test_a_card_of_which_nothing_is_known_may_come_though_it_could_not_go():
    shelf = stock(CARDS, [3, 1, 2, 1, 0], [0.0] * 5, unknown=("c", "new"))

    levels = levels_of(shelf, (Advice(2, 4, ()),) * 5, FREE)

    assert levels[2] == (2,)
    assert max(levels[4]) == 2


def test_counts_of_a_label_that_only_candidates_carry_are_not_kept():
    bare = stock([PoolCard("a", 2), PoolCard("new", 2, "Cog", "rare")], [2, 0], [0.0] * 2)

    assert [one.name for one in limits_of(bare, Goals(changes=None))] == ["cards in slot main"]
