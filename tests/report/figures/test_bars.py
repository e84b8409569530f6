"""Ranges as bars beside a line."""

from hypothesis import given
from hypothesis import strategies as st

from tests.report.figures.drawings import dotted, drawn, spans
from winrate_tools.report.figures.bars import (
    CLEAR,
    Mark,
    Row,
    alike,
    apart,
    dots,
    glyphs,
    ranges,
)


@given(distance=st.floats(0, 500), side=st.sampled_from([-1, 1]))
def test_an_end_is_seen_on_its_side_and_hardly_moved(distance, side):
    place = 300 + side * distance

    shown = apart(place, 300, side)
    assert side * (shown - 300) >= CLEAR
    assert abs(shown - place) <= CLEAR


def test_an_end_without_a_side_stays_where_it_is():
    assert apart(300.0, 300.0, None) == 300.0


FOX, HARE = Mark("cut", "▼"), Mark("keep none", "▲")
ROWS = [Row(FOX, 7, 1.23, 4.56, 7.89), Row(HARE, 21, 2, 3, 4), Row(FOX, 35, 5, 6.04, 7)]


def test_rows_are_gathered_by_their_marks_in_the_order_in_which_these_appear():
    assert alike(ROWS) == {FOX: [ROWS[0], ROWS[2]], HARE: [ROWS[1]]}
    assert list(alike(ROWS)) == [FOX, HARE]


def test_ranges_are_one_line_with_a_piece_on_every_row():
    root = drawn(f"<svg xmlns='http://www.w3.org/2000/svg'>{ranges(ROWS, 'wide')}</svg>")

    assert root[0].get("class") == "wide"
    assert spans(root[0]) == {7: (1.2, 7.9), 21: (2, 4), 35: (5, 7)}


def test_marks_are_one_text_with_a_place_for_every_glyph():
    root = drawn(f"<svg>{glyphs(alike(ROWS)[FOX], 2.5)}</svg>")

    assert root[0].attrib == {"class": "mark", "x": "2.5 2.5", "y": "10 38"}
    assert root[0].text == "▼▼"


def test_dots_are_round_ends_and_the_ground_on_them():
    root = drawn(f"<svg xmlns='http://www.w3.org/2000/svg'>{''.join(dots('a-b', ROWS))}</svg>")

    lines, hole = root
    assert lines.get("class") == "dot"
    assert [path.get("class") for path in lines[0]] == ["cut", "keep none"]
    assert dotted(root, "a-b") == [[(4.6, 7), (6, 35)], [(3, 21)]]
    assert hole.attrib == {"class": "hole", "href": "#a-b"}
