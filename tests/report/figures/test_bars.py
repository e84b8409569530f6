"""Ranges as bars beside a line."""

from hypothesis import given
from hypothesis import strategies as st

from tests.report.figures.drawings import drawn, ends
from winrate_tools.report.figures.bars import CLEAR, apart, bar


@given(distance=st.floats(0, 500), side=st.sampled_from([-1, 1]))
def test_an_end_is_seen_on_its_side_and_hardly_moved(distance, side):
    place = 300 + side * distance

    shown = apart(place, 300, side)
    assert side * (shown - 300) >= CLEAR
    assert abs(shown - place) <= CLEAR


def test_an_end_without_a_side_stays_where_it_is():
    assert apart(300.0, 300.0, None) == 300.0


def test_a_bar_holds_its_range_and_the_estimate():
    root = drawn(f"<svg>{bar(1.23, 4.56, 7.89)}</svg>")

    assert ends(root[0]) == (1.2, 7.9)
    assert root[1].get("cx") == "4.6"
