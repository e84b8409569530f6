"""The climb to the maximum of Laplace's likelihood."""

import numpy as np
import pytest

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed import climb
from winrate_tools.stats.crossed.blocks import laid_out
from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.climb import at, base, climbed, curvature

RNG = np.random.default_rng(11)
CARD, GROUP = (axis.ravel() for axis in np.indices((25, 4)))
GAMES = np.full(CARD.size, 40.0)
ONES = np.ones((CARD.size, 1))
EFFECT = (0.6 * RNG.normal(size=25))[CARD] + (0.4 * RNG.normal(size=4))[GROUP]
WINS = RNG.binomial(40, 1 / (1 + np.exp(-EFFECT))).astype(float)
FIXED = np.column_stack([np.ones(CARD.size), RNG.normal(size=CARD.size)])
CELLS = Cells(WINS, GAMES, CARD, FIXED, GROUP)
BOTH = np.array([True, True, False])
ALL = np.array([True, True, True])


def summit(cells: Cells, free: np.ndarray) -> climb.Summit:
    return climbed(base(laid_out(cells), free), free)


@pytest.mark.parametrize("free", [BOTH, ALL])
def test_no_slope_is_left_at_the_summit_and_all_around_is_lower(free: np.ndarray):
    top = summit(CELLS, free)

    stand = top.stand
    loose = np.concatenate([[True, True], free])
    around = [
        at(stand, end[:2], end[2:]).look.height
        for j in np.flatnonzero(loose)
        for end in stand.coordinates + 0.02 * np.outer([-1, 1], np.arange(5) == j)
    ]
    assert top.has_converged
    assert np.abs(stand.slope[loose]) == pytest.approx(0, abs=1e-4)
    assert max(around) < stand.look.height


def test_the_climb_does_not_depend_on_where_it_begins():
    layout = laid_out(CELLS)
    start = base(layout, BOTH)

    ends = [
        climbed(at(start, np.array([fixed, -fixed]), np.array([card, group, 0])), BOTH).stand
        for fixed, card, group in [(0, 0.01, 2.0), (2, 3.0, 0.05), (-1, 0.2, 1e-7)]
    ]

    best = summit(CELLS, BOTH).stand.coordinates
    assert np.array([end.coordinates for end in ends]) == pytest.approx(
        np.tile(best, (3, 1)), abs=1e-5
    )


def test_a_spread_that_is_best_at_nothing_ends_at_exactly_nothing():
    even = Cells(GAMES / 2, GAMES, CARD, ONES, GROUP)

    top = summit(even, ALL)

    assert top.has_converged
    assert top.stand.spreads.tolist() == [0, 0, 0]
    assert np.all(top.stand.by_variance < 0)


def test_a_spread_of_nothing_beside_one_of_something():
    wins = RNG.binomial(40, 1 / (1 + np.exp(-(0.6 * RNG.normal(size=25))[CARD])))
    even = wins.reshape(25, 4).mean(1)[CARD]

    top = summit(Cells(even, GAMES, CARD, ONES, GROUP), BOTH)

    alone = summit(Cells(even, GAMES, CARD, ONES), np.array([True, False, False]))
    assert top.stand.spreads[1] == 0
    assert top.stand.spreads[0] > 0.3
    assert top.stand.coordinates == pytest.approx(alone.stand.coordinates, abs=1e-6)
    assert top.stand.look.height == pytest.approx(alone.stand.look.height, abs=1e-8)


def test_a_small_spread_that_is_real_is_kept():
    nudge = 0.5 + 0.01 * np.where(np.arange(25) % 2, 1, -1)
    games = np.full(CARD.size, 4000.0)

    top = summit(Cells(nudge[CARD] * games, games, CARD, ONES, GROUP), BOTH)

    assert top.stand.spreads[0] == pytest.approx(0.04, abs=0.005)
    assert top.stand.spreads[1] == 0


def test_held_spreads_stay():
    start = base(laid_out(CELLS), BOTH)
    held = at(start, start.look.point.fixed, np.array([start.spreads[0], 0.9, 0]))

    top = climbed(held, np.array([True, False, False]))

    assert top.has_converged
    assert top.stand.spreads[1] == 0.9
    assert top.stand.slope[[0, 1, 2]] == pytest.approx(0, abs=1e-4)
    assert top.stand.slope[3] < -1


