"""The picture of all cards through matplotlib."""

import sys

import pytest

from winrate_tools.errors import MissingExtraError, OutputError
from winrate_tools.report.cards import plots
from winrate_tools.report.cards.plots import drawn, plot

STARTS = {".png": b"\x89PNG", ".svg": b"<?xml", ".pdf": b"%PDF"}


@pytest.mark.parametrize("ending", STARTS)
def test_the_ending_decides_and_the_same_pool_gives_the_same_bytes(ending, pool):
    picture = plot(pool, ending)

    assert picture.startswith(STARTS[ending])
    assert picture == plot(pool, ending.upper())


@pytest.mark.parametrize(("ending", "got"), [(".gif", r"\.gif"), ("", "no ending")])
def test_another_ending_is_refused(ending, got, pool):
    with pytest.raises(OutputError, match=rf"end in \.png, \.svg, \.pdf, got {got}"):
        plot(pool, ending)


def test_without_matplotlib_the_extra_is_named(monkeypatch, pool):
    monkeypatch.setitem(sys.modules, "matplotlib", None)

    with pytest.raises(MissingExtraError, match=r'pip install "winrate_tools\[plot\]"'):
        plot(pool, ".png")


def test_names_stay_names_whatever_a_formula_or_the_font_would_make_of_them(
    make_card, make_pool
):
    names = ["$x$", "a|b <i>", r"\frac", "灯", "a_b"]
    pool = make_pool(*(make_card(name, 0.5) for name in names))

    text = plot(pool, ".svg").decode()
    assert [
        name for name in ("$x$", "a|b &lt;i&gt;", r"\frac", "灯", "a_b") if name not in text
    ] == []


def test_bars_line_and_names_stand_where_the_pool_has_them(pool):
    axes = drawn(pool).axes[0]

    wide, thick, _, _ = axes.collections[0], axes.collections[1], *axes.collections[2:4]
    spans = sorted(tuple(segment[:, 0]) for segment in thick.get_segments())
    played = sorted((card.low, card.high) for card in pool.cards if card.games)
    assert spans == [pytest.approx(span) for span in played]
    assert len(wide.get_segments()) == len(played)
    assert axes.lines[0].get_xdata()[0] == pool.line
    assert [label.get_text() for label in axes.get_yticklabels()] == [
        c.card for c in pool.cards
    ]
    assert "thick 8 in 10, thin 95 in 100   line 49.0%" in axes.get_title(loc="left")


def test_the_weakest_stand_on_top(pool):
    low, high = drawn(pool).axes[0].get_ylim()

    assert low > high


def test_a_picture_grows_by_a_row_a_card(make_card, make_pool):
    short, tall = (
        drawn(make_pool(*(make_card(f"Lamp {n}", 0.5) for n in range(count)))).get_figheight()
        for count in (10, 30)
    )

    assert tall - short == pytest.approx(20 * plots.ROW)


def test_a_huge_pool_still_fits_a_picture(monkeypatch, pool):
    monkeypatch.setattr(plots, "TALLEST", 150)

    figure = plots.drawn(pool)
    assert figure.get_figheight() * figure.dpi == pytest.approx(150)


def test_no_text_of_the_picture_is_read_as_a_formula(make_card, make_pool):
    axes = drawn(make_pool(make_card("$x$", 0.5, faction="$y$"))).axes[0]

    written = [*axes.get_yticklabels(), *axes.texts]
    assert {"$x$", "$y$"} <= {one.get_text() for one in written}
    assert {one.get_parse_math() for one in written} == {False}
