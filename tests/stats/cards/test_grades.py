"""Grades: cards that the data cannot tell apart share one."""

from itertools import product
from time import process_time

import numpy as np
import numpy.typing as npt
import pytest

from winrate_tools.errors import SettingError
from winrate_tools.stats.cards import grades as module
from winrate_tools.stats.cards.grades import grades
from winrate_tools.stats.cards.ranks import places

Numbers = npt.NDArray[np.float64]
QUICK = 0.2
"""Seconds for 300 cards and 2,000 draws."""


def drawn(seed: int, cards: int, *, spread: float = 1.0, noise: float = 0.7) -> Numbers:
    rng = np.random.default_rng(seed)
    mean = spread * rng.standard_normal(cards)
    return mean + noise * rng.uniform(0.3, 1.5, cards) * rng.standard_normal((400, cards))


def chance_below(draws: Numbers) -> Numbers:
    """Share of the draws in which the row's card lies below the column's."""
    return (draws[:, :, None] < draws[:, None, :]).mean(axis=0)


def cost(grade: Numbers, order: Numbers, right: Numbers, worth: float) -> float:
    """Cost of the pairs left together, pair by pair."""
    pairs = [
        worth * right[i, j] - (1 - right[i, j])
        for place, i in enumerate(order)
        for j in order[place + 1 :]
        if grade[i] == grade[j]
    ]
    return float(sum(pairs))


@pytest.mark.parametrize("worth", [0.1, 0.25, 0.6, 1.0])
@pytest.mark.parametrize("seed", range(4))
def test_no_other_cuts_of_the_order_cost_less(seed: int, worth: float):
    draws = drawn(seed, 8)
    order, right = draws.mean(axis=0).argsort(), chance_below(draws)

    graded = grades(draws, worth=worth)

    found = cost(graded.grade, order, right, worth)
    others = []
    for cuts in product([0, 1], repeat=7):
        grade = np.empty(8)
        grade[order] = np.cumsum([1, *cuts])
        others.append(cost(grade, order, right, worth))
    assert found == pytest.approx(min(others))


def test_a_pair_is_told_apart_from_four_in_five_on():
    rng = np.random.default_rng(1)
    noise = rng.standard_normal(20_000) * np.sqrt(2)
    below, above = (np.column_stack([np.zeros(20_000), gap + noise]) for gap in (1.16, 1.22))

    assert np.mean(noise > -1.16) < 0.8 < np.mean(noise > -1.22)
    assert grades(below).grade.tolist() == [1, 1]
    assert grades(above).grade.tolist() == [1, 2]


def test_a_full_worth_gives_a_full_ranking():
    draws = drawn(2, 12)

    graded = grades(draws, worth=1)

    assert graded.grade.tolist() == (draws.mean(axis=0).argsort().argsort() + 1).tolist()


def test_grades_follow_the_means_and_leave_none_out():
    draws = drawn(3, 60)
    graded = grades(draws)

    in_order = graded.grade[draws.mean(axis=0).argsort()]
    assert set(np.diff(in_order)) == {0, 1}
    assert in_order[0] == 1


def test_cards_alike_share_one_grade():
    graded = grades(np.random.default_rng(4).standard_normal((2000, 20)))

    assert set(graded.grade) == {1}
    assert graded.misorder == 0


def test_one_card_has_one_grade():
    assert grades(np.array([[0.3], [0.1]])).grade.tolist() == [1]


def test_a_higher_worth_gives_more_grades_and_more_mistakes():
    few, many = (grades(drawn(5, 80), worth=worth) for worth in (0.1, 0.5))

    assert few.grade.max() < many.grade.max()
    assert few.misorder < many.misorder


def test_as_many_pairs_are_the_wrong_way_round_as_it_says():
    rng = np.random.default_rng(6)
    predicted, actual = [], []
    for _ in range(20):
        truth = 0.08 * rng.standard_normal(150)
        noise = rng.uniform(0.03, 0.12, 150)
        seen = truth + noise * rng.standard_normal(150)
        share = 0.08**2 / (0.08**2 + noise**2)
        draws = share * seen + np.sqrt(share) * noise * rng.standard_normal((800, 150))

        graded = grades(draws)

        apart = graded.grade[:, None] < graded.grade[None, :]
        predicted.append(graded.misorder)
        actual.append(np.mean((truth[:, None] > truth[None, :])[apart]))
    assert np.mean(predicted) == pytest.approx(np.mean(actual), abs=0.01)
    assert 0.02 < np.mean(predicted) < 0.2


@pytest.mark.parametrize("seed", range(4))
def test_the_pairs_told_apart_are_as_often_wrong_as_draws_have_them(seed: int):
    draws = drawn(seed, 30)
    right = chance_below(draws)

    graded = grades(draws)

    apart = graded.grade[:, None] < graded.grade[None, :]
    assert graded.misorder > 0
    assert graded.misorder == pytest.approx(1 - right[apart].mean(), abs=1e-12)


def test_draws_at_equal_steps_will_do_where_pairs_are_very_many(
    monkeypatch: pytest.MonkeyPatch,
):
    draws = 0.7 * np.arange(40.0) + np.random.default_rng(9).standard_normal((90, 40))
    some = grades(draws[::2])
    monkeypatch.setattr(module, "FEWEST_DRAWS", 30)
    monkeypatch.setattr(module, "MOST_COMPARISONS", 50 * 40**2)

    capped = grades(draws)

    assert capped.misorder == some.misorder
    monkeypatch.setattr(module, "MOST_COMPARISONS", 1)
    assert grades(draws).misorder == grades(draws[::3]).misorder


def test_means_that_differ_by_rounding_keep_the_order_of_the_cards():
    first = np.arange(10.0)
    second = first + 1 - 10 * (first == 0)
    draws = np.column_stack([first + 1e-15, second])

    assert first.mean() == second.mean()
    assert grades(draws).grade.tolist() == [1, 2]
    assert grades(draws[:, ::-1]).grade.tolist() == [1, 1]


def test_more_draws_than_a_byte_can_count_all_count():
    graded = grades(np.tile([0.0, 1.0], (8 * 256, 1)))

    assert graded.grade.tolist() == [1, 2]
    assert graded.misorder == 0


def test_places_that_are_known_are_used_and_left_alone():
    draws = drawn(5, 30)
    known = places(draws)

    assert np.array_equal(grades(draws, place=known).grade, grades(draws).grade)
    assert np.array_equal(known, places(draws))
    assert set(grades(draws, place=np.zeros_like(known)).grade) == {1}


def test_more_cards_than_a_byte_can_count_are_told_apart():
    draws = np.tile(np.arange(300.0), (3, 1))

    assert grades(draws).grade.tolist() == list(range(1, 301))


def test_three_hundred_cards_are_quick():
    rng = np.random.default_rng(8)
    draws = 0.08 * rng.standard_normal(300) + 0.06 * rng.standard_normal((2000, 300))
    seconds = []
    for _ in range(3):
        start = process_time()
        grades(draws)
        seconds.append(process_time() - start)

    assert min(seconds) < QUICK


@pytest.mark.parametrize("worth", [0, -0.1, 1.1, float("nan")])
def test_refuses_a_worth_out_of_bounds(worth: float):
    with pytest.raises(SettingError, match="worth must be above 0 and at most 1, got"):
        grades(drawn(1, 3), worth=worth)
