"""Rows gathered by their labels."""

import numpy as np
import pytest

from winrate_tools.errors import TableError
from winrate_tools.ingest.large import large_groups as module
from winrate_tools.ingest.large.large_groups import FirstLabels, Groups

NAN = float("nan")


def gathered(*batches, **columns) -> Groups:
    groups = Groups()
    at = 0
    for cards in batches:
        labels = np.array([[card, -1, -1] for card in cards]).T
        group, _ = groups.of(labels, np.arange(at, at + len(cards)))
        part = {
            role: np.array(column[at : at + len(cards)], dtype=float)
            for role, column in columns.items()
        }
        groups.add(group, part)
        at += len(cards)
    return groups


def test_groups_are_numbered_by_first_appearance_over_batches():
    groups = Groups()
    first, again = groups.of(
        np.array([[3, 0, -1], [1, 0, -1], [3, 0, -1]]).T, np.array([5, 6, 7])
    )
    second, later = groups.of(
        np.array([[3, 0, 2], [1, 0, -1], [3, 0, 2]]).T, np.array([8, 9, 10])
    )

    assert (first.tolist(), again.tolist()) == ([0, 1, 0], [False, False, True])
    assert (second.tolist(), later.tolist()) == ([2, 1, 2], [False, True, True])
    assert groups.line.tolist() == [5, 6, 8]
    assert groups.labels.tolist() == [[3, 0, -1], [1, 0, -1], [3, 0, 2]]


def test_games_of_unknown_wins_do_not_water_down_a_rate():
    groups = gathered(
        [0, 0, 1], [0, 1], games=[10, 20, 5, 40, NAN], wins=[4, NAN, NAN, 11, NAN]
    )

    assert groups.total("games").tolist() == [50, 5]
    assert groups.total("wins").tolist()[0] == 15
    assert np.isnan(groups.total("wins")[1])
    assert groups.rows.tolist() == [3, 2]


def test_a_group_that_knows_nothing_is_unknown():
    groups = gathered([0, 1], games=[NAN, 3], wins=[NAN, 1])

    assert np.isnan(groups.total("games")[0])
    assert groups.total("games")[1] == 3


def test_means_are_weighted_by_games():
    groups = gathered(
        [0, 0, 1], [1], games=[10, 30, 0, 0], wins=[1, 1, 0, 0], mean_pick=[2, 4, NAN, 7]
    )

    assert groups.total("mean_pick") == pytest.approx([3.5, 7])
    assert np.isnan(gathered([0], games=[1], wins=[1], mean_pick=[NAN]).total("mean_pick")[0])


def test_many_groups_are_added_to_in_place():
    cards = list(range(50))
    groups = gathered(cards, [3], [3, 3], games=[1] * 50 + [5, 6, 7], wins=[0] * 53)

    assert groups.total("games")[3] == 19
    assert groups.rows.sum() == 53


def test_more_cells_than_can_be_held_are_refused(monkeypatch):
    monkeypatch.setattr(module, "MOST_CELLS", 8)

    with pytest.raises(TableError, match="too many to hold"):
        Groups().of(np.array([[8, 0, 0]]).T, np.array([1]))


def test_known_whole_numbers_wait_until_there_are_many(monkeypatch):
    monkeypatch.setattr(module, "MANY", 4)
    groups = Groups()
    group, _ = groups.of(np.array([[0, 1, 0], [-1] * 3, [-1] * 3]), np.arange(3))
    groups.add_whole(group, {"games": np.array([5, 6, 7]), "wins": np.array([1, 2, 3])})
    waiting = groups.rows.tolist()
    groups.add_whole(group[:1], {"games": np.array([9]), "wins": np.array([0])})

    assert waiting == [0, 0]
    assert groups.rows.tolist() == [3, 1]
    assert groups.total("games").tolist() == [21, 6]
    assert groups.total("wins").tolist() == [4, 2]


def test_rows_that_know_all_and_rows_that_do_not_are_added_up_together():
    groups = Groups()
    group, _ = groups.of(np.array([[0, 1], [-1] * 2, [-1] * 2]), np.arange(2))
    groups.add_whole(group, {"games": np.array([5, 6]), "wins": np.array([1, 2])})
    groups.add(group, {"games": np.array([7.0, NAN]), "wins": np.array([NAN, NAN])})
    groups.settle()
    groups.settle()

    assert groups.rows.tolist() == [2, 2]
    assert groups.total("games").tolist() == [5, 6]
    assert groups.total("wins").tolist() == [1, 2]


def test_an_amount_counts_games_of_unknown_wins_too():
    groups = gathered([0, 0, 1, 1], games=[10, 20, NAN, 5], wins=[4, NAN, NAN, 3])

    assert groups.amount("games").tolist() == [30, 5]
    assert groups.amount("wins").tolist() == [4, 3]


def test_the_first_known_label_of_a_group_stays():
    first = FirstLabels()
    first.add("rarity", np.array([0, 1, 1]), np.array([-1, 7, 8]), 2)
    first.add("rarity", np.array([0, 2, 1, 0]), np.array([5, -1, 9, 6]), 4)

    assert first.codes["rarity"].tolist() == [5, 7, -1, -1]
