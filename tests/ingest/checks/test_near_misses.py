"""Rare labels that are very like a frequent one."""

import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.near_misses import likest, missing_beside, near_misses
from winrate_tools.ingest.tables.cards import read_cards


def notes(*labels: str | None) -> list[str]:
    seen = view("Card,n", *(f"Card {n},1" for n in range(len(labels))))
    return list(near_misses(seen, {"archetype": labels}, range(len(labels))))


def test_a_slip_in_one_of_many_rows_is_told():
    many = ["Moorlichter"] * 150 + ["Irrwische"] * 150

    assert notes(*many, "Moorlicher") == [
        "archetype 'Moorlicher' stands in 1 row only (first on line 302) and is taken for one "
        "of its own: did you mean 'Moorlichter'?"
    ]
    assert "in 2 rows only" in notes(*many, "Moorlicher", "Moorlicher")[0]


@pytest.mark.parametrize(
    "labels",
    [
        (*["Moorlichter"] * 99, "Moorlicher"),
        (*["Moorlichter"] * 300, "Irrwische"),
        (*["Band of players 1"] * 300, "Band of players 2"),
        (*["Moorlichter"] * 9, *["Irrwische"] * 300, "Moorlicher"),
        (*["Moorlichter"] * 300, None, ""),
    ],
)
def test_other_labels_are_left_alone(labels: tuple[str | None, ...]):
    assert notes(*labels) == []


def test_rows_that_do_not_count_are_not_looked_at():
    labels = ("Moorlicher", *["Moorlichter"] * 200)
    seen = view("Card,n", *(f"Card {n},1" for n in range(201)))

    assert list(near_misses(seen, {"archetype": labels}, range(1, 201))) == []


def test_the_reader_of_cards_tells_slips():
    rows = [f"Card {n},Moorlichter,9,4" for n in range(200)]
    table = read_cards(
        "\n".join(["Card,Archetype,Games,Wins", *rows, "Elk,Moorlicher,9,4", ""]).encode()
    )

    assert "did you mean 'Moorlichter'?" in table.source.notes[-1]


def test_an_archetype_that_only_its_case_tells_apart_is_not_missing():
    assert list(missing_beside(["KITES", "Moths", "Lamps"], ["Kites", "Moth songs"])) == []


def test_each_missing_archetype_is_told_once():
    assert len(list(missing_beside(["Moorlicht", "Moorlicht"], ["Moorlichter"]))) == 1


def test_case_and_blanks_do_not_make_labels_unlike():
    assert likest("MOORLICHER ", ["Moorlichter"]) == "Moorlichter"
