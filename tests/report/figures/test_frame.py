"""Scales, ticks and the frame of a figure."""

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.report.figures.drawings import SVG, drawn
from winrate_tools.report.figures.frame import Scale, framed, pixels, room_for, text, ticks

PLACES = st.floats(-1e4, 1e4)


@given(start=PLACES, end=PLACES, low=st.floats(0, 1), high=st.floats(0, 1))
def test_a_scale_puts_its_ends_where_it_says(start, end, low, high):
    assume(high - low > 1e-6)

    scale = Scale(start, end, low, high)
    assert scale(low) == pytest.approx(start, abs=1e-6)
    assert scale(high) == pytest.approx(end, abs=1e-6)
    assert scale((low + high) / 2) == pytest.approx((start + end) / 2, abs=1e-6)


@given(values=st.lists(st.floats(0, 1), min_size=2))
def test_a_scale_keeps_the_order(values):
    scale = Scale(10, 700, 0, 1)
    upwards = Scale(400, 20, 0, 1)

    places = [scale(value) for value in sorted(values)]
    heights = [upwards(value) for value in sorted(values)]
    assert places == sorted(places)
    assert heights == sorted(heights, reverse=True)


@given(low=st.floats(-1e3, 1e3), size=st.floats(1e-3, 1e4), most=st.integers(2, 15))
def test_ticks_are_round_even_inside_and_not_too_many(low, size, most):
    found = ticks(low, low + size, most)

    steps = {round(b - a, 9) for a, b in pairwise(found)}
    slack = 1e-6 * size
    assert len(found) <= most + 1
    assert len(steps) <= 1
    assert all(low - slack <= tick <= low + size + slack for tick in found)
    assert all(f"{step:.0e}"[0] in "125" for step in steps)


def test_ticks_use_the_room_they_have():
    assert Scale(0, 9, 0, 1).ticks(4) == ticks(0, 1, 4) == [0, 0.5, 1]
    assert ticks(0, 1, 10) == pytest.approx([i / 10 for i in range(11)])
    assert ticks(0, 240, 6) == [0, 50, 100, 150, 200]
    assert ticks(-0.031, 0.0301, 4) == [-0.02, 0, 0.02]


@pytest.mark.parametrize(
    ("number", "said"), [(0.04, "0"), (-0.04, "0"), (-0.06, "-0.1"), (7.96, "8"), (3.25, "3.2")]
)
def test_lengths_are_written_to_a_tenth_and_no_nought_has_a_sign(number, said):
    assert pixels(number) == said


def test_a_frame_names_itself_for_those_who_cannot_see_it():
    root = drawn(framed("luck", "A & B", "1 < 2", 100, ["<g/>"], ' data-x0="1"'))

    title, alt = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {alt.get('id')}"
    assert (title.text, alt.text) == ("A & B", "1 < 2")
    assert root.get("data-x0") == "1"
    assert root.get("viewBox") == "-6 -6 732 112"
    assert (root.get("width"), root.get("height")) == ("732", "112")


@pytest.mark.parametrize("name", ["<b>", "</text>", '"', "a&amp;b", "]]>"])
def test_a_text_stays_a_text(name: str):
    root = drawn(f"<svg>{text(1, 2, name)}</svg>")

    assert root[0].text == name
    assert len(root) == 1


@pytest.mark.parametrize(("x", "wanted"), [(0, None), (2.04, "2"), (-0.3, "-0.3")])
def test_a_text_at_the_edge_needs_no_place_across(x: float, wanted: str | None):
    root = drawn(f"<svg>{text(x, 5, 'a')}</svg>")

    assert (root[0].get("x"), root[0].get("y")) == (wanted, "5")


@pytest.mark.parametrize("mark", ["\x00", "\x1b", "\u202e", "\n"])
def test_a_character_that_steers_is_spelt_out(mark: str):
    root = drawn(f"<svg>{text(1, 2, f'a{mark}b')}</svg>")

    assert mark not in root[0].text
    assert root[0].text.startswith("a\\")


def test_names_get_the_room_of_the_widest_and_no_more_than_there_is():
    assert room_for(["Ash", "灯灯"], 10) == 4
    assert room_for(["Ash" * 9], 10) == 10
