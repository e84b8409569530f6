"""Cells that say in a word that a number is not known."""

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.unknowns import unknown_words
from winrate_tools.ingest.tables.cards import read_cards


def test_words_for_unknown_are_counted_by_column():
    seen = view(
        "Card,Games,Wins", "Ash,k. A.,n/a", "Bee,k. A.,?", "Elk,9,4", "Fox,,3", "Owl,8,"
    )

    assert list(unknown_words(seen)) == [
        "Games: 2 cells taken as unknown: 'k. A.' (2)",
        "Wins: 2 cells taken as unknown: 'n/a' (1), '?' (1)",
    ]


def test_one_cell_is_one():
    seen = view("Card,Games", "Ash,-", "Bee,5")

    assert list(unknown_words(seen)) == ["Games: 1 cell taken as unknown: '-' (1)"]


def test_blank_cells_and_labels_go_without_saying():
    assert list(unknown_words(view("Card,Rarity,Games", "Ash,n/a,5", "n/a,rare,"))) == []


def test_the_reader_says_so():
    table = read_cards(b"Card,Games,Wins\nAsh,9,4\nBee,k. A.,\n")

    assert table.source.notes == ("Games: 1 cell taken as unknown: 'k. A.' (1)",)
