"""The crossed model: published fits, and what must hold for any."""

import csv
from pathlib import Path

import numpy as np
import pytest
import statsmodels.api as sm

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.crossed import CrossedFit, crossed

PUBLISHED = Path(__file__).parent.parent.parent / "published"


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((PUBLISHED / name).read_text(encoding="utf-8").splitlines()))


def column(name: str, header: str) -> np.ndarray:
    return np.array([int(row[header]) for row in rows(name)])


def dummies(levels: np.ndarray) -> np.ndarray:
    """Columns of an intercept and of each level but the first."""
    found = np.unique(levels)[1:]
    return np.column_stack([np.ones(len(levels)), *(levels == level for level in found)])


def herds(group: np.ndarray | None = None) -> Cells:
    name = "cbpp.csv"
    herd = column(name, "herd") - 1
    fixed = dummies(column(name, "period"))
    counts = column(name, "incidence"), column(name, "size")
    if group is None:
        return Cells(*counts, herd, fixed)
    return Cells(*counts, group, fixed, herd)


def seeds() -> Cells:
    name = "seeds_crowder1978.csv"
    kind, root = column(name, "x1"), column(name, "x2")
    fixed = np.column_stack([np.ones(21), kind, root, kind * root])
    return Cells(column(name, "r"), column(name, "n"), np.arange(21), fixed)


def answers(*, with_columns: bool) -> Cells:
    people, items = rows("verbagg_people.csv"), rows("verbagg_items.csv")
    said = np.array([[int(digit) for digit in row["answers"]] for row in people])
    person, item = (axis.ravel() for axis in np.indices(said.shape))
    behaviour = np.array([row["behaviour"] for row in items])[item]
    situation = np.array([row["situation"] for row in items])[item]
    fixed = np.ones((said.size, 1))
    if with_columns:
        anger = np.array([float(row["anger"]) for row in people])[person]
        man = np.array([row["gender"] == "M" for row in people])[person]
        himself = situation == "self"
        fixed = np.column_stack([fixed, anger, man, dummies(behaviour)[:, 1:], himself])
    return Cells(said.ravel(), np.ones(said.size), person, fixed, item)


# lme4 1.1-31, glmer with nAGQ = 1, and glmmTMB 1.1.5, both by Laplace. Fixed effects, spreads
# of cards and groups, log-likelihood. lme4 with tolPwrss = 1e-12 (by default it stops iterating
# on the modes so early that cbpp comes out .0003 lower in log-likelihood: see DEFAULTS) agrees
# with glmmTMB to the digits given, for seeds and cbpp; the answers are glmmTMB's. Recomputed.
TIGHT = [
    pytest.param(
        herds(),
        [-1.3985325, -0.9923323, -1.1286713, -1.5803137],
        (0.6422617, 0),
        -92.02628187,
        id="cbpp",
    ),
    pytest.param(
        herds(np.arange(56)),
        [-1.5002918, -1.2265089, -1.3288405, -1.8662649],
        (0.8910785, 0.1839471),
        -87.31915554,
        id="cbpp with an effect of each row",
    ),
    pytest.param(
        seeds(),
        [-0.5484908, 0.0974247, 1.3368075, -0.8100270],
        (0.2345842, 0),
        -53.76957146,
        id="seeds",
    ),
    pytest.param(
        answers(with_columns=True),
        [0.199065, 0.057429, 0.320717, -1.058804, -2.105390, -1.055456],
        (1.339704, 0.495306),
        -4075.6998599,
        id="answers",
    ),
    pytest.param(
        answers(with_columns=False),
        [-0.162615],
        (1.373356, 1.129507),
        -4101.5488063,
        id="answers without columns",
    ),
]


@pytest.mark.parametrize(("cells", "fixed", "spreads", "log_likelihood"), TIGHT)
def test_agrees_with_two_other_programs(
    cells: Cells, fixed: list[float], spreads: tuple[float, float], log_likelihood: float
):
    fit = crossed(cells)

    assert fit.has_converged
    assert fit.fixed == pytest.approx(fixed, abs=2e-5)
    assert (fit.card_sd, fit.group_sd) == pytest.approx(spreads, abs=2e-5)
    assert fit.log_likelihood == pytest.approx(log_likelihood, abs=2e-7)


