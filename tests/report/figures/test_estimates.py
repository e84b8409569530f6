"""Every card's estimate with its range against the line."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.report.conftest import judged, pooled
from tests.report.figures.drawings import SVG, drawn, ends, of_class, texts
from tests.report.figures.drawings import rows as rows_of
from winrate_tools.decide.cards.homes import HomeRecord
from winrate_tools.decide.cards.judgement import judge
from winrate_tools.report import words
from winrate_tools.report.figures import estimates
from winrate_tools.settings import Settings
from winrate_tools.tables import CardTable

STROKE = 1.5
SURENESS = [0.51, 0.6, 0.75, 0.8, 0.9, 0.95, 0.975, 0.99, 0.999]


def in_order(pool):
    return rows_of(drawn(estimates.svg(pool)), estimates.DOTS)


def rows(pool):
    found = {row.name: row for row in in_order(pool)}
    return {i: found[card.card] for i, card in enumerate(pool.cards)}


def line(pool) -> float:
    [found] = of_class(drawn(estimates.svg(pool)), "line", "line")
    return ends(found)[0]


def touches(row, at: float) -> bool:
    low, high = row.range
    return low <= at + STROKE / 2 and high >= at - STROKE / 2


@pytest.mark.parametrize("sure", SURENESS)
def test_a_bar_touches_the_line_exactly_where_more_games_are_asked_for(sure):
    rng = np.random.default_rng(8)
    games = rng.integers(50, 9_000, size=80)
    wins = rng.binomial(games, rng.normal(0.55, 0.03, size=80))
    names = [f"Card {i}" for i in range(80)]
    pool = judge(CardTable(names, games, wins), Settings(sure=sure))

    at, drawn_rows = line(pool), rows(pool)
    for i, card in enumerate(pool.cards):
        assert touches(drawn_rows[i], at) == (card.verdict == "more games")


@settings(deadline=None)
@given(
    off=st.floats(-0.01, 0.01),
    spread=st.floats(1e-5, 0.02),
    sure=st.floats(0.51, 0.995),
)
def test_even_a_hair_from_the_line_a_bar_says_what_its_verdict_does(off, spread, sure):
    card = judged("Ash Vine", 0.49 + off, spread, sure=sure)
    pool = pooled(card, sure=sure)

    [row] = rows(pool).values()
    low, high = row.range
    at = line(pool)
    assert touches(row, at) == (card.verdict == "more games")
    assert (high < at) == (card.verdict == "cut")
    assert (low > at) == (card.verdict == "keep")


def test_everything_stands_where_the_scale_of_the_attributes_says(pool):
    root = drawn(estimates.svg(pool))
    x0, x1, r0, r1 = (float(root.get(f"data-{name}")) for name in ("x0", "x1", "r0", "r1"))

    def rate(pixel: str | float) -> float:
        return r0 + (float(pixel) - x0) / (x1 - x0) * (r1 - r0)

    pixel = (r1 - r0) / (x1 - x0)
    assert rate(line(pool)) == pytest.approx(pool.line, abs=0.06 * pixel)
    for i, row in rows(pool).items():
        card = pool.cards[i]
        assert rate(row.centre) == pytest.approx(card.estimate, abs=0.06 * pixel)
        low, high = map(rate, row.range)
        assert (low, high) == pytest.approx((card.low, card.high), abs=1.1 * pixel)


def test_every_card_has_its_row_mark_class_and_name(pool):
    drawn_rows = rows(pool)

    assert len(in_order(pool)) == len(drawn_rows) == len(pool.cards)
    marks = {"cut": ("cut", "▼"), "keep": ("keep", "▲"), "more games": ("wait", "○")}
    for i, card in enumerate(pool.cards):
        tone, glyph = marks[card.verdict]
        look = [tone] if card.games else [tone, "none"]
        assert (drawn_rows[i].look, drawn_rows[i].glyph) == (look, glyph)


def test_the_thin_bar_holds_more_than_the_thick_one(pool):
    for i, row in rows(pool).items():
        card = pool.cards[i]
        low, high = row.wide
        thick_low, thick_high = row.range
        assert low <= thick_low < thick_high <= high, card.card


def test_the_thin_bar_ends_where_the_wider_range_does(pool):
    bars = {bar.card.card: bar for group in estimates.groups(pool) for bar in group.bars}
    root = drawn(estimates.svg(pool))
    x0, x1, r0, r1 = (float(root.get(f"data-{name}")) for name in ("x0", "x1", "r0", "r1"))

    for row in in_order(pool):
        ends = [r0 + (end - x0) / (x1 - x0) * (r1 - r0) for end in row.wide]
        bar = bars[row.name]
        assert ends == pytest.approx([bar.low, bar.high], abs=0.06 * (r1 - r0) / (x1 - x0))


def test_dots_are_what_the_ground_is_drawn_on_as_well(pool):
    root = drawn(estimates.svg(pool))

    [dots], [hole] = of_class(root, "dot"), of_class(root, "hole")
    assert hole.get("href") == f"#{dots[0].get('id')}"
    assert list(root).index(hole) == list(root).index(dots) + 1


def test_the_thin_bar_never_ends_inside_the_thick_one(pool):
    effects = pool.beliefs.effects
    sure_of = pool.beliefs._replace(effects=effects._replace(sd=effects.sd / 10))

    bars = estimates.groups(replace(pool, beliefs=sure_of))[0].bars
    assert [(bar.low, bar.high) for bar in bars] == [(c.low, c.high) for c in pool.cards]


def test_every_group_has_the_scale_above_it_and_the_last_one_below(make_card, make_pool):
    pool = make_pool(*(make_card(f"C{i}", 0.5, faction="AB"[i % 2]) for i in range(4)))

    root = drawn(estimates.svg(pool))
    [headings] = of_class(root, "head", "g")
    heads = [float(one.get("y")) for one in headings]
    used = [one for one in root.iter(f"{SVG}use") if one.get("href") == f"#{estimates.SCALE}"]
    scales = [float(one.get("y")) for one in used]
    assert scales[:-1] == heads
    assert len(heads) == 2
    assert scales[-1] > in_order(pool)[-1].y + estimates.ROW
    assert texts(root).count("50%") == 1


def test_the_thin_bar_is_the_central_range_that_the_legend_names():
    card = judged("Ash Vine", 0.53, 0.02)
    pool = pooled(card)

    [group] = estimates.groups(pool)
    reach = 1.959964 * 0.02
    assert "95 in 100" in texts(drawn(estimates.svg(pool)))
    assert group.bars[0].low == pytest.approx(0.53 - reach, abs=0.001)
    assert group.bars[0].high == pytest.approx(0.53 + reach, abs=0.001)


@pytest.mark.parametrize(
    ("sure", "wide"),
    [(0.9, 0.95), (0.97, 0.95), (0.975, 0.99), (0.995, 0.998), (0.9995, 0.999)],
)
def test_the_wider_level_is_the_next_one_up(sure, wide):
    assert estimates.wide_level(sure) == pytest.approx(wide)


def test_a_card_without_games_is_drawn_apart_and_not_moved(make_card, make_pool):
    pool = make_pool(make_card("Kite", 0.56, 0.01, games=0), make_card("Vine", 0.56, 0.01))

    kite, vine = rows(pool).values()
    assert kite.look == ["wait", "none"]
    assert vine.look == ["keep"]
    assert kite.range[0] > line(pool)


def titles(pool) -> list[tuple[str, list[str]]]:
    return [
        (group.title, [bar.card.card for bar in group.bars]) for group in estimates.groups(pool)
    ]


def test_cards_stand_by_faction_the_weakest_first_and_unlabelled_ones_last(
    make_card, make_pool
):
    pool = make_pool(
        make_card("Bell", 0.53, faction="Wick"),
        make_card("Ash", 0.46, faction="Wick"),
        make_card("Moth", 0.45),
        make_card("Kite", 0.5, faction="Cog"),
    )

    assert titles(pool) == [
        ("Cog", ["Kite"]),
        ("Wick", ["Ash", "Bell"]),
        ("No label", ["Moth"]),
    ]
    assert [row.name for row in in_order(pool)] == [
        "Kite", "Ash", "Bell", "Moth",
    ]  # fmt: skip


def test_without_factions_cards_stand_by_the_archetype_of_most_games(make_card, make_pool):
    kites, moths = HomeRecord("Kites", 90, 40, 0.5), HomeRecord("Moths", 10, 4, 0.5)
    pool = make_pool(
        make_card("Bell", 0.53, homes=(kites, moths)), make_card("Ash", 0.46, homes=(moths,))
    )

    assert titles(pool) == [("Kites", ["Bell"]), ("Moths", ["Ash"])]


def test_without_either_there_is_one_group(make_card, make_pool):
    assert titles(make_pool(make_card("Ash", 0.46))) == [("All cards", ["Ash"])]


def test_rows_never_lie_on_each_other_nor_outside(make_card, make_pool):
    pool = make_pool(*(make_card(f"C{i}", 0.5, faction="AB"[i % 2]) for i in range(9)))
    root = drawn(estimates.svg(pool))

    heights = [row.y for row in in_order(pool)]
    gaps = np.diff(heights)
    assert gaps.min() >= estimates.ROW
    assert heights[0] >= estimates.TOP + estimates.HEADER
    assert heights[-1] + estimates.ROW < float(root.get("height")) - estimates.FOOT


@pytest.mark.parametrize("at", [0.05, 0.49, 0.97])
def test_the_line_has_room_to_move_and_every_range_to_widen(at, make_card, make_pool):
    pool = make_pool(make_card("Ash", 0.46, 0.03), make_card("Bell", 0.53), line=at)

    low, high = estimates.domain(pool)
    ends = pool.beliefs.rates([0.005, 0.995])
    assert 0 <= low <= max(0, at - 0.08)
    assert min(1, at + 0.08) <= high <= 1
    assert low <= ends.min()
    assert ends.max() <= high


def test_the_line_says_where_it_is(pool):
    [label] = of_class(drawn(estimates.svg(pool)), "line-label")

    assert label.text == "line 49.0%"
    assert float(label.get("x")) == line(pool)


def test_long_names_are_shortened_and_stay_apart(make_card, make_pool):
    long = [
        "Lantern Keeper of the Very Long Lane by the River",
        "Lantern Keeper of the Very Long Lane by the Sea",
    ]
    pool = make_pool(*(make_card(name, 0.5) for name in long))

    names = [row.name for row in in_order(pool)]
    assert len(set(names)) == 2
    assert max(map(len, names)) <= estimates.LONGEST_NAME


def test_names_do_not_run_into_the_bars(make_card, make_pool):
    pool = make_pool(make_card("W" * 34, 0.4, 0.04), make_card("Bell", 0.53))

    root = drawn(estimates.svg(pool))
    start = float(root.get("data-x0"))
    assert start >= estimates.NAMES_FROM + 34 * 6


@pytest.mark.parametrize("name", ["<b>bold</b>", "a & b", '"quoted"', "</svg>", "灯"])
def test_a_name_stays_a_name(name, make_card, make_pool):
    pool = make_pool(make_card(name, 0.5))

    assert name in texts(drawn(estimates.svg(pool)))
    assert name in drawn(estimates.svg(pool)).find(f"{SVG}desc").text


@pytest.mark.parametrize("number", [60, 540])
def test_a_row_takes_little_room(number, make_card, make_pool):
    cards = [make_card(f"Lantern of Tin Lane {i:03}", 0.4 + i / 4000) for i in range(number)]

    svg = estimates.svg(make_pool(*cards))
    assert len(svg.encode()) <= 110 * number + 3_000


def test_words_beside_the_picture_say_what_it_shows(pool):
    said = estimates.alt(pool)

    assert said.startswith("8 cards: 2 to cut, 2 to keep, 4 that cannot be called yet.")
    assert "from 43.6% (Ember Oracle) to 56.1% (River Bell); the line is at 49.0%." in said
    assert "on the thick bar is 8 in 10, on the thin one 95 in 100" in estimates.caption(pool)


@pytest.mark.parametrize("sure", SURENESS)
def test_the_ranges_are_named_for_how_sure_is_sure_enough(sure, pool):
    other = replace(pool, sure=sure)

    assert words.range_name(sure) in texts(drawn(estimates.svg(other)))
    assert f"thick bar is {words.range_name(sure)}" in estimates.caption(other)


def test_the_same_pool_gives_the_same_picture(pool):
    assert estimates.svg(pool) == estimates.svg(pool)
