"""Figures inside a page and as files of their own."""

import re

import pytest

from tests.report.figures.drawings import SVG, drawn
from winrate_tools.report.figures.gallery import gallery
from winrate_tools.report.figures.marks import markers
from winrate_tools.report.figures.style import PAGE_RULES, RULES, standalone
from winrate_tools.report.palette import DARK, LIGHT


def classes(svg: str) -> set[str]:
    return {name for found in re.findall(r' class="([^"]*)"', svg) for name in found.split()}


def test_dots_in_a_page_are_marked_by_shapes_that_it_has():
    shapes = set(re.findall(r' id="([\w-]+)"', markers()))

    assert set(re.findall(r"url\(#([\w-]+)\)", PAGE_RULES)) == shapes
    assert len(shapes) == 3


def test_every_rule_stays_inside_figures():
    selectors = [line.split("{")[0] for line in RULES.splitlines()]

    assert selectors
    assert [one for one in selectors if not one.startswith(".figure")] == []


def test_every_class_that_is_drawn_has_a_rule_and_every_rule_is_drawn(illustrated_pool):
    pictures = gallery(illustrated_pool)

    styled = set(re.findall(r"\.([a-z-]+)", re.sub(r"\{[^}]*\}", "", RULES)))
    used = {name for picture in pictures for name in classes(picture.svg)}
    names = {picture.name for picture in pictures}
    assert used - names - styled <= {"rows", "names"}
    assert styled <= used


def test_a_file_has_both_themes_and_a_ground_and_is_otherwise_the_same(illustrated_pool):
    svg = gallery(illustrated_pool)[0].svg

    root = drawn(standalone(svg))
    style = root.find(f"{SVG}style").text
    assert LIGHT["ground"] in style
    assert "prefers-color-scheme:dark" in style
    assert DARK["cut"] in style
    assert root[1].tag == f"{SVG}rect"
    assert [one.tag for one in root][2:] == [one.tag for one in drawn(svg)]
    assert root.attrib == drawn(svg).attrib


def test_a_figure_in_a_page_has_no_style_of_its_own(illustrated_pool):
    together = "".join(picture.svg for picture in gallery(illustrated_pool))

    assert "<style" not in together
    assert "style=" not in together


@pytest.mark.parametrize("part", ["http:", "https:", "url(", "<script", "<image", "@import"])
def test_a_file_asks_for_nothing_from_elsewhere(part, illustrated_pool):
    files = "".join(standalone(picture.svg) for picture in gallery(illustrated_pool))

    assert part not in files.replace('xmlns="http://www.w3.org/2000/svg"', "")
