"""The prior's coefficients, given its shape."""

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.stats.cards.coefficients import Coefficients, Given, _information
from winrate_tools.stats.cards.hyperparameters import _gradient
from winrate_tools.stats.cards.logit_normal import Evidence
from winrate_tools.stats.cards.prior import Prior
from winrate_tools.stats.cards.quadratic import Looks, Quadratic


def pool(
    cards: int = 40, *, second: bool = True, games: float = 900
) -> tuple[Coefficients, Prior]:
    rng = np.random.default_rng(2)
    usage = rng.standard_normal((cards, 2))
    member = np.eye(2)[np.arange(cards) % 2]
    prior = Prior(usage, member, 0.08, usage.mean(axis=1), has_second_class=second)
    effects = 0.1 * usage[:, 0] + 0.1 * rng.standard_normal(cards)
    wins = 1.0 * rng.binomial(int(games), expit(effects))
    evidence = Evidence(wins, np.full(cards, games), np.zeros(cards))
    return Coefficients.of(Quadratic.near(evidence, effects), prior), prior


SECOND = pytest.mark.parametrize("second", [False, True])


@SECOND
def test_slopes_are_those_of_the_log_posterior(second: bool):
    coefficients, prior = pool(second=second)
    hyper = prior.start()[None] + 0.03

    height, slope, _ = coefficients.slopes(hyper)

    assert height == pytest.approx(coefficients.quick.log_posterior(prior, hyper))
    wanted = _gradient(coefficients.quick.posterior, prior, hyper)
    assert slope == pytest.approx(wanted[:, : prior.spread_at])


@SECOND
def test_information_is_the_bend_of_the_log_posterior(second: bool):
    coefficients, prior = pool(second=second)
    hyper, step = prior.start() + 0.02, 1e-5

    _, _, information = coefficients.slopes(hyper[None], lost=np.inf)

    shift = step * np.eye(prior.size)[: prior.spread_at]
    up, down = coefficients.slopes(hyper + shift)[1], coefficients.slopes(hyper - shift)[1]
    assert information[0] == pytest.approx(-(up - down) / (2 * step), rel=1e-5, abs=1e-4)


def test_information_has_no_negative_direction_where_all_classes_are_in_doubt():
    coefficients, prior = pool(games=30_000)
    rng = np.random.default_rng(4)
    hyper = prior.start() + rng.standard_normal((200, prior.size))

    _, _, information = coefficients.slopes(hyper)

    assert np.linalg.eigvalsh(information).min() > 0


def test_cards_without_games_leave_the_prior():
    prior = pool()[1]
    quick = Quadratic.near(Evidence(*np.zeros((3, 40))), np.zeros(40))

    found = Coefficients.of(quick, prior).given(prior.start()[None, 5:], np.full((1, 5), 0.2))

    assert found.mode == pytest.approx(np.zeros((1, 5)), abs=1e-12)
    assert found.root[0] == pytest.approx(np.diag(1 / prior.coefficient_sd()))


@SECOND
def test_modes_have_hardly_a_slope_and_masses_are_laplaces(second: bool):
    coefficients, prior = pool(second=second)
    at = prior.spread_at
    shape = prior.start()[at:] + 0.1 * np.random.default_rng(5).standard_normal((30, 1))
    near = coefficients.given(shape, np.zeros((30, at))).mode

    found = coefficients.given(shape, near)

    height, slope, information = coefficients.slopes(np.hstack([found.mode, shape]))
    off = np.linalg.solve(information, slope[..., None])[..., 0]
    deviation = np.sqrt(np.linalg.inv(information).diagonal(axis1=1, axis2=2))
    assert np.abs(off / deviation).max() < 0.1
    laplace = height - 0.5 * np.linalg.slogdet(information)[1]
    assert found.log_mass == pytest.approx(laplace, abs=0.05)