# As lme4 prints these fits by default (its help page for cbpp; De Boeck and Wilson's data in
# its help page for VerbAgg; seeds recomputed). The distances allowed are those at which the
# same program's tighter iterations end, and a thousandth of a standard error at most.
DEFAULTS = [
    pytest.param(
        herds(),
        [-1.3983429, -0.9919250, -1.1282162, -1.5797454],
        (0.6420699, 0),
        -92.026566,
        6e-4,
        id="cbpp",
    ),
    pytest.param(
        seeds(),
        [-0.5484837, 0.0974257, 1.3368108, -0.8100413],
        (0.2345795, 0),
        -53.769572,
        2e-5,
        id="seeds",
    ),
    pytest.param(
        answers(with_columns=True),
        [0.199257, 0.0574097, 0.3206098, -1.0586359, -2.1050603, -1.0552844],
        (1.3395394, 0.4952425),
        -4075.7002,
        4e-4,
        id="answers",
    ),
    pytest.param(
        answers(with_columns=False),
        [-0.1626085],
        (1.3733364, 1.1294881),
        -4101.5488,
        2e-5,
        id="answers without columns",
    ),
]


@pytest.mark.parametrize(("cells", "fixed", "spreads", "log_likelihood", "near"), DEFAULTS)
def test_agrees_with_lme4_as_printed_and_is_never_lower(
    cells: Cells,
    fixed: list[float],
    spreads: tuple[float, float],
    log_likelihood: float,
    near: float,
):
    fit = crossed(cells)

    assert fit.fixed == pytest.approx(fixed, abs=near)
    assert (fit.card_sd, fit.group_sd) == pytest.approx(spreads, abs=near)
    assert fit.log_likelihood == pytest.approx(log_likelihood, abs=5e-4)
    assert fit.log_likelihood > log_likelihood - 1e-4


# lme4 1.1-31 with tolPwrss = 1e-12: modes of the herds, and the first variances, which hold
# coefficients fixed and so are smaller than ours.
HERDS = [
    0.590020, -0.298897, 0.406256, 0.039277, -0.190015, -0.400269, 0.889394, 0.599372,
    -0.237655, -0.540935, -0.084637, -0.064817, -0.689925, 0.970716, -0.530476,
]  # fmt: skip


def test_effects_of_the_herds():
    fit = crossed(herds())

    assert fit.card_effect == pytest.approx(HERDS, abs=2e-6)
    assert fit.card_variance[:2] == pytest.approx([0.1213 + 0.0268, 0.1336 + 0.0205], abs=0.01)
    assert np.all(fit.card_variance[:2] > [0.12128, 0.13363])


def test_spreads_that_the_cells_cannot_have_are_nothing_and_unknown():
    fit = crossed(herds())

    assert (fit.group_sd, fit.cell_sd) == (0, 0)
    assert fit.sd_error[1:].tolist() == [np.inf, np.inf]
    assert fit.sd_error[0] == pytest.approx(0.18, abs=0.03)


# Standard errors by glmmTMB 1.1.5; lme4 prints .23121 for the first, .2312121 with its default
# and .2324718 with tighter iterations.
ERRORS = [
    pytest.param(herds(), [0.2324721, 0.3066425, 0.3266378, 0.4274366], id="cbpp"),
    pytest.param(seeds(), [0.1661081, 0.2773892, 0.2362303, 0.3842209], id="seeds"),
]


@pytest.mark.parametrize(("cells", "errors"), ERRORS)
def test_exact_errors_agree_with_another_program(cells: Cells, errors: list[float]):
    fit = crossed(cells, exact_errors=True)

    assert np.sqrt(fit.fixed_covariance.diagonal()) == pytest.approx(errors, abs=1e-5)


# glmmTMB 1.1.5: standard errors of the logs of the spreads .05112416 and .15929685.
def test_exact_errors_of_the_spreads_agree_with_another_program():
    fit = crossed(answers(with_columns=True), exact_errors=True)

    logs = fit.sd_error[:2] / [fit.card_sd, fit.group_sd]
    assert logs == pytest.approx([0.05112, 0.15930], abs=2e-5)
    assert fit.sd_error[2] == np.inf


# lme4's standard errors from the weights alone (use.hessian = FALSE), tolPwrss = 1e-12.
def test_quick_errors_of_coefficients_agree_with_lme4():
    fit = crossed(herds())

    errors = np.sqrt(fit.fixed_covariance.diagonal())
    assert errors == pytest.approx([0.227891, 0.305386, 0.326049, 0.428795], abs=1e-5)


