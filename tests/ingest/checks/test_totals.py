"""Rows that add up others."""

import numpy as np
import pytest

from tests.ingest.sheets import view
from winrate_tools.errors import TableError
from winrate_tools.ingest.checks.totals import find_totals
from winrate_tools.ingest.tables.cards import read_cards


def test_a_total_needs_the_name_and_the_sum():
    sums = b"Card,Games,Wins\nA,5,3\nB,4,2\nTotal,9,5\n"

    assert read_cards(sums).card == ("A", "B")
    assert read_cards(sums.replace(b"Total", b"Tonal")).card == ("A", "B", "Tonal")
    with pytest.raises(TableError, match="reads like a total"):
        read_cards(sums.replace(b"9,5", b"8,5"))


@pytest.mark.parametrize("word", ["TOTAL", "Gesamt:", "Summe", "** All **", "合計", ""])
def test_totals_have_many_names(word: str):
    assert len(read_cards(f"Card,Games,Wins\nA,5,3\nB,4,2\n{word},9,5\n".encode())) == 2


STRATA = """Card,Archetype,Games,Wins
A,Fair,5,3
A,Moon,4,2
A,All,9,5
B,Fair,7,3
B,All,7,3
Total,Fair,12,6
Total,Moon,4,2
Total,All,16,8
"""


def test_totals_are_found_along_cards_and_archetypes_alike():
    table = read_cards(STRATA.encode())

    assert list(zip(table.card, table.archetype, table.games, strict=True)) == [
        ("A", "Fair", 5),
        ("A", "Moon", 4),
        ("B", "Fair", 7),
    ]


def test_an_archetype_total_that_does_not_add_up_is_a_problem():
    with pytest.raises(TableError, match=":4:2: 'All' reads like a total"):
        read_cards(STRATA.replace("A,All,9,5", "A,All,10,5").encode())


def test_a_table_of_totals_only_stays():
    assert len(read_cards(b"Card,Archetype,Games,Wins\nA,All,5,3\nB,All,4,2\n")) == 2


def test_a_total_is_left_out_with_a_note_and_a_false_one_is_found():
    seen = view("Card,Games", "A,5", "B,4", "Total,9", "Mean,4.5", "Sum,8")
    totals = find_totals(seen, np.array([5, 4, 9, np.nan, 8]), {})

    assert totals.rows == {2}
    assert totals.notes == ("card total left out, its games add up the other rows: line 4",)
    assert [found.row for found in totals.findings] == [3, 4]


def test_unknown_games_add_nothing():
    seen = view("Card,Games", "A,5", "B,", "Total,5")

    assert find_totals(seen, np.array([5, np.nan, 5]), {}).rows == {2}


def test_a_total_of_no_games_is_none():
    seen = view("Card,Games", "A,0", "Total,0")

    assert find_totals(seen, np.array([0.0, 0.0]), {}).rows == frozenset()


def test_a_grand_total_in_one_archetype_sums_all_of_them():
    seen = view("Card,Archetype,Games", "A,x,5", "A,y,4", "Total,,9")
    totals = find_totals(seen, np.array([5.0, 4, 9]), {"archetype": ["x", "y", None]})

    assert totals.rows == {2}


def test_many_totals_are_listed_shortly():
    cards = [(card, f"t{n}") for n in range(7) for card in ("A", "Total")]
    seen = view("Card,Archetype,Games", *(f"{card},{kind},5" for card, kind in cards))
    totals = find_totals(seen, np.full(14, 5.0), {"archetype": [kind for _, kind in cards]})

    assert len(totals.rows) == 7
    assert totals.notes[0].endswith("line 3, line 5, line 7, line 9, line 11 and 2 more")
