"""Laplace's approximation: heights, slopes and modes."""

import numpy as np
import pytest
from scipy import stats

from winrate_tools.errors import FitError
from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.crossed import laplace
from winrate_tools.stats.crossed.arrow import Variances
from winrate_tools.stats.crossed.blocks import Layout, laid_out
from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.laplace import (
    Look,
    Point,
    joint_step,
    moved,
    rescaled,
    settled,
)

RNG = np.random.default_rng(7)
CARD, GROUP, BAND = (axis.ravel() for axis in np.indices((5, 3, 2)))
GAMES = RNG.integers(0, 20, CARD.size).astype(float)
FIXED = np.column_stack([np.ones(CARD.size), BAND, RNG.normal(size=CARD.size)])
OFFSET = 0.3 * RNG.normal(size=CARD.size)
WINS = RNG.binomial(GAMES.astype(int), 0.4).astype(float)
LAYOUT = laid_out(Cells(WINS, GAMES, CARD, FIXED, GROUP, OFFSET))
BETA = np.array([-0.3, 0.2, -0.4])
ALL = Variances(0.5, 0.3, 0.2)
SOME = [ALL, ALL._replace(cell=0.0), ALL._replace(card=0.0), Variances(0.4, 0.0, 0.0)]


def look_at(point: Point, layout: Layout = LAYOUT) -> Look:
    return settled(Look(layout, point, np.zeros(layout.shape)))


def height(fixed: np.ndarray, variances: np.ndarray) -> float:
    return look_at(Point(fixed, Variances(*variances))).height


def whole_log_density(look: Look, dual: np.ndarray) -> float:
    """Log density of counts and effects, from scipy's densities; variances all above 0."""
    v = look.point.variances
    card, group, cell = v.card * dual.sum(1), v.group * dual.sum(0), v.cell * dual
    effect = card[CARD] + group[GROUP] + cell[CARD, GROUP]
    rate = 1 / (1 + np.exp(-(FIXED @ look.point.fixed + OFFSET + effect)))
    parts = zip((card, group, cell), v, strict=True)
    prior = sum(stats.norm.logpdf(part, 0, np.sqrt(s)).sum() for part, s in parts)
    constant = stats.norm.logpdf(0, 0, np.sqrt(v)) @ [5, 3, 15]
    return stats.binom.logpmf(WINS, GAMES, rate).sum() + prior - constant


def test_joint_density_is_that_of_counts_and_effects():
    dual = RNG.normal(size=(5, 3))
    look = Look(LAYOUT, Point(BETA, ALL), dual)

    whole = whole_log_density(look, dual)

    assert look.joint + LAYOUT.log_ways == pytest.approx(whole)


@pytest.mark.parametrize("variances", SOME)
def test_at_the_mode_residuals_add_up_to_the_dual_table(variances: Variances):
    look = look_at(Point(BETA, variances))

    assert look.score == pytest.approx(look.dual, abs=1e-9)


def test_the_mode_is_a_summit():
    look = look_at(Point(BETA, ALL))

    nearby = [
        Look(LAYOUT, look.point, look.dual + 0.1 * RNG.normal(size=(5, 3))).joint
        for _ in range(20)
    ]
    assert max(nearby) < look.joint


@pytest.mark.parametrize("far", [-300.0, 40.0, 4000.0])
def test_the_mode_is_found_from_anywhere(far: float):
    point = Point(BETA, Variances(9.0, 4.0, 1.0))

    found = settled(Look(LAYOUT, point, np.full(LAYOUT.shape, far)))

    assert found.dual == pytest.approx(look_at(point).dual, abs=1e-8)


