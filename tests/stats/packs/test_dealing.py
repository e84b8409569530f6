"""Cards dealt from a pool without putting back."""

from itertools import combinations
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from winrate_tools.errors import CountError, LevelError
from winrate_tools.stats.packs.dealing import (
    chance_dealt,
    count_quantile,
    count_range,
    counts_together,
    dealt_counts,
    kinds_dealt,
)

# Manual of MATLAB, hygepdf(0:5, 100, 20, 10), four printed decimals.
MATLAB = [0.0951, 0.2679, 0.3182, 0.2092, 0.0841, 0.0215]
# Manual of the NAG library, routine g01bl: pool, marked, dealt, k, then the chances of at most
# k, of more, and of exactly k, three printed decimals.
NAG = [
    (10, 2, 5, 1, 0.778, 0.222, 0.556),
    (40, 10, 3, 2, 0.988, 0.012, 0.137),
    (155, 35, 122, 22, 0.011, 0.989, 0.008),
    (1000, 444, 500, 220, 0.424, 0.576, 0.049),
]
# Matches in a lottery of 6 out of 49, counted by hand.
LOTTERY = [6096454, 5775588, 1851150, 246820, 13545, 258, 1]


@st.composite
def deals(draw):
    pool = draw(st.integers(1, 80))
    return draw(st.integers(0, pool)), pool, draw(st.integers(0, pool))


def test_counts_match_the_manual_of_matlab():
    chances = dealt_counts(20, 100, 10)

    np.testing.assert_allclose(chances[:6], MATLAB, atol=0.5e-4)
    assert chances[:3].sum() == pytest.approx(0.6812, abs=0.5e-4)


@pytest.mark.parametrize(("pool", "marked", "dealt", "k", "most", "more", "exactly"), NAG)
def test_counts_match_the_manual_of_nag(pool, marked, dealt, k, most, more, exactly):
    chances = dealt_counts(marked, pool, dealt)

    assert chances[: k + 1].sum() == pytest.approx(most, abs=0.5e-3)
    assert chances[k + 1 :].sum() == pytest.approx(more, abs=0.5e-3)
    assert chances[k] == pytest.approx(exactly, abs=0.5e-3)


def test_counts_match_a_lottery_and_a_lady_tasting_tea():
    lottery, tea = dealt_counts(6, 49, 6), dealt_counts(4, 8, 4)

    np.testing.assert_allclose(lottery, np.array(LOTTERY) / 13983816, rtol=1e-13)
    # Fisher (1935), The Design of Experiments, chapter II (from memory).
    np.testing.assert_allclose(tea, np.array([1, 16, 36, 16, 1]) / 70, rtol=1e-14)


@pytest.mark.parametrize(
    ("pool", "marked", "dealt", "at_most", "chance"),
    # Feller, volume I, section II.6, fish caught twice: 1000 marked, 1000 caught, 100 marked
    # among them; recomputed to more digits than are printed.
    [(8500, 1000, 1000, 100, 0.0346771), (12000, 1000, 1000, 99, 1 - 0.0288747)],
)
def test_tails_match_feller(pool, marked, dealt, at_most, chance):
    below = dealt_counts(marked, pool, dealt)[: at_most + 1].sum()

    assert below == pytest.approx(chance, abs=0.5e-7)


def test_a_state_is_represented_as_often_as_feller_prints():
    # Feller, volume I, section II.4: 50 of 100 senators, two from each state.
    assert chance_dealt(2, 100, 50) == pytest.approx(0.7525252525, abs=0.5e-10)


@given(deals())
def test_counts_are_those_of_scipy(deal):
    copies, pool, dealt = deal

    expected = stats.hypergeom(pool, copies, dealt).pmf(np.arange(copies + 1))
    np.testing.assert_allclose(dealt_counts(*deal), expected, atol=1e-12)


@given(deals())
def test_a_chance_is_the_formula_with_binomial_coefficients(deal):
    copies, pool, dealt = deal

    exact = 1 - comb(pool - copies, dealt) / comb(pool, dealt)
    assert chance_dealt(copies, pool, dealt) == pytest.approx(exact, abs=1e-12)
    assert chance_dealt(copies, pool, dealt) == pytest.approx(
        1 - dealt_counts(*deal)[0], abs=1e-12
    )


@given(st.integers(2, 60), st.data())
def test_every_further_copy_adds_less(pool, data):
    dealt = data.draw(st.integers(1, pool - 1))

    gains = np.diff(chance_dealt(np.arange(pool + 1), pool, dealt))
    assert gains[0] == pytest.approx(dealt / pool)
    assert (gains >= -1e-12).all()
    assert (np.diff(gains) <= 1e-12).all()


def test_chances_broadcast_and_keep_their_shape():
    chances = chance_dealt([[1], [2]], 360, [135, 0, 360])

    assert chances.shape == (2, 3)
    np.testing.assert_allclose(chances[:, 0], [0.375, 0.6100278552], atol=1e-10)
    np.testing.assert_array_equal(chances[:, 1:], [[0, 1], [0, 1]])
    assert chance_dealt(1, 4, 1).shape == ()
    assert chance_dealt([], 4, 1).shape == (0,)