def test_shapes_taken_by_parts_are_those_taken_at_once(monkeypatch):
    coefficients, prior = pool()
    shape = prior.start()[5:] + 0.1 * np.random.default_rng(5).standard_normal((30, 5))
    whole = coefficients.given(shape, np.zeros((30, 5)))

    monkeypatch.setattr("winrate_tools.stats.cards.coefficients.AT_ONCE", 7 * 40)

    for part, one in zip(coefficients.given(shape, np.zeros((30, 5))), whole, strict=True):
        assert part == pytest.approx(one)


def test_draws_about_the_modes_have_the_precision_and_the_density_of_the_normal():
    precision = np.array([[4.0, 1.0], [1.0, 2.0]])
    given = Given(np.array([[1.0, -1.0]]), np.linalg.cholesky(precision)[None], np.zeros(1))
    z = np.random.default_rng(6).standard_normal((20_000, 2))

    drawn = np.array([given.at(one[None])[0] for one in z[:4000]])

    assert np.cov(drawn.T) == pytest.approx(np.linalg.inv(precision), abs=0.02)
    off = drawn[:3] - given.mode
    wanted = 0.5 * np.linalg.slogdet(precision)[1]
    wanted = wanted - 0.5 * np.einsum("hi,ij,hj->h", off, precision, off)
    assert [given.log_density(one[None])[0] for one in z[:3]] == pytest.approx(wanted)


def test_draws_lie_on_the_side_that_their_deviates_say():
    root = np.linalg.cholesky(np.array([[4.0, 1.0], [1.0, 2.0]]))
    given = Given(np.array([[1.0, -1.0]]), root[None], np.zeros(1))

    drawn = given.at(np.array([[0.5, 2.0]]))

    assert root.T @ (drawn - given.mode)[0] == pytest.approx([0.5, 2.0])


def test_no_coefficient_moves_by_more_than_three_tenths_and_each_shape_by_itself():
    coefficients, prior = pool()
    shape = np.tile(prior.start()[5:], (2, 1))
    near = coefficients.given(shape[:1], np.zeros((1, 5))).mode[0]
    start = near + np.array([[2.0, 0.0, 0.0, 0.0, 0.0], [0.01] * 5])

    found = coefficients.given(shape, start)

    _, slope, information = coefficients.slopes(np.hstack([start, shape]))
    step = np.linalg.solve(information, slope[..., None])[..., 0]
    longest = np.abs(step).max(axis=1)
    assert longest[0] > 0.6
    assert longest[1] < 0.3
    assert found.mode[0] - start[0] == pytest.approx(step[0] * 0.3 / longest[0])
    assert found.mode[1] - start[1] == pytest.approx(step[1])


def looks(share: float, first: float, second: float, one: float, other: float) -> Looks:
    """One card at one shape: what its class is, how it pulls, how it bends."""
    classes = np.array([1 - share, share]), np.array([first, second]), np.array([one, other])
    return Looks(*(each.reshape(2, 1, 1) for each in classes), np.zeros(1))


@pytest.mark.parametrize(
    ("look", "lost"),
    [
        pytest.param(looks(0.3, 2.0, -1.0, 10.0, 4.0), 0.3 * 4 / 10 + 0.7 / 4, id="part"),
        pytest.param(looks(0.4, 5.0, -3.0, 10.0, 4.0), 0.95, id="too much"),
        pytest.param(looks(0.4, 0.0, 0.0, 10.0, 4.0), 0.0, id="nothing"),
        pytest.param(looks(0.4, 0.0, 0.0, 0.0, 0.0), 0.0, id="no games"),
    ],
)
def test_a_card_whose_class_is_in_doubt_loses_that_part_of_what_it_tells(look, lost: float):
    one, two = look.share[:, 0, 0]
    first, second = look.slope[:, 0, 0]
    sharp = look.precision[:, 0, 0]
    whole = two * first**2 / sharp[0] + one * second**2 / sharp[1] if sharp.all() else 0.0

    usual, other, both = _information(look, 0.95)[0]

    part = one * two * (lost / whole if whole else 1.0)
    assert (usual, other) == pytest.approx(
        (one * sharp[0] - part * first**2, two * sharp[1] - part * second**2)
    )
    assert both == pytest.approx(part * first * second)
