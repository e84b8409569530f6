"""Which rows make a table: what is refused, left out or added up."""

import pytest

from tests.ingest.sheets import view
from winrate_tools.errors import TableError
from winrate_tools.ingest.checks.check import STEPS, Columns, check_rows
from winrate_tools.ingest.tables.cards import read_cards
from winrate_tools.ingest.tables.sifting import MOST_TOLD, sift
from winrate_tools.tables import Source


def columns(*lines: str) -> Columns:
    seen = view(*lines)
    return check_rows(seen.sheet, dict(seen.where), STEPS, total="games")


def test_skipping_leaves_the_good_rows_and_says_what_went():
    table = read_cards(
        b"Card,Games,Wins\nA,5,6\nB,4,2\nC,1\nb ,4,2\nD,9,3\n", name="cards.csv", skip_bad=True
    )

    assert table.card == ("B", "D")
    said = [note for note in table.source.notes if note.startswith("left out: ")]
    assert [note.split(": ")[1] for note in said] == [
        "cards.csv:2:3",
        "cards.csv:4:2",
        "cards.csv:5:1",
    ]


def test_skipping_never_leaves_out_a_broken_quote():
    with pytest.raises(TableError, match="1 problem"):
        read_cards(b'Card,Games,Wins\n"A"x,5,3\nB,4,2\n', skip_bad=True)


def test_skipping_everything_is_refused():
    with pytest.raises(TableError, match="no row is left, of 2"):
        read_cards(b"Card,Games,Wins\nA,5,6\nB,4,5\n", skip_bad=True)


def test_problems_stand_in_the_way_of_every_row():
    sifted = sift(columns("Card,Games,Wins", "Ash,9,14", "Tin,9,4"), Source(), False, False)

    assert (sifted.rows, sifted.kept, sifted.repeats) == ((), [], {})
    assert [problem.place for problem in sifted.problems] == ["cards.csv:2:3"]


def test_a_bad_row_is_neither_added_up_nor_added_to():
    made = columns("Card,Games,Wins", "Ash,9,14", "Ash,5,3", "Ash,4,1", "Ash,x,1")
    sifted = sift(made, Source(notes=("said before",)), True, True)

    assert (sifted.rows, sifted.repeats, sifted.kept) == ((1, 2), {2: 1}, [1])
    assert sifted.source.notes[0] == "said before"
    assert [note for note in sifted.source.notes if "added" in note] == [
        "'Ash' on line 4 was added to line 3"
    ]


def test_many_rows_left_out_are_told_in_one_note():
    rows = "".join(f"Bad {n},5,6\n" for n in range(9))
    table = read_cards(f"Card,Games,Wins\nA,5,3\n{rows}".encode(), name="a.csv", skip_bad=True)

    (said,) = [note for note in table.source.notes if note.startswith("left out: ")]
    assert said.startswith(
        "left out: 9 rows, lines 3, 4, 5, 6, 7 and 4 more; the first, a.csv:3:3"
    )


def test_rows_left_out_are_told_one_by_one_up_to_five():
    rows = "".join(f"Bad {n},5,6\n" for n in range(MOST_TOLD))
    table = read_cards(f"Card,Games,Wins\nA,5,3\n{rows}".encode(), skip_bad=True)

    assert len([note for note in table.source.notes if note.startswith("left out: ")]) == 5


def test_many_rows_added_up_are_told_in_one_note():
    rows = "Ash,5,3\n" * 7
    table = read_cards(f"Card,Games,Wins\n{rows}".encode(), sum_duplicates=True)

    assert table.games.tolist() == [35]
    assert table.source.notes[-1] == (
        "6 rows were added to an earlier row of the same card; 'Ash' on line 3 was added to "
        "line 2"
    )
