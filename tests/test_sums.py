"""The one rule by which rows are added up."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.sums import COUNTS, added_up, first_known

NAN = np.nan
UNKNOWN = st.none() | st.integers(0, 50)
ROWS = st.lists(st.tuples(st.integers(0, 3), UNKNOWN, UNKNOWN, UNKNOWN), min_size=1)


def columns(rows: list[tuple]) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    table = np.array(rows, dtype=float)
    names = ("games", "wins", "mean_pick")
    return table[:, 0].astype(int), dict(zip(names, table[:, 1:].T, strict=True))


@given(ROWS)
def test_counts_are_what_pandas_sums_over_rows_that_know_their_wins(rows):
    code, known = columns(rows)
    frame = pd.DataFrame({**known, "code": code})
    tells = frame["wins"].notna()
    frame.loc[~tells & tells.groupby(code).transform("any"), "games"] = NAN
    wanted = frame.groupby("code")[["games", "wins"]].sum(min_count=1)

    added = added_up(known, code, 4)
    for name in ("games", "wins"):
        np.testing.assert_array_equal(added[name][wanted.index], wanted[name])
        assert np.isnan(np.delete(added[name], wanted.index)).all()


@given(ROWS)
def test_other_numbers_are_what_numpy_averages_by_games(rows):
    code, known = columns(rows)
    weight = np.nan_to_num(known["games"]) + 1e-9
    told = ~np.isnan(known["mean_pick"])

    added = added_up(known, code, 4)["mean_pick"]
    for group in range(4):
        here = told & (code == group)
        if here.any():
            mean = np.average(known["mean_pick"][here], weights=weight[here])
            assert added[group] == pytest.approx(mean)
        else:
            assert np.isnan(added[group])


@pytest.mark.parametrize(
    ("part", "whole"),
    [("wins", "games"), ("unheld_wins", "unheld_games"), ("played", "drafted")],
)
def test_a_whole_counts_only_where_its_part_is_known_too(part: str, whole: str):
    numbers = {
        "games": np.array([1.0, 1]),
        part: np.array([NAN, 5]),
        whole: np.array([10, 20.0]),
    }
    added = added_up(numbers, np.array([0, 0]), 1)

    assert (added[part].tolist(), added[whole].tolist()) == ([5], [20])


@pytest.mark.parametrize("name", COUNTS)
def test_a_count_of_which_nobody_knows_stays_unknown(name: str):
    numbers = {"games": np.array([3.0, 4]), name: np.array([NAN, NAN])}

    assert np.isnan(added_up(numbers, np.array([0, 0]), 1)[name]).all()


def test_rows_without_games_weigh_alike():
    numbers = {"games": np.zeros(2), "mean_pick": np.array([2.0, 4])}

    assert added_up(numbers, np.array([0, 0]), 1)["mean_pick"] == pytest.approx([3])


def test_the_first_known_label_of_each_group_counts():
    labels = [None, "Wick", "Cog", None, "Oar"]

    assert first_known(labels, np.array([0, 1, 0, 2, 0]), 3) == ["Cog", "Wick", None]
