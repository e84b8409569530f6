"""All figures that the data allow."""

import re
from dataclasses import replace

import pytest

from tests.report.figures.drawings import drawn
from winrate_tools.report.figures.gallery import NAMES, gallery

BANNED = re.compile(r"(?i)significan|p-value|confidence interval|\b(?:null|nan|inf)\b")


def names(pool) -> list[str]:
    return [picture.name for picture in gallery(pool)]


def test_a_pool_with_everything_has_every_figure_in_reading_order(illustrated_pool):
    assert names(illustrated_pool) == ["estimates", "luck", "archetypes", "use", "outlook"]
    assert names(illustrated_pool) == list(NAMES)


def test_without_archetypes_and_use_there_are_no_figures_of_them(make_card, make_pool):
    assert names(make_pool(make_card("Ash", 0.5))) == ["estimates", "luck", "outlook"]


def test_without_games_there_is_no_figure_of_luck(make_card, make_pool):
    pool = make_pool(make_card("Ash", 0.5, games=0), make_card("Bell", 0.5, games=None))

    assert names(pool) == ["estimates", "outlook"]


def test_every_figure_is_one_element_with_its_words_inside(illustrated_pool):
    for picture in gallery(illustrated_pool):
        root = drawn(picture.svg)
        assert root.tag == "{http://www.w3.org/2000/svg}svg"
        assert root[0].text == picture.title
        assert root[1].text == picture.alt
        assert picture.caption


def test_no_id_is_used_twice_on_a_page_with_all_figures(illustrated_pool):
    together = "".join(picture.svg for picture in gallery(illustrated_pool))

    ids = re.findall(r'\bid="([^"]+)"', together)
    asked = re.findall(r'href="#([^"]+)"|aria-labelledby="([^"]+)"', together)
    assert len(ids) == len(set(ids)) >= 10
    assert {one for pair in asked for text in pair for one in text.split()} <= set(ids)


def test_nothing_is_written_outside_the_frame(illustrated_pool):
    for picture in gallery(illustrated_pool):
        root = drawn(picture.svg)
        _, _, _, high = map(float, root.get("viewBox").split())
        words = [one for one in root.iter() if one.tag.endswith("text") and one.get("y")]
        assert words
        for one in words:
            assert all(-6 <= float(x) <= 726 for x in one.get("x", "0").split())
            assert all(0 <= float(y) <= high - 6 for y in one.get("y").split())


@pytest.mark.parametrize("sure", [0.6, 0.9, 0.99])
def test_no_banned_word_is_ever_shown(sure, illustrated_pool):
    for picture in gallery(replace(illustrated_pool, sure=sure)):
        assert BANNED.findall(f"{picture.title} {picture.caption} {picture.svg}") == []


@pytest.mark.parametrize(
    "name", ["<script>x</script>", "]]>", "&", '" onload="x', "\u202ea\x00"]
)
def test_an_odd_name_breaks_no_figure(name, illustrated_pool):
    cards = tuple(replace(card, card=f"{name}{card.card}") for card in illustrated_pool.cards)

    for picture in gallery(replace(illustrated_pool, cards=cards)):
        assert not [one for one in drawn(picture.svg).iter() if one.tag.endswith("script")]
        assert "onload" not in {key for one in drawn(picture.svg).iter() for key in one.attrib}
