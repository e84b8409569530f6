"""How many copies of a card."""

import numpy as np
import pytest

from tests.decide.planning import DRAWS, card_verdict, stock
from winrate_tools.decide.plan.copies import (
    Advice,
    CopyFlags,
    copies_advice,
    copy_flags,
    most_copies,
    usual_copies,
)
from winrate_tools.errors import SettingError
from winrate_tools.goals import Goals
from winrate_tools.pools import PoolCard

COMMON = [PoolCard(f"common {i}", 3, "Cog", "common", "tool") for i in range(4)]
RARE = [PoolCard(f"rare {i}", 1, "Cog", "Rare", "guest") for i in range(3)]
NONE = np.zeros(8, dtype=bool)


def shelf(counts: list[int] | None = None, effects: list[float] | None = None, **facts):
    new = PoolCard("new", 9, "Quill", "common", "tool")
    return stock(
        [*COMMON, *RARE, new],
        counts or [3, 3, 4, 2, 1, 1, 2, 0],
        effects or [0.0] * 8,
        **facts,
    )


def flagged(*places: int) -> np.ndarray:
    return np.isin(np.arange(8), places)


def test_the_usual_number_is_the_commonest_of_the_rarity():
    assert usual_copies(shelf()) == {"common": 3, "rare": 1}
    assert usual_copies(shelf([3, 3, 2, 2, 1, 1, 1, 0]))["common"] == 2


def test_the_limit_is_the_owners_else_the_most_there_are():
    assert most_copies(shelf(), Goals()) == {"common": 4, "rare": 2}
    assert most_copies(shelf(), Goals(copies=(("COMMON", 2),)))["common"] == 2


def test_each_reason_moves_the_usual_number_by_one():
    found = CopyFlags(flagged(0), flagged(1), flagged(2, 4))

    advice = copies_advice(shelf(), found, Goals())

    assert advice[0] == Advice(2, 4, ("strong",))
    assert advice[1] == Advice(2, 4, ("marginal",))
    assert advice[2] == Advice(4, 4, ("essential",))
    assert advice[3] == Advice(3, 4, ())
    assert advice[4] == Advice(2, 2, ("essential",))
    assert advice[7] == Advice(3, 4, ())


def test_copies_stay_within_one_and_the_limit():
    found = CopyFlags(flagged(4), flagged(4), flagged(0))

    advice = copies_advice(shelf(), found, Goals(copies=(("common", 3),)))

    assert advice[4] == Advice(1, 2, ("strong", "marginal"))
    assert advice[0] == Advice(3, 3, ("essential",))


def test_a_limit_under_the_usual_number_lowers_it():
    advice = copies_advice(shelf(), CopyFlags(NONE, NONE, NONE), Goals(copies=(("common", 2),)))

    assert [one.copies for one in advice[:4]] == [2, 2, 2, 2]


def test_a_rarity_that_the_pool_lacks_starts_at_one():
    shelves = stock([PoolCard("a", 2), PoolCard("b", 2, rarity="odd")], [2, 0], [0.0] * 2)

    advice = copies_advice(shelves, CopyFlags(*[np.zeros(2, bool)] * 3), Goals())

    assert [one.copies for one in advice] == [2, 1]


def test_strong_weak_and_doubtful_cards_are_told_apart():
    effects = [0.5, -0.5, -0.09, 0.0, 0.0, 0.0, 0.0, 0.0]

    found = copy_flags(shelf(effects=effects, sd=0.01), line=0.48, baseline=0.5, sure=0.9)

    assert found.is_strong.tolist() == [True, *[False] * 7]
    assert not found.is_marginal[1]
    assert not found.is_marginal[3]


def test_a_doubtful_card_is_marginal_and_so_is_an_unplayed_one():
    verdicts = [None] * 8
    verdicts[3] = card_verdict("common 3", reasons=("unplayed",))
    effects = [-0.09, *[0.0] * 7]

    found = copy_flags(
        shelf(effects=effects, sd=0.02, verdicts=verdicts), line=0.48, baseline=0.5, sure=0.9
    )

    assert found.is_marginal.tolist() == [True, False, False, True, *[False] * 4]


def test_sound_cards_of_a_scarce_part_are_essential():
    cards = [
        *(PoolCard(f"a{i}", 1, "Cog", role="tool") for i in range(3)),
        *(PoolCard(f"b{i}", 1, "cog", role="Guest") for i in range(2)),
        PoolCard("c", 1, "Cog"),
        PoolCard("new", 1, "Quill", role="tool"),
    ]
    shelves = stock(cards, [1] * 6 + [0], [0, 0, 0, 0, -0.5, 0, 0], sd=0.001)

    found = copy_flags(shelves, line=0.48, baseline=0.5, sure=0.9)

    assert found.is_essential.tolist() == [False] * 3 + [True, False, False, True]


def borderline(below: int, sure: float) -> CopyFlags:
    """Stand the only card of its part, of which so many of 200 draws lie below the line."""
    one = stock([PoolCard("a", 1, "Cog", role="tool")], [1], [0.0])
    one.effects[:, 0] = one.effect(0.48) + np.where(np.arange(DRAWS) < below, -0.01, 0.01)
    return copy_flags(one, line=0.48, baseline=0.5, sure=sure)


@pytest.mark.parametrize(
    ("below", "doubtful"), [(99, False), (100, True), (149, True), (150, False)]
)
def test_a_card_is_doubtful_from_an_even_chance_until_it_is_sure(below: int, doubtful: bool):
    assert borderline(below, 0.75).is_marginal[0] == doubtful


@pytest.mark.parametrize(("below", "sound"), [(50, True), (51, False)])
def test_a_card_is_sound_if_it_is_sure_enough_not_to_be_weak(below: int, sound: bool):
    assert borderline(below, 0.75).is_essential[0] == sound


@pytest.mark.parametrize(
    ("rarity", "hint"),
    [("comon", r"rarity 'comon'; did you mean 'common'\?"), ("odd", r"are common, Rare$")],
)
def test_a_limit_for_a_rarity_that_no_card_has_is_refused(rarity: str, hint: str):
    with pytest.raises(SettingError, match=hint):
        most_copies(shelf(), Goals(copies=(("common", 3), (rarity, 1))))
