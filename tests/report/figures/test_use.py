"""How strong cards are against how drafters use them."""

import pytest

from tests.report.figures.drawings import SVG, drawn, ends, of_class, texts
from winrate_tools.report.figures import use


def test_only_cards_of_known_use_are_drawn_each_where_it_belongs(pool):
    x, y = use.scales(pool)

    dots = {
        one.find(f"{SVG}title").text: (float(one.get("x")), float(one.get("y")))
        for one in drawn(use.svg(pool)).iter(f"{SVG}use")
    }
    assert set(dots) == {"Ember Oracle", "Tin Moth", "Paper Kite"}
    assert dots["Tin Moth"] == pytest.approx((x(1.6), y(0.462)), abs=0.06)
    assert dots["Paper Kite"][0] < dots["Ember Oracle"][0] < dots["Tin Moth"][0]
    assert dots["Paper Kite"][1] < dots["Tin Moth"][1] < dots["Ember Oracle"][1]


def test_the_line_is_where_the_pool_has_it(pool):
    _, y = use.scales(pool)

    across = [one for one in of_class(drawn(use.svg(pool)), "line") if ends(one) == (44, 720)]
    assert [float(one.get("y1")) for one in across] == pytest.approx([y(0.49)], abs=0.06)
    assert "line 49.0%" in texts(drawn(use.svg(pool)))


def test_traps_are_named_the_most_sought_after_first(make_card, make_pool):
    pool = make_pool(
        make_card("Mild", 0.47, reasons=("weak", "trap"), usage=0.7),
        make_card("Bold", 0.47, reasons=("weak", "trap"), usage=1.7),
        make_card("Other", 0.47, usage=2.0),
    )

    assert [card.card for card in use.traps(pool)] == ["Bold", "Mild"]
    [named] = of_class(drawn(use.svg(pool)), "over")
    assert [one.text for one in named] == ["Bold", "Mild"]
    assert use.alt(pool) == (
        "3 cards whose use is known. Traps, with best estimate and chance of being below the "
        "line: Bold (47.0%, over 19 in 20); Mild (47.0%, over 19 in 20)."
    )


def test_without_a_trap_the_words_say_so(make_card, make_pool):
    assert use.alt(make_pool(make_card("Ash", 0.5, usage=0.0))) == (
        "1 card whose use is known. No card is a trap."
    )


def test_the_usual_use_is_always_in_sight(make_card, make_pool):
    x, _ = use.scales(make_pool(make_card("Ash", 0.5, usage=3.0)))

    assert x.low < 0
    assert x.high > 3


def test_the_caption_names_the_line(pool):
    assert "under the line of 49.0%" in use.caption(pool)


def test_a_name_stays_off_the_line_where_it_can(make_card, make_pool):
    pool = make_pool(
        make_card("Ash Vine", 0.4895, 0.0001, reasons=("trap",), usage=0.5),
        make_card("Tin Moth", 0.42, usage=-1.0),
        make_card("River Bell", 0.56, usage=1.0),
    )

    [[name]] = of_class(drawn(use.svg(pool)), "over")
    _, y = use.scales(pool)
    assert abs(float(name.get("y")) - 3 - y(pool.line)) > 5


def test_games_alone_do_not_tell_of_use(make_card, make_pool):
    card = make_card("Ash", 0.5, usage=0.3)

    assert use.used(make_pool(card, use_known=("games",))) == []
    assert use.used(make_pool(card, use_known=("games", "mean_pick"))) == [card]


def test_estimates_lean_on_use_only_where_the_pool_could_teach_how(pool, make_card, make_pool):
    untaught = make_pool(make_card("Ash", 0.5, usage=0.3), usage_columns=())

    assert use.caption(pool).endswith("Estimates lean on use where games are few.")
    assert "lean on use" not in use.caption(untaught)
