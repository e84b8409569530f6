"""Archetypes against their lines, and their cards' part."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.report.archetype_pools import POOL, judged, pooled
from tests.report.figures.drawings import SVG, dotted, drawn, ends, of_class, spans, texts
from tests.report.figures.drawings import rows as rows_of
from winrate_tools.report.figures import archetypes

STROKE = 1.5


def lines(pool) -> list[float]:
    return [ends(one)[0] for one in of_class(drawn(archetypes.svg(pool)), "line", "line")]


def rows(pool):
    return rows_of(drawn(archetypes.svg(pool)), "archetypes-strengths")


@settings(deadline=None)
@given(estimate=st.floats(0.5, 0.6), spread=st.floats(1e-4, 0.03), sure=st.floats(0.55, 0.99))
def test_a_bar_clears_a_line_exactly_where_the_verdict_says_so(estimate, spread, sure):
    one = judged("Kites", estimate, spread, sure=sure)
    pool = pooled(one, sure=sure)

    [row], (lower, upper) = rows(pool), lines(pool)
    low, high = row.range
    assert (high < lower - STROKE / 2) == (one.verdict == "underpowered")
    assert (low > upper + STROKE / 2) == (one.verdict == "overpowered")


@pytest.mark.parametrize(
    ("ends", "verdict", "sides"),
    [
        ((0.49, 0.529999), "underpowered", (-1, -1)),
        ((0.49, 0.530001), "unsettled", (-1, 1)),
        ((0.570001, 0.61), "overpowered", (1, 1)),
        ((0.569999, 0.61), "unsettled", (-1, 1)),
    ],
)
def test_even_a_hair_from_a_line_a_bar_says_what_its_verdict_does(ends, verdict, sides):
    low, high = ends
    one = judged("Kites", (low + high) / 2, low=low, high=high, verdict=verdict)
    pool = pooled(one, judged("Bells", 0.5))

    [row] = [row for row in rows(pool) if row.name == "Kites"]
    at = lines(pool)
    near = at[0] if low == 0.49 else at[1]
    assert tuple(1 if end > near + STROKE / 2 else -1 for end in row.range) == sides
    assert min(abs(end - near) for end in row.range) >= 1


def test_every_archetype_has_a_row_the_weakest_first():
    assert [row.name for row in rows(POOL)] == [one.archetype for one in POOL.archetypes]
    assert [row.glyph for row in rows(POOL)] == ["▼", "○", "=", "○", "○", "▲"]


def test_an_archetype_without_games_is_not_moved_from_where_it_is():
    one = judged("Looms", 0.59, 0.001, games=0, wins=0, win_rate=None, verdict="unsettled")
    other = judged("Kites", 0.5)

    _, row = rows(pooled(one, other))
    low, high = row.range
    _, upper = lines(pooled(one, other))
    assert upper + 10 < low < high


def test_estimates_stand_in_their_order():
    places = [row.centre for row in rows(POOL)]

    assert places == sorted(places)


def parts(pool):
    """Return each card's part with its range, by its height, and where nought is."""
    root = drawn(archetypes.svg(pool))
    [nought] = of_class(root, "axis", "line")
    [ranges] = [one for one in of_class(root, "even", "g") if len(one) == 1]
    [look] = root.findall(f".//{SVG}g[@id='archetypes-parts']/{SVG}path")
    [dots] = dotted(root, "archetypes-parts")
    assert look.get("class") == "even"
    centres = {y: x for x, y in dots}
    found = {y: (low, centres[y], high) for y, (low, high) in spans(ranges[0]).items()}
    return found, ends(nought)[0]


def test_the_cards_part_stands_beside_nought():
    pool = pooled(
        judged("Bells", 0.5, cards_part=-0.01, cards_low=-0.02, cards_high=-0.001),
        judged("Kites", 0.53, cards_part=0.01, cards_low=-0.005, cards_high=0.025),
    )

    found, nought = parts(pool)
    bells, kites = found.values()
    assert bells[2] < nought
    assert kites[0] < nought < kites[2]
    assert kites[1] - nought == pytest.approx(nought - bells[1], abs=0.2)
    assert list(found) == [row.y for row in rows(pool)]
    assert {"-2", "0", "+2"} <= set(texts(drawn(archetypes.svg(pool))))


@pytest.mark.parametrize("side", [-1, 1])
def test_nought_is_in_sight_even_if_all_parts_lie_on_one_side(side):
    part = {"cards_part": side * 0.02}
    part |= {"cards_low": side * 0.02 - 0.005, "cards_high": side * 0.02 + 0.005}

    _, nought = parts(pooled(judged("Bells", 0.5, **part), judged("Kites", 0.53, **part)))
    assert 440 < nought < 704


def test_an_archetype_whose_cards_are_unknown_has_no_part():
    unknown = dict.fromkeys(("cards_part", "cards_low", "cards_high"))

    bars, _ = parts(pooled(judged("Bells", 0.5, **unknown), judged("Kites", 0.53)))
    assert len(bars) == 1


def test_without_any_cards_the_strengths_take_the_room():
    unknown = dict.fromkeys(("cards_part", "cards_low", "cards_high"))
    bare = pooled(judged("Bells", 0.5, **unknown), judged("Kites", 0.59, **unknown))

    root = drawn(archetypes.svg(bare))
    assert of_class(root, "axis", "line") == []
    assert "its cards' part, in points" not in texts(root)
    assert rows(bare)[1].range[1] > 600
    assert "On the right" not in archetypes.caption(bare)


def test_words_beside_the_picture_say_what_it_shows():
    said = archetypes.alt(POOL)

    assert said.startswith("Lines at 53.0% and 57.0%. From the weakest: Bells 50.4% (49.1 to ")
    assert "underpowered; Kites" in said
    assert "wholly below 53.0% is called underpowered" in archetypes.caption(POOL)
    assert "with the 8 in 10 range" in archetypes.caption(POOL)


def test_the_lines_are_labelled_on_their_outer_sides():
    root = drawn(archetypes.svg(POOL))

    [low] = [one for one in root.iter(f"{SVG}text") if one.text == "53.0%" and one.get("class")]
    assert "end" in low.get("class").split()
    assert float(low.get("x")) == lines(POOL)[0]


def test_a_name_stays_a_name():
    named = pooled(replace(POOL.archetypes[0], archetype="<i> & co"))

    assert "<i> & co" in texts(drawn(archetypes.svg(named)))