RNG = np.random.default_rng(3)
CARD, GROUP = (axis.ravel() for axis in np.indices((30, 4)))
GAMES = RNG.integers(20, 60, CARD.size).astype(float)
TRUE = 0.3 + (0.5 * RNG.normal(size=30))[CARD] + np.array([-0.4, 0.0, 0.1, 0.5])[GROUP]
WINS = RNG.binomial(GAMES.astype(int), 1 / (1 + np.exp(-TRUE))).astype(float)
USAGE = RNG.normal(size=30)[CARD]
FIXED = np.column_stack([np.ones(CARD.size), USAGE])
CELLS = Cells(WINS, GAMES, CARD, FIXED, GROUP)


def the_same(first: CrossedFit, second: CrossedFit) -> bool:
    return all(
        np.allclose(getattr(first, name), getattr(second, name), atol=1e-6)
        for name in ("fixed", "card_sd", "group_sd", "card_effect", "card_variance")
    )


def test_expected_log_odds_follow_the_order_of_the_rows():
    order = RNG.permutation(CARD.size)
    offset = 0.1 * USAGE
    columns = (WINS, GAMES, CARD, FIXED, GROUP, offset)

    fit = crossed(Cells(*columns), cell_effects=True)
    mixed = crossed(Cells(*(column[order] for column in columns)), cell_effects=True)

    effects = fit.card_effect[CARD] + fit.group_effect[GROUP] + fit.cell_effect[CARD, GROUP]
    assert fit.expected == pytest.approx(FIXED @ fit.fixed + offset + effects)
    assert mixed.expected == pytest.approx(fit.expected[order], abs=1e-6)
    assert the_same(fit, mixed)


def test_an_offset_is_a_column_whose_coefficient_is_known():
    plain = crossed(CELLS)

    moved = crossed(Cells(WINS, GAMES, CARD, FIXED, GROUP, 0.7 * USAGE))

    assert moved.fixed == pytest.approx(plain.fixed - [0, 0.7], abs=1e-5)
    assert moved.log_likelihood == pytest.approx(plain.log_likelihood, abs=1e-7)


def test_games_told_one_by_one_make_the_same_fit_but_for_the_ways():
    won = np.concatenate(
        [
            np.repeat([1, 0], [w, g - w])
            for w, g in zip(WINS.astype(int), GAMES.astype(int), strict=True)
        ]
    )
    row = np.repeat(np.arange(CARD.size), GAMES.astype(int))

    single = crossed(Cells(won, np.ones(row.size), CARD[row], FIXED[row], GROUP[row]))

    fit = crossed(CELLS)
    assert the_same(single, fit)
    assert single.log_likelihood < fit.log_likelihood


def test_switching_wins_and_losses_flips_every_sign():
    fit, other = crossed(CELLS), crossed(Cells(GAMES - WINS, GAMES, CARD, FIXED, GROUP))

    assert other.fixed == pytest.approx(-fit.fixed, abs=1e-6)
    assert other.card_effect == pytest.approx(-fit.card_effect, abs=1e-6)
    assert other.log_likelihood == pytest.approx(fit.log_likelihood, abs=1e-8)


def test_cards_and_groups_may_change_places():
    fit, other = crossed(CELLS), crossed(Cells(WINS, GAMES, GROUP, FIXED, CARD))

    assert other.group_sd == pytest.approx(fit.card_sd, abs=1e-6)
    assert other.card_effect == pytest.approx(fit.group_effect, abs=1e-6)
    assert other.group_covariance.diagonal() == pytest.approx(fit.card_variance, abs=1e-6)
    swapped = other.card_group_covariance.T
    assert swapped == pytest.approx(fit.card_group_covariance, abs=1e-6)


def test_finds_the_spreads_that_made_the_games():
    rng = np.random.default_rng(1)
    card, group = (axis.ravel() for axis in np.indices((400, 15)))
    log_odds = (0.4 * rng.normal(size=400))[card] + (0.3 * rng.normal(size=15))[group]
    log_odds += 0.2 * rng.normal(size=card.size)
    games = np.full(card.size, 100.0)
    wins = rng.binomial(100, 1 / (1 + np.exp(-log_odds)))

    fit = crossed(Cells(wins, games, card, np.ones((card.size, 1)), group), cell_effects=True)

    off = (np.array([fit.card_sd, fit.group_sd, fit.cell_sd]) - [0.4, 0.3, 0.2]) / fit.sd_error
    assert np.abs(off).max() < 4
    assert np.all(fit.sd_error[[0, 2]] < 0.03)
    own = fit.expected - fit.fixed - fit.card_effect[card] - fit.group_effect[group]
    assert own == pytest.approx(fit.cell_effect[card, group])
    assert np.std(own) > 0.1


