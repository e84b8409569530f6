"""A shape for each verdict, and a legend."""

import pytest

from tests.report.figures.drawings import SVG, drawn, texts
from winrate_tools.report.figures.marks import (
    CLASSES,
    GLYPHS,
    LEGEND_WIDTH,
    dots,
    legend,
    shapes,
)


def inside(parts) -> str:
    return f'<svg xmlns="{SVG[1:-1]}">{"".join(parts)}</svg>'


def test_no_two_verdicts_share_a_shape_a_glyph_or_a_class():
    kinds = [
        (one.tag, one.get("d")) for one in drawn(inside([shapes("use")])).find(f"{SVG}defs")
    ]

    assert len(set(kinds)) == len(set(GLYPHS.values())) == len(set(CLASSES.values())) == 3


def test_the_legend_names_every_mark_and_keeps_to_its_width():
    root = drawn(inside(legend()))

    assert texts(root) == ["▼", "cut", "○", "more games", "▲", "keep"]
    assert max(float(one.get("x")) for one in root.iter(f"{SVG}text")) < LEGEND_WIDTH - 20


def test_every_card_is_drawn_once_and_cuts_on_top(pool):
    placed = [(card, 10.0 * i, 5.0, card.card) for i, card in enumerate(pool.cards)]

    root = drawn(inside([shapes("use"), *dots("use", placed)]))
    uses = list(root.iter(f"{SVG}use"))
    assert {one.find(f"{SVG}title").text for one in uses} == {c.card for c in pool.cards}
    assert [group.get("class") for group in root.findall(f"{SVG}g")] == ["wait", "keep", "cut"]
    assert uses[-1].get("href") == "#use-cut"


@pytest.mark.parametrize("figure", ["luck", "use"])
def test_a_dot_uses_a_shape_that_its_own_figure_defines(figure, pool):
    root = drawn(inside([shapes(figure), *dots(figure, [(pool.cards[0], 1.0, 2.0, "x")])]))

    ids = {one.get("id") for one in root.iter() if one.get("id")}
    assert {one.get("href")[1:] for one in root.iter(f"{SVG}use")} <= ids
