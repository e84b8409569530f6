"""Counts by card, group and fixed columns."""

import numpy as np
import pytest

from winrate_tools.errors import CountError
from winrate_tools.stats.crossed.cells import Cells

ONES = np.ones((2, 1))


def test_cards_and_groups_are_counted_to_the_highest_level():
    cells = Cells(
        np.zeros(2), np.ones(2), np.array([1, 6]), ONES, np.array([3, 0], dtype=np.uint8)
    )

    assert (cells.cards, cells.groups) == (7, 4)
    assert cells.group.dtype == np.intp


def test_whole_counts_become_numbers():
    cells = Cells(np.array([1, 2]), np.array([3, 4]), np.array([0, 1]), ONES)

    assert cells.wins.dtype == cells.games.dtype == np.float64
    assert cells.groups == 0


def test_no_rows_have_no_cards():
    none = np.zeros(0, dtype=int)

    assert Cells(np.zeros(0), np.zeros(0), none, np.ones((0, 1)), none).cards == 0


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"wins": [1.0, 2.0, 3.0]}, r"wins must have one entry a row, \(2,\), got \(3,\)"),
        ({"group": [0]}, r"group must have one entry a row, \(2,\), got \(1,\)"),
        ({"offset": [0.0]}, r"offset must have one entry a row, \(2,\), got \(1,\)"),
        ({"games": [[1.0, 2.0]]}, r"games must have one entry a row"),
        ({"fixed": [1.0, 1.0]}, r"fixed must have 2 rows and a column each, got \(2,\)"),
        ({"fixed": [[1.0]]}, r"fixed must have 2 rows and a column each, got \(1, 1\)"),
        ({"wins": [1.0, 6.0]}, r"0 <= wins <= games, got 6 of 5 in row 1"),
        ({"wins": [-1.0, 2.0]}, r"0 <= wins <= games, got -1 of 5 in row 0"),
        ({"wins": [np.nan, 2.0]}, r"got nan of 5 in row 0"),
        ({"games": [5.0, np.inf]}, r"got 2 of inf in row 1"),
        ({"card": [0, -1]}, "card must hold whole numbers from 0"),
        ({"card": [0.0, 1.0]}, "card must hold whole numbers from 0"),
        ({"group": [0, -1]}, "group must hold whole numbers from 0"),
        ({"fixed": [[1.0], [np.nan]]}, "fixed must hold finite numbers"),
        ({"offset": [0.0, np.inf]}, "offset must hold finite numbers"),
    ],
)
def test_refuses(change: dict[str, list[float]], message: str):
    given = {"wins": [1.0, 2.0], "games": [5.0, 5.0], "card": [0, 1], "fixed": ONES}

    with pytest.raises(CountError, match=message):
        Cells(**{name: np.array(value) for name, value in (given | change).items()})
