"""Several names in one cell."""

import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.cells.lists import read_lists, split_list
from winrate_tools.ingest.roles.kinds import POOL


@pytest.mark.parametrize(
    ("cell", "names"),
    [
        ("Kites; Moths", ["Kites", "Moths"]),
        ("Kites|Moths | Bells", ["Kites", "Moths", "Bells"]),
        ("Kites\nMoths", ["Kites", "Moths"]),
        ("Vine, Ash;Moth", ["Vine, Ash", "Moth"]),
        (" Kites ;; ", ["Kites"]),
        ("", []),
        ("-", []),
        ("n/a", []),
    ],
)
def test_names_are_parted_by_semicolons_bars_and_lines(cell: str, names: list[str]):
    assert split_list(cell) == names


def test_names_take_their_first_spelling_and_stand_once():
    seen = view(
        "Card,Copies,Archetypes",
        "A,1,Kites; Moths",
        "B,1,",
        "C,1,kites ;Moths; moths",
        kind=POOL,
    )
    column = read_lists(seen, "archetypes")

    assert column.lists == (("Kites", "Moths"), (), ("Kites", "Moths"))
    assert column.notes == (
        "archetypes 'kites' was read as 'Kites'",
        "archetypes 'moths' was read as 'Moths'",
    )


def test_a_table_without_the_column_has_empty_lists():
    assert read_lists(view("Card,Copies", "A,1", "B,2", kind=POOL), "archetypes").lists == (
        (),
        (),
    )


def test_odd_blanks_become_plain_ones_and_that_is_said_once():
    cells = "A,1,Ash\u00a0Vine;Tin\u2003Moth", "B,1,Fox"
    column = read_lists(view("Card,Copies,Archetypes", *cells, kind=POOL), "archetypes")

    assert column.lists == (("Ash Vine", "Tin Moth"), ("Fox",))
    assert column.notes == (
        "archetypes: odd blanks, such as those that keep a line from breaking, were read as "
        "plain ones in 2 names: Ash Vine, Tin Moth",
    )