def test_without_any_spread_the_fit_is_a_plain_regression():
    rng = np.random.default_rng(2)
    rate = 1 / (1 + np.exp(-(0.2 + 0.3 * USAGE)))
    wins = np.round(GAMES * rate)
    cells = Cells(wins, GAMES, CARD, FIXED, GROUP, 0.05 * rng.normal(size=CARD.size))

    fit = crossed(cells, cell_effects=True)

    losses = np.column_stack([wins, GAMES - wins])
    plain = sm.GLM(losses, FIXED, sm.families.Binomial(), offset=cells.offset).fit(tol=1e-14)
    assert (fit.card_sd, fit.group_sd, fit.cell_sd) == (0, 0, 0)
    assert fit.fixed == pytest.approx(plain.params, abs=1e-6)
    assert fit.fixed_covariance == pytest.approx(plain.cov_params(), rel=1e-6)
    assert fit.log_likelihood == pytest.approx(plain.llf, abs=1e-8)
    assert not fit.card_effect.any()
    assert not fit.card_variance.any()
    assert fit.has_converged


def test_cards_without_games_have_no_effect_and_the_whole_spread():
    card = np.where(CARD >= 15, CARD + 2, CARD)

    fit = crossed(Cells(WINS, GAMES, card, FIXED, GROUP))

    without = crossed(CELLS)
    assert fit.card_effect[[15, 16]].tolist() == [0, 0]
    assert fit.card_variance[[15, 16]] == pytest.approx(fit.card_sd**2)
    assert np.delete(fit.card_effect, [15, 16]) == pytest.approx(without.card_effect, abs=1e-6)


def test_groups_without_games_have_no_effect_and_the_whole_spread():
    fit = crossed(Cells(WINS, GAMES, CARD, FIXED, GROUP + 1))

    assert fit.group_effect[0] == 0
    assert fit.group_covariance[0, 0] == pytest.approx(fit.group_sd**2)
    assert fit.group_effect[1:] == pytest.approx(crossed(CELLS).group_effect, abs=1e-6)


def test_a_prior_of_the_groups_spread_keeps_doubt_where_the_best_has_none():
    even = Cells(GAMES / 2, GAMES, CARD, np.ones((CARD.size, 1)), GROUP)

    best, doubtful = crossed(even), crossed(even, group_prior=0.3)

    assert best.group_sd == 0
    assert not best.group_covariance.any()
    assert 0.01 < doubtful.group_sd < 0.3
    assert 0 < doubtful.sd_error[1] < doubtful.group_sd * 2
    assert doubtful.group_covariance.diagonal().min() > 1e-4
    assert doubtful.group_effect == pytest.approx(0, abs=1e-9)


def test_a_prior_of_the_groups_spread_draws_groups_together():
    plain, loose, tight = (crossed(CELLS, group_prior=scale) for scale in (None, 3.0, 0.05))

    assert np.abs(tight.group_effect).max() < np.abs(plain.group_effect).max()
    assert loose.group_effect == pytest.approx(plain.group_effect, abs=0.05)
    assert loose.group_covariance.diagonal().min() > plain.group_covariance.diagonal().max()
    assert tight.sd_error[1] < 0.05 < plain.sd_error[1]
    assert loose.sd_error[0] == pytest.approx(plain.sd_error[0], rel=0.1)


@pytest.mark.parametrize(
    ("cells", "options", "message"),
    [
        (herds(), {"cell_effects": True}, "cell_effects and group_prior need groups"),
        (herds(), {"group_prior": 0.3}, "cell_effects and group_prior need groups"),
        (CELLS, {"group_prior": 0.0}, "group_prior must be above 0 and finite, got 0"),
        (CELLS, {"group_prior": np.inf}, "above 0 and finite, got inf"),
    ],
)
def test_refuses(cells: Cells, options: dict[str, float], message: str):
    with pytest.raises(FitError, match=message):
        crossed(cells, **options)
