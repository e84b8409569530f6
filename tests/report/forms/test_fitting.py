"""Fitting a table into a width."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.report.document import Table, TableColumn
from winrate_tools.report.forms.fitting import chosen_columns, room_for_names, shortened
from winrate_tools.report.forms.glyphs import width

TABLE = Table(
    (
        TableColumn("Card"),
        TableColumn("Games", spare=2),
        TableColumn("Range"),
        TableColumn("R", spare=5),
    ),
    (("A card with a rather long name", "61,240", "48.7 to 49.2%", "1 to 9"),),
)
NAMES = st.lists(
    st.text("ab 灯", min_size=1, max_size=30), min_size=1, max_size=12, unique=True
)


@given(names=NAMES, room=st.integers(6, 20))
def test_two_names_never_shrink_to_the_same_text(names: list[str], room: int):
    short = shortened(names, room)

    assert len(set(short)) == len(names)
    assert max(map(width, short)) <= room


@given(names=NAMES)
def test_names_that_fit_stay(names: list[str]):
    assert shortened(names, 60) == names


def test_where_nothing_else_is_left_a_number_tells_names_apart():
    names = ["ab" * length for length in range(3, 9)]

    assert shortened(names, 3) == ["a…b", "…ab", "a…2", "a…3", "a…4", "a…5"]


def test_the_same_name_twice_stays_the_same():
    assert shortened(["Lantern Keeper", "Lantern Keeper"], 8) == ["Lantern…", "Lantern…"]


def test_a_short_mark_never_makes_a_name_that_another_card_has():
    assert shortened(["Lantern…", "Lantern Keeper"], 8)[1] != "Lantern…"


@pytest.mark.parametrize(
    ("room", "kept"),
    [(None, [0, 1, 2, 3]), (43, [0, 1, 2, 3]), (42, [0, 1, 2]), (34, [0, 2]), (26, None)],
)
def test_the_sparest_column_goes_first(room: int | None, kept: list[int] | None):
    assert chosen_columns(TABLE, room) == kept


def test_names_get_the_room_that_is_left():
    assert room_for_names([30, 6, 13], 43) == 20
    assert room_for_names([30, 6, 13], None) == 30
