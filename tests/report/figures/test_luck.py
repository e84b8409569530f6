"""Raw win rates against games, with what luck alone would do."""

from dataclasses import replace
from math import log

import numpy as np
import pytest
from scipy.stats import binom

from tests.report.figures.drawings import SVG, drawn, of_class, texts
from winrate_tools.report.figures import luck


@pytest.fixture
def scattered(make_card, make_pool):
    """A hundred cards from 20 to 20,000 games."""
    games = np.geomspace(20, 20_000, 100).astype(int)
    return make_pool(
        *(
            make_card(f"C{i}", 0.45 + 0.001 * i, 0.01, games=int(n), win_rate=0.45 + 0.001 * i)
            for i, n in enumerate(games)
        ),
        design_effect=1.0,
    )


def curves(pool) -> list[list[tuple[float, float]]]:
    """Return the points of every curve as games and win rate."""
    x, y = luck.scales(pool)
    return [
        [
            (
                float(
                    np.exp(x.low + (float(a) - x.start) / (x.end - x.start) * (x.high - x.low))
                ),
                y.low + (float(b) - y.start) / (y.end - y.start) * (y.high - y.low),
            )
            for a, b in (point.split(",") for point in one.get("points").split())
        ]
        for one in of_class(drawn(luck.svg(pool)), "curve")
    ]


def test_the_curves_are_binomial_limits_of_an_average_card(scattered):
    """Quantiles by scipy's binomial distribution; within a win and what pixels round away."""
    levels = (0.1, 0.9, 0.005, 0.995)

    found = curves(scattered)
    assert len(found) == 4
    for points, level in zip(found, levels, strict=True):
        assert len(points) > 10
        for games, rate in points:
            wanted = binom.ppf(level, round(games), 0.51) / games
            assert rate == pytest.approx(wanted, abs=1 / games + 0.0015)


def test_the_curves_close_in_as_games_grow(scattered):
    low, high, outer_low, outer_high = curves(scattered)

    assert [rate for _, rate in low] == sorted(rate for _, rate in low)
    assert [rate for _, rate in outer_low] == sorted(rate for _, rate in outer_low)
    assert [-rate for _, rate in high] == sorted(-rate for _, rate in high)
    assert outer_low[-1][1] < low[-1][1] < 0.51 < high[-1][1] < outer_high[-1][1]


def test_the_curves_stay_inside_the_picture(scattered):
    _, y = luck.scales(scattered)

    rates = [rate for points in curves(scattered) for _, rate in points]
    assert y.low - 1e-3 <= min(rates)
    assert max(rates) <= y.high + 1e-3


def test_games_in_runs_widen_the_curves(scattered):
    runs = curves(replace(scattered, design_effect=2.0))

    assert runs[0][-1][1] < curves(scattered)[0][-1][1]
    assert runs[1][-1][1] > curves(scattered)[1][-1][1]


def test_every_card_with_games_is_a_dot_where_its_record_is(pool):
    x, y = luck.scales(pool)

    root = drawn(luck.svg(pool))
    dots = {one.find(f"{SVG}title").text: one for one in root.iter(f"{SVG}use")}
    assert len(dots) == 7
    oracle = dots["Ember Oracle: 43.2% of 270 games"]
    assert float(oracle.get("x")) == pytest.approx(x(log(270)), abs=0.06)
    assert float(oracle.get("y")) == pytest.approx(y(0.432), abs=0.06)


def test_no_dot_lies_at_the_edge(scattered):
    dots = list(drawn(luck.svg(scattered)).iter(f"{SVG}use"))

    across = [float(dot.get("x")) for dot in dots]
    assert luck.LEFT + 8 < min(across) < max(across) < luck.WIDTH - 16
    down = [float(dot.get("y")) for dot in dots]
    assert luck.TOP + 8 < min(down) < max(down) < luck.TOP + luck.HEIGHT - 8


def test_cuts_are_named_and_nobody_else_is(pool):
    written = [one.text for one in of_class(drawn(luck.svg(pool)), "over", "g")[0]]

    assert {"Ember Oracle", "Tin Moth"} <= set(written)
    assert "River Bell" not in written


def test_the_middle_is_the_average_card_and_the_curves_have_names(pool):
    said = texts(drawn(luck.svg(pool)))

    assert "average card 51.0%" in said
    assert {"8 in 10", "99 in 100", "raw win rate", "games (log scale)"} <= set(said)


def test_estimates_for_other_players_leave_the_middle_of_the_records(pool):
    moved = replace(pool, baseline=0.5, sample_mean=0.56, baseline_origin="target")

    assert luck.centre(moved) == 0.56
    assert luck.centre(replace(moved, baseline_origin="given")) == 0.5


def test_words_count_what_lies_outside(make_card, make_pool):
    pool = make_pool(
        make_card("Far", 0.45, games=10_000, win_rate=0.40),
        make_card("Near", 0.5, games=100, win_rate=0.52),
        make_card("Between", 0.5, games=1_000, win_rate=0.54),
        make_card("None", 0.5, games=0),
        design_effect=1.0,
    )

    said = luck.alt(pool)
    assert said == (
        "3 cards with 100 to 10,000 games. Outside the 8 in 10 limits: 2, where luck alone "
        "would put about 0.6. Outside the 99 in 100 limits: 1, where luck alone would put "
        "under 0.1."
    )


def test_games_are_marked_at_round_numbers(scattered):
    said = texts(drawn(luck.svg(scattered)))

    assert [text for text in said if text in {"20", "50", "100", "1,000", "20,000"}] == [
        "20", "50", "100", "1,000", "20,000",
    ]  # fmt: skip
    assert "25" not in said


def test_one_card_is_picture_enough(make_card, make_pool):
    pool = make_pool(make_card("Ash", 0.5, games=1, win_rate=0.0, wins=0))

    assert len(list(drawn(luck.svg(pool)).iter(f"{SVG}use"))) == 1


def test_a_card_of_unknown_wins_is_left_out(make_card, make_pool):
    pool = make_pool(make_card("Ash", 0.5, win_rate=None), make_card("Bell", 0.5))

    assert [card.card for card in luck.played(pool)] == ["Bell"]


def test_the_caption_names_the_average(pool):
    assert "(51.0%), luck alone would put 8 in 10" in luck.caption(pool)


def test_where_so_few_games_have_no_limit_no_curve_is_drawn(make_card, make_pool):
    pool = make_pool(*(make_card(f"C{n}", 0.5, games=n, win_rate=n % 2) for n in (1, 2, 50)))

    assert min(len(points) for points in curves(pool)) > 5
    assert all(0 < rate < 1 for points in curves(pool) for _, rate in points)


def test_a_name_of_a_curve_stays_inside_the_picture(scattered):
    root = drawn(luck.svg(scattered))

    names = [one for one in root.iter(f"{SVG}text") if one.text in {"8 in 10", "99 in 100"}]
    assert len(names) == 2
    assert min(float(one.get("y")) for one in names) > luck.TOP + 8
