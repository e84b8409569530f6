"""Pictures as they stand inside a page."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.figures.drawings import SVG, drawn
from winrate_tools.report.figures.frame import rules, said
from winrate_tools.report.figures.gallery import gallery
from winrate_tools.report.figures.marks import legend
from winrate_tools.report.page.pictures import shapes, slim_picture


@pytest.mark.parametrize(
    ("svg", "slim"),
    [
        ('<circle class="dot" r="3"/>', "<circle class=dot r=3 />"),
        ('<g class="row cut" data-i="0">', '<g class="row cut" data-i=0>'),
        ('<text x="-2.5">a="b"</text>', '<text x=-2.5>a="b"</text>'),
        ('<use href="#a-b" x="1"/>', "<use href=#a-b x=1 />"),
        (
            '<g class="cut"><use href="#a-cut" x="1" y="2.5"><title>A</title></use>'
            '<use href="#a-cut" x="3" y="4"><title>B</title></use></g>',
            '<polyline class="dots cut" points="1,2.5 3,4"/>',
        ),
        ('<defs><path id="a-cut" d="M0 1"/></defs>\n<g id="b"></g>', "<g id=b></g>"),
        ('<defs><g id="a-scale"></g></defs>', "<defs><g id=a-scale></g></defs>"),
        ('<g transform="translate(0,7.5)">', "<g transform=translate(0,7.5)>"),
        ('<svg xmlns="http://www.w3.org/2000/svg" width="7" height="9">', "<svg>"),
        ('<path d="M0 1h8"/>', '<path d="M0 1h8"/>'),
        ('<text class="">', '<text class="">'),
    ],
)
def test_quotes_go_where_html_needs_none(svg: str, slim: str):
    assert slim_picture(svg) == slim


def end_points(path: str) -> list[tuple[float, float]]:
    """Return every place where a pen that draws a path stops, by the rules of SVG."""
    x = y = 0.0
    places = []
    for command, numbers in re.findall(r"([a-zA-Z])([^a-zA-Z]*)", path):
        values = [float(number) for number in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", numbers)]
        home = command.islower()
        for first, second in zip(values[::2] or values, values[1::2] or values, strict=True):
            x, y = {
                "m": (first + home * x, second + home * y),
                "h": (first + home * x, y),
                "v": (x, first + home * y),
            }[command.lower()]
            places.append((round(x, 6), round(y, 6)))
    return places


PIXEL = st.integers(-9999, 9999).map(lambda tenths: tenths / 10)
LINE = st.tuples(PIXEL, PIXEL, PIXEL)


@given(st.lists(LINE), st.lists(LINE))
def test_lines_end_where_they_did_and_are_written_no_longer(across, upright):
    svg = rules("rule", across=across, upright=upright)

    slim = slim_picture(svg)

    [before], [after] = (re.findall(r'd="?([^">/]*)"? ?/>', text) for text in (svg, slim))
    assert end_points(after) == end_points(before)
    assert len(after.strip()) <= len(before)


@given(st.lists(LINE, min_size=1), st.sampled_from(["wide", "range"]))
def test_bars_end_at_the_nearest_whole_pixel(across, name: str):
    slim = slim_picture(rules(name, across=across))

    [path] = re.findall(r'd="?([^">/]*)"? ?/>', slim)
    before = end_points(re.search(r'd="([^"]*)"', rules(name, across=across))[1])
    apart = np.abs(np.subtract(end_points(path), before))
    assert apart.max() <= 0.5
    assert "." not in path


@given(st.lists(st.lists(st.tuples(PIXEL, PIXEL), min_size=2), min_size=1, max_size=3))
def test_curves_go_through_the_same_places(curves):
    points = (" ".join(f"{x:g},{y:g}" for x, y in places) for places in curves)

    slim = slim_picture("".join(f'<polyline class="curve" points="{it}"/>' for it in points))

    [path] = re.findall(r'<path class=curve d="([^"]*)"/>', slim)
    assert end_points(path) == [place for places in curves for place in places]
    assert path.count("m") == len(curves)


def test_a_curve_out_of_sight_is_left_out():
    curves = ("", "1,2 3,4", "")

    slim = slim_picture("".join(f'<polyline class="curve" points="{it}"/>' for it in curves))

    assert slim == '<path class=curve d="m1 2 2 2"/>'


def test_a_path_with_other_commands_stays_as_it_is():
    svg = '<path d="M0 0H5V9H0z"/>'

    assert slim_picture(svg) == svg


def test_the_legend_is_drawn_once_for_all_pictures_of_a_page(illustrated_pool):
    pictures = [slim_picture(picture.svg) for picture in gallery(illustrated_pool)]

    assert [svg.count("href=#legend") for svg in pictures] == [1, 1, 0, 1, 0]
    assert not [svg for svg in pictures if "more games</text>" in svg]
    assert slim_picture("".join(legend())) in shapes()
    assert shapes().count("id=legend") == 1


def test_a_page_decides_how_large_its_pictures_are(illustrated_pool):
    for picture in gallery(illustrated_pool):
        opening = slim_picture(picture.svg).split(">")[0]
        assert "viewBox=" in opening
        assert not re.search(r"(?:width|height|xmlns)=", opening)


def test_every_text_of_a_picture_is_still_written(illustrated_pool):
    common = shapes()
    for picture in gallery(illustrated_pool):
        slim = slim_picture(picture.svg)
        written = [f">{said(it.text)}</text>" for it in drawn(picture.svg).iter(f"{SVG}text")]
        assert written
        assert [text for text in written if text not in slim + common] == []