@given(st.integers(1, 30), st.integers(1, 30), st.data())
def test_two_groups_of_one_slot_are_one_group(first, second, data):
    pool = first + second + data.draw(st.integers(0, 20))
    dealt = data.draw(st.integers(0, pool))

    # Vandermonde: given how many of the first kind come, the second is dealt from the rest.
    whole = np.zeros(first + second + 1)
    for x, chance in enumerate(dealt_counts(first, pool, dealt)):
        if chance > 0:
            rest = chance * dealt_counts(second, pool - first, dealt - x)
            whole[x : x + second + 1] += rest
    np.testing.assert_allclose(whole, dealt_counts(first + second, pool, dealt), atol=1e-12)


def test_independent_counts_add_up():
    parts = [dealt_counts(3, 9, 4), dealt_counts(2, 5, 2), dealt_counts(0, 7, 3)]

    together = counts_together(parts)
    assert together @ np.arange(len(together)) == pytest.approx(3 * 4 / 9 + 2 * 2 / 5)
    assert together[0] == pytest.approx(parts[0][0] * parts[1][0])
    assert together[5] == pytest.approx(parts[0][3] * parts[1][2])
    np.testing.assert_array_equal(counts_together([]), [1.0])


def test_quantiles_match_the_manual_of_matlab():
    chances = dealt_counts(10, 1000, 50)

    assert count_quantile(chances, 0.99) == 3
    assert count_quantile(chances, 0.5) == 0


@given(deals(), st.sampled_from([0.5, 0.8, 0.9, 0.98]))
def test_a_range_is_the_tightest_with_so_little_beyond_either_end(deal, level):
    chances = dealt_counts(*deal)
    mean, low, high = count_range(chances, level)
    tail = (1 - level) / 2 + 1e-9

    assert mean == pytest.approx(deal[0] * deal[2] / deal[1])
    assert chances[:low].sum() <= tail
    assert chances[high + 1 :].sum() <= tail
    assert chances[: low + 1].sum() >= tail - 2e-9
    assert chances[high:].sum() >= tail - 2e-9


def test_a_tail_of_exactly_a_tenth_stays_outside():
    assert count_range(np.full(10, 0.1), 0.8)[1:] == (0, 8)


@pytest.mark.parametrize("level", [0.5, 0.8, 0.95, 0.99])
@pytest.mark.parametrize("copies", [[1, 2, 3, 0, 4], [1] * 5 + [2] * 4, [3, 3, 3, 3]])
def test_the_number_of_different_cards_is_that_of_all_deals(copies, level):
    cards = [card for card, number in enumerate(copies) for _ in range(number)]
    kinds = [len(set(deal)) for deal in combinations(cards, 5)]
    reach = stats.norm.ppf((1 + level) / 2) * np.std(kinds)

    mean, low, high = kinds_dealt([(copies, 5)], level)

    assert mean == pytest.approx(np.mean(kinds))
    assert low == round(np.mean(kinds) - reach)
    assert high == min(round(np.mean(kinds) + reach), np.count_nonzero(copies))


def test_different_cards_of_two_slots_add_up():
    first, second = ([1] * 40 + [2] * 60, 70), ([1] * 30, 10)
    alone = kinds_dealt([first])

    both = kinds_dealt([first, second])

    assert both.mean == pytest.approx(alone.mean + 10)
    assert (both.low, both.high) == (alone.low + 10, alone.high + 10)


def test_different_cards_are_never_fewer_than_none_nor_more_than_there_are():
    assert kinds_dealt([([5, 5], 1)], 0.99)[1:] == (1, 1)
    assert kinds_dealt([([2, 2], 2)], 0.999999)[1:] == (0, 2)
    assert kinds_dealt([([2, 2, 0], 2)], 0.999999)[1:] == (0, 2)


@pytest.mark.parametrize(
    ("copies", "pool", "dealt", "message"),
    [
        (5, 4, 2, "copies must be from 0 to the pool's 4 cards, got 5"),
        (-1, 4, 2, "copies must be from 0 to the pool's 4 cards, got -1"),
        (2, 4, 5, "cards dealt must be from 0 to the pool's 4 cards, got 5"),
        (2, 4, -1, "cards dealt must be from 0 to the pool's 4 cards, got -1"),
    ],
)
def test_what_no_pool_holds_is_refused(copies, pool, dealt, message):
    with pytest.raises(CountError, match=message):
        dealt_counts(copies, pool, dealt)
    with pytest.raises(CountError, match=message):
        chance_dealt([copies, 1], pool, dealt)


@pytest.mark.parametrize("level", [0, 1, 80])
def test_a_level_is_a_chance(level):
    with pytest.raises(LevelError, match="level must lie strictly between 0 and 1, got"):
        count_quantile(np.ones(1), level)
    with pytest.raises(LevelError, match="level must lie strictly between 0 and 1, got"):
        kinds_dealt([([1], 1)], level)
