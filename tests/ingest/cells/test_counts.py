"""Counts and plain numbers of one column."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.errors import MappingError
from winrate_tools.ingest.cells.counts import read_count, read_plain_number, readings, settled
from winrate_tools.ingest.tables.cards import inspect_cards, read_cards


def test_blank_is_unknown_and_zero_is_zero():
    table = read_cards(b"Card,Games,Wins\nA,,\nB,0,0\nC,5,\nD,-,3\n")

    assert np.isnan(table.games).tolist() == [True, False, False, True]
    assert np.isnan(table.wins).tolist() == [True, False, True, True]
    assert table.games[1] == 0


def test_a_count_in_a_style_the_user_ruled_out_is_answered_with_the_option():
    found = inspect_cards(b"Card;Games;Wins\nA;1.204;5\nB;7;2\n", decimal=".").problems

    assert found[0].message == "games must be a whole number, got 1.204 for 'A'"
    assert found[0].fix.startswith("if the mark groups thousands, say which mark")


def test_counts_in_two_number_styles_are_refused_both_ways():
    mixed = b"Card;Games;Wins\nA;1.204.000;5\nB;1,204,000;2\nC;2.000.000;2\nD;1.204;1\n"
    undecided = b"Card;Games;Wins\nA;1.204;5\nB;1.300;2\nC;1,500;2\n"

    assert [p.place for p in inspect_cards(mixed).problems] == ["<memory>:3:2", "<memory>:5:2"]
    assert [p.place for p in inspect_cards(undecided).problems] == ["<memory>:4:2"]


def test_a_count_is_known_where_it_is_a_whole_number_from_0():
    part = read_count(view("Card,Games", "A,12", "B,0", "C,-1", "D,2.5", "E,", "F,x"), "games")

    np.testing.assert_array_equal(part.numbers["games"], [12, 0] + [np.nan] * 4)
    assert [found.row for found in part.findings] == [5, 2, 3]


def test_the_largest_count_is_exact_and_one_more_is_refused():
    part = read_count(view("Card,Games", f"A,{10**15}", f"B,{10**15 + 1}", "C,1"), "games")

    assert part.numbers["games"][0] == 10**15
    assert [found.problem.message for found in part.findings] == [
        "games must be at most 1e+15, got 1000000000000001 for 'B'"
    ]


def test_minus_zero_is_zero():
    wins = read_count(view("Card,Wins", "A,-0", "B,1"), "wins").numbers["wins"]

    assert not np.signbit(wins).any()


@pytest.mark.parametrize(
    ("cell", "message"),
    [
        ("0.9", "mean pick must be at least 1, got 0.9 for 'A'"),
        ("9" * 400, "mean pick must be at most 1e+15, got 999"),
        ("x", "mean pick: a number was wanted, got 'x' for 'A'"),
    ],
)
def test_a_plain_number_has_bounds(cell: str, message: str):
    part = read_plain_number(
        view("Card,Mean pick", f"A,{cell}", "B,1", "C,2.5"), "mean_pick", least=1
    )

    np.testing.assert_array_equal(part.numbers["mean_pick"], [np.nan, 1, 2.5])
    assert [found.problem.message.startswith(message) for found in part.findings] == [True]


def test_a_lone_thousand_or_fraction_is_asked_about():
    doubtful = view("Card;Mean pick", "A;1.204", "B;3")

    with pytest.raises(MappingError, match=r"1\.204 on line 2 could be 1\.204 or 1204"):
        settled(doubtful, "mean_pick")
    told = view("Card;Mean pick", "A;1.204", "B;3", decimal=".")
    assert settled(told, "mean_pick").values.tolist() == [1.204, 3]


@pytest.mark.parametrize(
    ("cell", "words"), [("1.204", "1.204 or 1204"), ("1,500", "1500 or 1.5"), ("5.5", "5.5")]
)
def test_readings_are_listed_as_numbers(cell: str, words: str):
    assert readings(cell) == words


def test_a_mark_that_is_decimal_elsewhere_is_doubtful_in_a_count_and_the_other_is_not():
    part = read_count(view("Card;Games;Mean pick", "A;1.000;2.5", "B;1,204;3"), "games")

    assert [found.problem.message for found in part.findings] == [
        "games 1.000 could be 1 or 1000 for 'A'"
    ]
    np.testing.assert_array_equal(part.numbers["games"], [np.nan, 1204])
