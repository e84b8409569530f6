"""What columns of checked tables must keep to."""

from types import SimpleNamespace

import numpy as np
import pytest

from winrate_tools import bounds
from winrate_tools.errors import CountError

NAN = float("nan")


def fields(**columns: object) -> SimpleNamespace:
    """Two kites, with some columns."""
    read = {name: bounds.numbers(values) for name, values in columns.items()}
    return SimpleNamespace(kite=("Ash", "Bee"), **read)


def test_numbers_are_copied_and_cannot_be_written():
    given = np.array([1.0, 2.0])
    column = bounds.numbers(given)
    given[0] = 9

    assert column is not None
    assert column.tolist() == [1, 2]
    with pytest.raises(ValueError, match="read-only"):
        column[0] = 3


def test_a_column_that_is_not_there_stays_none():
    assert bounds.numbers(None) is None


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("card", "every row needs a card name, got a blank one"),
        ("archetype", "every row needs an archetype name, got a blank one"),
    ],
)
def test_a_blank_name_is_refused(row: str, message: str):
    with pytest.raises(CountError, match=message):
        bounds.demand_columns(SimpleNamespace(**{row: ("Ash", " ")}), row, ())


def test_a_column_of_another_length_is_refused():
    with pytest.raises(CountError, match=r"games must have one entry a row \(2\), got 3"):
        bounds.demand_columns(fields(games=[1, 2, 3]), "kite", ("games",))


@pytest.mark.parametrize(
    ("value", "shown"), [(-1, "-1"), (2.5, "2.5"), (2e15, "2e[+]15"), (np.inf, "inf")]
)
def test_only_whole_numbers_from_0_count(value: float, shown: str):
    with pytest.raises(CountError, match=f"'Bee': games must be a whole number.*, got {shown}"):
        bounds.demand_count(fields(games=[0, value]), "kite", "games")


def test_unknown_counts_and_the_largest_are_welcome():
    table = fields(games=[NAN, bounds.MOST])

    bounds.demand_count(table, "kite", "games")

    assert np.isnan(table.games[0])


def test_a_part_is_at_most_its_whole_and_needs_it():
    with pytest.raises(CountError, match="'Ash': wins 5 is more than games 4"):
        bounds.demand_pair(fields(games=[4, 4], wins=[5, 1]), "kite", "wins", "games")
    with pytest.raises(CountError, match="'Bee': wins known without games"):
        bounds.demand_pair(fields(games=[4, NAN], wins=[4, 1]), "kite", "wins", "games")


def test_a_rule_is_told_with_the_first_row_that_breaks_it():
    with pytest.raises(CountError, match=r"^'Bee': pick must be small, got 7$"):
        bounds.demand(fields(pick=[1, 7]), "kite", "pick", lambda pick: pick > 5, "small")
