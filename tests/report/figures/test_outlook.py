"""What more games would settle."""

import re

import pytest

from tests.report.figures.drawings import drawn, texts
from winrate_tools.decide.cards.outlook import Outlook
from winrate_tools.report.figures import outlook

BOX = re.compile(r"M([\d.]+) ([\d.]+)H([\d.]+)V([\d.]+)H\1z")


def boxes(pool, name: str) -> dict[float, float]:
    """Return the widths of what is drawn alike by their heights, the legend's apart."""
    [path] = [one for one in drawn(outlook.svg(pool)).iter() if one.get("class") == name][:1]
    found = [tuple(map(float, box)) for box in BOX.findall(path.get("d"))]
    return {top: right - left for left, top, right, bottom in found if bottom - top == 20}


def test_a_bar_is_as_long_as_what_is_settled(pool):
    frames, dark, light = (boxes(pool, name) for name in ("axis", "fill", "fill faint"))

    scale = (outlook.RIGHT - outlook.LEFT) / 8
    assert list(frames.values()) == [outlook.RIGHT - outlook.LEFT] * 3
    assert list(dark) == list(frames)
    assert list(dark.values()) == pytest.approx(
        [4 * scale, 3.75 * scale, 3.9 * scale], abs=0.11
    )
    assert list(light) == list(frames)[1:]
    assert list(light.values()) == pytest.approx([1.75 * scale, 2.5 * scale], abs=0.11)


def test_light_parts_begin_where_dark_ones_end(pool):
    paths = {
        one.get("class"): BOX.findall(one.get("d"))
        for one in drawn(outlook.svg(pool)).iter()
        if "z" in one.get("d", "")
    }

    ends = {top: right for _, top, right, _ in paths["fill"]}
    starts = {top: left for left, top, _, _ in paths["fill faint"]}
    assert {top: ends[top] for top in starts if float(top) > outlook.TOP} == {
        top: left for top, left in starts.items() if float(top) > outlook.TOP
    }


def test_every_bar_says_its_numbers(pool):
    said = texts(drawn(outlook.svg(pool)))

    assert {"games so far", "10 times", "100 times"} <= set(said)
    assert "4 settled" in said
    assert "about 5.5 settled, about 1.8 of them new" in said


def test_words_beside_the_picture_say_the_same(pool):
    said = outlook.alt(pool)

    assert said.startswith("Of 8 cards, 4 have a verdict now. 10 times the games: about 5.5,")
    assert "about 1.8 of them open now" in said
    assert outlook.ahead(pool) == (
        "4 of 8 cards have a verdict now. Expected with 10 times as many games, about 5.5; "
        "with 100 times as many games, about 6.4."
    )
    assert "How many of 8 cards" in outlook.caption(pool)


def test_large_multiples_have_their_thousands_parted(make_card, make_pool):
    steps = (Outlook(1, 1.0, 0.0), Outlook(1000, 1.0, 0.0))

    assert "1,000 times" in texts(
        drawn(outlook.svg(make_pool(make_card("A", 0.5), outlook=steps)))
    )


def test_verdicts_that_come_undone_are_explained(make_card, make_pool):
    def ahead(later: float) -> str:
        steps = (Outlook(1, 252.0, 0.0), Outlook(2, later, 1.0))
        return outlook.ahead(make_pool(make_card("Ash Vine", 0.4), outlook=steps))

    assert ahead(247.0).endswith(
        "about 247; where fewer than now, verdicts that rest on the pool come undone."
    )
    assert ahead(252.0).endswith("about 252.")
