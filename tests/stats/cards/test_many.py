"""Many calls at once."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats.multitest import multipletests

from winrate_tools.errors import LevelError
from winrate_tools.stats.cards.many import benjamini_hochberg, expected_wrong, largest_list

CHANCES = st.lists(st.floats(0, 1), max_size=8)

# Benjamini and Hochberg (1995), JRSS B 57:289-300, section 4.1: 15 tests of a thrombolysis
# trial (values from memory). The adjusted ones are from R's p.adjust, printed to six decimals.
THROMBOLYSIS = [
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344,
    0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.000,
]  # fmt: skip
THROMBOLYSIS_ADJUSTED = [
    0.0015, 0.003, 0.0095, 0.035625, 0.0603, 0.063857, 0.063857, 0.0645,
    0.0765, 0.486, 0.581182, 0.714875, 0.753231, 0.813214, 1,
]  # fmt: skip


def test_expects_the_calls_that_miss():
    assert expected_wrong([0.9, 0.75, 1.0]) == pytest.approx(0.35)


def test_expects_nothing_wrong_in_an_empty_list():
    assert expected_wrong([]) == 0


def test_expected_wrong_is_what_happens_to_calls_of_those_chances():
    rng = np.random.default_rng(5)
    chances = rng.uniform(0.6, 1, 40)

    wrong = (rng.random((20_000, 40)) > chances).sum(axis=1)

    assert expected_wrong(chances) == pytest.approx(
        wrong.mean(), abs=4 * wrong.std() / 20_000**0.5
    )


@given(chances=CHANCES, share=st.floats(0.01, 0.99))
def test_no_longer_list_of_any_cards_stays_under_the_share(chances: list[float], share: float):
    longest = max(
        (
            length
            for length in range(len(chances) + 1)
            for cards in combinations(chances, length)
            if sum(1 - chance for chance in cards) <= share * length + 1e-12 * length
        ),
        default=0,
    )

    assert len(largest_list(chances, share)) == longest


@given(chances=CHANCES, share=st.floats(0.01, 0.99))
def test_lists_the_largest_chances_first(chances: list[float], share: float):
    listed = largest_list(chances, share)

    best = sorted(chances, reverse=True)[: len(listed)]
    assert [chances[place] for place in listed] == best
    assert len(set(listed.tolist())) == len(listed)


def test_stops_where_the_share_would_be_passed():
    assert largest_list([0.5, 0.99, 0.88, 0.95], share=0.06).tolist() == [1, 3, 2]
    assert largest_list([0.5, 0.99, 0.88, 0.95], share=0.0599).tolist() == [1, 3]


def test_a_list_exactly_at_the_share_is_whole_whatever_the_last_digit_says():
    assert len(largest_list([0.9] * 10, share=0.1)) == 10
    assert len(largest_list([0.7] * 7, share=0.3)) == 7


def test_cards_of_one_chance_keep_their_order():
    assert largest_list([0.9, 0.95, 0.9, 0.95], share=0.2).tolist() == [1, 3, 0, 2]


def test_chances_too_small_to_change_one_keep_their_order_too():
    assert largest_list([1e-30, 1.0, 1e-20], share=0.9).tolist() == [1, 2, 0]


@pytest.mark.parametrize("chances", [[], [0.5, 0.6]])
def test_lists_nobody_where_nobody_is_sure_enough(chances: list[float]):
    listed = largest_list(chances, share=0.1)

    assert listed.shape == (0,)
    assert listed.dtype == np.intp


def test_matches_the_thrombolysis_trial():
    adjusted = benjamini_hochberg(THROMBOLYSIS)

    assert adjusted == pytest.approx(THROMBOLYSIS_ADJUSTED, abs=0.5e-6)
    assert np.count_nonzero(adjusted <= 0.05) == 4


@given(values=st.lists(st.floats(0, 1), min_size=1, max_size=30))
def test_agrees_with_statsmodels_in_any_order(values: list[float]):
    expected = multipletests(values, method="fdr_bh")[1]

    assert benjamini_hochberg(values) == pytest.approx(expected)


def test_a_test_not_done_stays_unknown_and_does_not_count():
    adjusted = benjamini_hochberg([0.04, float("nan"), 0.01, float("nan")])

    assert adjusted == pytest.approx([0.04, float("nan"), 0.02, float("nan")], nan_ok=True)


@pytest.mark.parametrize("values", [[], [float("nan")]])
def test_adjusts_nothing_where_nothing_was_tested(values: list[float]):
    adjusted = benjamini_hochberg(values)

    assert adjusted.shape == (len(values),)
    assert np.isnan(adjusted).all()


@pytest.mark.parametrize("chance", [-0.1, 1.1, float("nan"), float("inf")])
def test_refuses_a_chance_outside_zero_to_one(chance: float):
    with pytest.raises(LevelError, match=rf"^chances must lie from 0 to 1, got {chance}$"):
        expected_wrong([0.5, chance])
    with pytest.raises(LevelError, match=r"^chances_below must lie from 0 to 1, got"):
        largest_list([0.5, chance], share=0.1)


@pytest.mark.parametrize("value", [-0.1, 1.1, float("inf")])
def test_refuses_a_value_to_adjust_outside_zero_to_one(value: float):
    with pytest.raises(LevelError, match=rf"^p_values must lie from 0 to 1, got {value}$"):
        benjamini_hochberg([0.5, value])


@pytest.mark.parametrize("share", [0, 1, -0.1, 10, float("nan")])
def test_refuses_a_share_outside_zero_to_one(share: float):
    with pytest.raises(LevelError, match=r"^share must lie strictly between 0 and 1, got"):
        largest_list([0.5], share)