def test_curvature_is_that_of_the_height():
    top = summit(CELLS, BOTH).stand

    curve = curvature(top, BOTH)

    def height(change: np.ndarray) -> float:
        end = top.coordinates + change
        return at(top, end[:2], end[2:]).look.height

    i, j = 1e-3 * np.eye(5)[[0, 2]]
    mixed = height(i + j) - height(i - j) - height(j - i) + height(-i - j)
    bend = height(j) - 2 * top.look.height + height(-j)
    assert curve[0, 2] == pytest.approx(-mixed / 4e-6, rel=0.02)
    assert curve[2, 2] == pytest.approx(-bend / 1e-6, rel=1e-3)
    assert curve == pytest.approx(curve.T)
    assert not curve[4].any()


def test_a_spread_of_nothing_has_no_curvature_to_tell():
    even = Cells(GAMES / 2, GAMES, CARD, ONES, GROUP)

    curve = curvature(summit(even, ALL).stand, ALL)

    assert curve[0, 0] == pytest.approx(GAMES.sum() / 4, rel=1e-4)
    assert not curve[1:].any()


def test_a_climb_takes_few_steps_and_ends_where_none_is_left():
    top = summit(CELLS, ALL)

    assert top.steps <= 7
    assert top.stand.look.height == pytest.approx(
        at(top.stand, top.stand.look.point.fixed, top.stand.spreads).look.height, abs=1e-9
    )


def test_many_games_change_nothing():
    log_odds = (0.2 * RNG.normal(size=25))[CARD] + 0.1 * GROUP

    def coordinates(games: float) -> np.ndarray:
        wins = games / (1 + np.exp(-log_odds))
        cells = Cells(wins, np.full(CARD.size, games), CARD, ONES, GROUP)
        return summit(cells, BOTH).stand.coordinates

    assert coordinates(9e10) == pytest.approx(coordinates(1e7), abs=2e-5)


def test_wide_spreads_are_found():
    rng = np.random.default_rng(1)
    log_odds = (3 * rng.normal(size=25))[CARD]
    wins = rng.binomial(40, 1 / (1 + np.exp(-log_odds)))

    top = summit(Cells(wins, GAMES, CARD, ONES, GROUP), BOTH)

    assert top.has_converged
    assert 2 < top.stand.spreads[0] < 5


def test_expected_information_is_near_the_curvature():
    top = summit(CELLS, BOTH).stand

    ratio = top.information.diagonal()[:4] / curvature(top, BOTH).diagonal()[:4]

    assert ratio == pytest.approx(1, abs=0.15)


def test_a_climb_that_runs_out_of_steps_says_so(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(climb, "MOST_STEPS", 1)

    assert not summit(CELLS, BOTH).has_converged


def test_a_climb_that_cannot_rise_says_so(monkeypatch: pytest.MonkeyPatch):
    start = base(laid_out(CELLS), BOTH)
    monkeypatch.setattr(climb, "MOST_HALVINGS", 0)

    assert not climbed(start, BOTH).has_converged


@pytest.mark.parametrize(
    ("wins", "column"), [(GAMES, 0), (0 * GAMES, 0), (np.where(GROUP == 2, GAMES, WINS), 1)]
)
def test_a_coefficient_without_end_is_named(wins: np.ndarray, column: int):
    fixed = np.column_stack([np.ones(CARD.size), 100.0 * (GROUP == 2)])
    cells = Cells(wins, GAMES, CARD, fixed[:, : column + 1])

    with pytest.raises(FitError, match=f"fixed column {column} has no finite estimate"):
        summit(cells, np.array([True, False, False]))


def test_a_spread_without_end_is_named():
    cells = Cells(np.array([0, 10]), np.array([10, 10]), np.array([0, 1]), np.ones((2, 1)))

    with pytest.raises(FitError, match="spread of the cards has no finite estimate"):
        summit(cells, np.array([True, False, False]))
