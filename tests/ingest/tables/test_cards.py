"""Checked columns to a table: what is refused, left out or added up."""

import pytest

from tests.ingest.sheets import view
from winrate_tools.errors import TableError
from winrate_tools.ingest.checks.check import Columns, check_cards
from winrate_tools.ingest.tables.cards import build_cards
from winrate_tools.ingest.tables.read import read_cards
from winrate_tools.tables import Source


def columns(*lines: str) -> Columns:
    seen = view(*lines)
    return check_cards(seen.sheet, dict(seen.where))


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


def test_a_table_is_built_with_every_column_and_its_source():
    made = columns("Card,Games,Wins,Archetype,Mean pick,Rarity", "Ash,9,4,Fair,2.5,rare")
    built = build_cards(made, Source("cards.csv", "abc", {"card": "Card"}, ("said before",)))

    assert built.problems == ()
    assert built.table is not None
    assert (built.table.card, built.table.archetype) == (("Ash",), ("Fair",))
    assert (built.table.rarity, built.table.mean_pick.tolist()) == (("rare",), [2.5])
    assert built.table.source == Source("cards.csv", "abc", {"card": "Card"}, ("said before",))


def test_problems_stand_in_the_way_of_a_table():
    built = build_cards(columns("Card,Games,Wins", "Ash,9,14", "Tin,9,4"), Source())

    assert built.table is None
    assert [problem.place for problem in built.problems] == ["cards.csv:2:3"]


def test_a_bad_row_is_neither_added_up_nor_added_to():
    made = columns("Card,Games,Wins", "Ash,9,14", "Ash,5,3", "Ash,4,1", "Ash,x,1")
    built = build_cards(made, Source(), skip_bad=True, sum_duplicates=True)

    assert built.table is not None
    assert (built.table.games.tolist(), built.table.wins.tolist()) == ([9], [4])
    assert [note for note in built.notes if "added" in note] == [
        "'Ash' on line 4 was added to line 3"
    ]