def test_effects_that_never_settle_are_refused(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(laplace, "MOST_STEPS", 1)

    with pytest.raises(FitError, match="did not settle in 1 steps"):
        look_at(Point(BETA, ALL))


def test_with_cards_alone_the_height_is_one_point_quadrature_by_card():
    offset = np.array([-0.5, 0.2, 0.9])
    wins, games = np.array([3.0, 0.0, 9.0]), np.array([10.0, 4.0, 9.0])
    cells = Cells(wins, games, np.arange(3), np.ones((3, 1)), offset=offset)

    look = look_at(Point(np.array([0.1]), Variances(0.49, 0, 0)), laid_out(cells))

    found = posterior(Evidence(wins, games, offset + 0.1), 0, 0.7, nodes=1)
    best = stats.binom.logpmf(wins, games, wins / games)
    assert look.height == pytest.approx((found.log_marginal + best).sum(), abs=1e-9)
    assert 0.49 * look.dual[:, 0] == pytest.approx(found.mean, abs=1e-9)


def test_without_variances_the_height_is_the_plain_likelihood():
    rate = 1 / (1 + np.exp(-(FIXED @ BETA + OFFSET)))

    assert height(BETA, np.zeros(3)) == pytest.approx(
        stats.binom.logpmf(WINS, GAMES, rate).sum()
    )


@pytest.mark.parametrize("variances", SOME)
def test_slopes_are_those_of_the_height(variances: Variances):
    start = np.concatenate([BETA, variances])

    by_fixed, by_variance = look_at(Point(BETA, variances)).slope()

    slopes = []
    for j in range(6):
        step = 1e-5 * (np.arange(6) == j)
        low, high = (height(end[:3], end[3:]) for end in (start - step, start + step))
        slopes.append((high - low) / 2e-5)
    assert by_fixed == pytest.approx(slopes[:3], rel=1e-6)
    assert by_variance == pytest.approx(slopes[3:], rel=1e-6)


@pytest.mark.parametrize("variances", SOME)
def test_fixed_information_is_the_inverse_of_the_marginal_covariance(variances: Variances):
    look = look_at(Point(BETA, variances))
    effect = variances.spread(look.dual)[CARD, GROUP]
    rate = 1 / (1 + np.exp(-(FIXED @ BETA + OFFSET + effect)))
    played = GAMES > 0
    same_card = CARD[:, None] == CARD
    same_group = GROUP[:, None] == GROUP
    prior = variances.card * same_card + variances.group * same_group
    prior = prior + variances.cell * (same_card & same_group)

    covariance = np.diag(1 / (GAMES * rate * (1 - rate))[played])
    covariance += prior[np.ix_(played, played)]
    whole = FIXED[played].T @ np.linalg.solve(covariance, FIXED[played])
    assert look.fixed_information == pytest.approx(whole)


def test_joint_steps_end_where_coefficients_and_effects_are_both_level():
    look = Look(LAYOUT, Point(np.zeros(3), ALL), np.zeros((5, 3)))
    for _ in range(12):
        fixed, dual = joint_step(look)
        look = Look(LAYOUT, Point(fixed, ALL), dual)

    assert look.score == pytest.approx(look.dual, abs=1e-9)
    assert look.fixed_score(look.residuals) == pytest.approx(0, abs=1e-9)


def test_a_joint_step_is_the_whole_regressions():
    start = Point(BETA, ALL)
    dual = 0.1 * RNG.normal(size=(5, 3))
    effects = np.hstack([np.eye(5)[CARD], np.eye(3)[GROUP], np.eye(15)[CARD * 3 + GROUP]])
    design = np.hstack([FIXED, effects])
    deviation = np.concatenate([dual.sum(1), dual.sum(0), dual.ravel()])
    spread = np.repeat(ALL, [5, 3, 15])
    before = np.concatenate([BETA, spread * deviation])
    rate = 1 / (1 + np.exp(-(design @ before + OFFSET)))
    penalty = np.concatenate([np.zeros(3), 1 / spread])
    information = design.T * (GAMES * rate * (1 - rate)) @ design + np.diag(penalty)
    after = before + np.linalg.solve(
        information, design.T @ (WINS - GAMES * rate) - penalty * before
    )

    fixed, moved_dual = joint_step(Look(LAYOUT, start, dual))

    assert fixed == pytest.approx(after[:3])
    assert ALL.spread(moved_dual)[CARD, GROUP] == pytest.approx(effects @ after[3:])


def test_a_look_moved_a_little_is_off_by_the_square_of_little():
    look = look_at(Point(BETA, ALL))

    def off(share: float) -> float:
        wider = Variances(*(1 + share) * np.array(ALL))
        point = Point(BETA + share * np.array([1, -2, 1]), wider)
        return np.abs(moved(look, point).dual - look_at(point).dual).max()

    assert off(0.01) < 0.02 * np.abs(look.dual).max()
    assert off(0.01) / off(0.001) == pytest.approx(100, rel=0.1)


def test_rescaled_effects_follow_their_variances():
    look = look_at(Point(BETA, Variances(0.5, 0, 0)))

    dual = rescaled(look, look.dual, Variances(0.5, 1e-4, 0))

    there = look_at(Point(BETA, Variances(0.5, 1e-4, 0)))
    assert dual == pytest.approx(there.dual, abs=3e-5)
    assert np.abs(there.dual - look.dual).max() > 1e-4
