"""Learning the prior from all cards at once."""

from functools import partial

import numpy as np
import pytest
from scipy import stats
from scipy.special import expit

from winrate_tools.stats.cards.hyperparameters import (
    _gradient,
    _Line,
    _modes,
    _proposal,
    _truncated,
    _weighed_normals,
    cards_given,
    learn,
)
from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.cards.newton import Peak
from winrate_tools.stats.cards.prior import SECOND_MEAN, SECOND_SD, Prior
from winrate_tools.stats.cards.proposal import WIDER


def prior_of(cards: int, *, columns: int = 0, factions: int = 0, second: bool = False) -> Prior:
    rng = np.random.default_rng(6)
    usage = np.clip(rng.standard_normal((cards, columns)), -2.5, 2.5)
    member = np.zeros((cards, factions))
    if factions:
        member[np.arange(cards), np.arange(cards) % factions] = 1
    score = usage.mean(axis=1) if columns else np.zeros(cards)
    return Prior(usage, member, 0.08, score, has_second_class=second)


def drawn(effects, games, seed: int = 4) -> Evidence:
    effects = np.asarray(effects)
    games = np.broadcast_to(np.asarray(games, dtype=float), effects.shape)
    wins = np.random.default_rng(seed).binomial(games.astype(int), expit(effects))
    return Evidence(wins.astype(float), games.copy(), np.zeros(len(effects)))


def no_games(cards: int) -> Evidence:
    return Evidence(*np.zeros((3, cards)))


def log_posterior(evidence: Evidence, prior: Prior, hyper: np.ndarray) -> np.ndarray:
    return cards_given(evidence, prior, hyper).log_likelihood + prior.log_density(hyper)


SHAPES = [
    pytest.param({}, id="plain"),
    pytest.param({"columns": 2}, id="usage"),
    pytest.param({"factions": 3}, id="factions"),
    pytest.param({"second": True}, id="second class"),
    pytest.param({"columns": 2, "factions": 3, "second": True}, id="all"),
]


@pytest.mark.parametrize("shape", SHAPES)
def test_gradient_is_the_slope_of_the_log_posterior(shape):
    rng = np.random.default_rng(9)
    prior = prior_of(25, **shape)
    evidence = drawn(rng.normal(0, 0.2, size=25), rng.integers(0, 300, size=25))
    hyper = prior.start() + 0.2 * rng.standard_normal((4, prior.size))
    step = 1e-5

    slopes = np.array(
        [
            log_posterior(evidence, prior, hyper + shift)
            - log_posterior(evidence, prior, hyper - shift)
            for shift in step * np.eye(prior.size)
        ]
    ).T / (2 * step)

    assert _gradient(partial(posterior, evidence), prior, hyper) == pytest.approx(
        slopes, rel=2e-3, abs=2e-3
    )


def test_the_log_posterior_is_the_mixture_of_each_cards_classes():
    prior = prior_of(6, columns=1, second=True)
    evidence, hyper = drawn(np.linspace(-0.3, 0.3, 6), 80), prior.start()
    classes = prior.classes(hyper[None])

    per_card = [
        sum(
            np.exp(
                classes.log_share[c, 0]
                + posterior(evidence, classes.mean[c, 0], classes.sd[c, 0]).log_marginal
            )
            for c in (0, 1)
        )
    ]
    expected = np.log(per_card).sum() + prior.log_density(hyper[None])[0]

    assert log_posterior(evidence, prior, hyper[None]) == pytest.approx([expected])


def test_a_cards_class_is_weighed_by_its_record():
    # Cards alike but for their records: 40 % of a thousand games smells of the second class.
    prior = prior_of(3, second=True)
    evidence = Evidence(
        np.array([400.0, 500.0, 0.0]), np.array([1000.0, 1000.0, 0.0]), np.zeros(3)
    )

    found = cards_given(evidence, prior, prior.start()[None])

    classes = prior.classes(prior.start()[None])
    assert found.share.sum(axis=0) == pytest.approx(np.ones((1, 3)))
    assert found.share[1, 0, 0] > 0.9
    assert found.share[1, 0, 1] < 0.1
    assert found.share[:, 0, 2] == pytest.approx(np.exp(classes.log_share[:, 0, 2]))
    assert found.mean[:, 0, 2] == pytest.approx(classes.mean[:, 0, 2])


def test_weights_sum_to_1_and_none_weighs_much():
    rng = np.random.default_rng(1)
    prior = prior_of(60, columns=1, factions=2, second=True)

    found = learn(drawn(rng.normal(0, 0.1, size=60), 400), prior, seed=1)

    assert found.draws.shape == (len(found.weight), prior.size)
    assert found.weight.sum() == pytest.approx(1)
    assert found.weight.min() >= 0
    assert found.effective_draws == pytest.approx(1 / (found.weight**2).sum())
    assert found.effective_draws > 0.45 * len(found.weight)


def test_no_weight_is_above_the_mean_times_the_root_of_their_number():
    log_weight = np.append(np.zeros(99), np.log(151))

    weight = _truncated(log_weight)

    # The mean is 2.5 and the root of their number 10: the large one is cut to 25.
    assert weight == pytest.approx(np.append(np.ones(99), 25) / 124)
    assert _truncated(log_weight + 700) == pytest.approx(weight)


@pytest.mark.parametrize(
    ("cards", "draws"), [(1, 2048), (40, 600), (200, 120), (1000, 96)], ids=str
)
def test_few_cards_get_more_draws(cards: int, draws: int):
    assert len(learn(no_games(cards), prior_of(cards), seed=1).weight) == draws


def test_one_card_leaves_the_spread_to_its_half_normal_prior():
    found = learn(drawn([0.05], 30), prior_of(1), seed=1)

    order = np.argsort(found.draws[:, 1])
    reached = np.cumsum(found.weight[order])
    quartiles = np.exp(found.draws[order, 1])[np.searchsorted(reached, [0.25, 0.5, 0.75])]
    assert quartiles == pytest.approx(
        stats.halfnorm.ppf([0.25, 0.5, 0.75], scale=0.25), rel=0.05
    )


def test_without_games_every_hyperparameter_keeps_its_prior():
    prior = prior_of(40, columns=1, factions=2, second=True)

    found = learn(no_games(40), prior, seed=1)

    values = found.draws.copy()
    values[:, prior.spread_at] = np.exp(values[:, prior.spread_at])
    mean = found.weight @ values
    sd = np.sqrt(found.weight @ (values - mean) ** 2)
    spread = stats.halfnorm(scale=0.15)
    wanted_mean = [0, 0, 0, 0, spread.mean(), *SECOND_MEAN]
    wanted_sd = np.array([0.5, 0.15, 0.08, 0.08, spread.std(), *SECOND_SD])
    assert (mean - wanted_mean) / wanted_sd == pytest.approx(np.zeros(9), abs=0.05)
    assert sd / wanted_sd == pytest.approx(np.ones(9), abs=0.1)


def test_agrees_with_a_grid_over_the_two_hyperparameters_of_a_plain_pool():
    evidence = drawn(np.random.default_rng(2).normal(0.1, 0.12, size=12), 150, seed=3)
    prior = prior_of(12)
    centre, log_spread = np.meshgrid(
        np.linspace(-0.5, 0.7, 241), np.linspace(np.log(0.003), np.log(1.5), 200)
    )
    grid = np.array([centre.ravel(), log_spread.ravel()]).T
    log_density = np.concatenate(
        [
            sum(posterior(evidence, part[:, :1], np.exp(part[:, 1:])).log_marginal.T)
            + stats.norm.logpdf(part[:, 0], 0, 0.5)
            + stats.halfnorm.logpdf(np.exp(part[:, 1]), scale=0.25)
            + part[:, 1]
            for part in np.array_split(grid, 20)
        ]
    )
    weight = np.exp(log_density - log_density.max())
    weight /= weight.sum()

    found = learn(evidence, prior, seed=1)

    def moments(points, weight):
        values = np.column_stack([points[:, 0], np.exp(points[:, 1])])
        mean = weight @ values
        return [*mean, *np.sqrt(weight @ (values - mean) ** 2)]

    assert moments(found.draws, found.weight) == pytest.approx(moments(grid, weight), rel=0.02)


def test_agrees_with_many_times_as_many_exactly_weighted_draws():
    """Some cards are odd on both sides; mean and deviation of every hyperparameter."""
    rng, odd = np.random.default_rng(3), np.arange(60) < 10
    prior = prior_of(60, columns=1, second=True)
    effects = 0.1 * prior.usage[:, 0] + np.where(odd, 0.25, 0.06) * rng.standard_normal(60)
    evidence = drawn(effects - 0.1 * odd, 3000)
    modes, coefficients = _modes(evidence, prior)
    proposal, line = _proposal(modes, prior), _Line.through(modes[0], prior.spread_at)
    for _ in range(4):
        shape = proposal.sample(rng, 5000)
        log_mass = coefficients.given(shape, line.at(shape)).log_mass
        proposal = proposal.nearer(shape, _truncated(log_mass - proposal.log_density(shape)))
    shape = proposal.sample(rng, 30_000)
    given = coefficients.given(shape, line.at(shape))
    z = rng.standard_normal((30_000, 2))
    tried = np.hstack([given.at(z), shape])
    log_proposed = proposal.log_density(shape) + given.log_density(z)
    parts = [log_posterior(evidence, prior, part) for part in np.array_split(tried, 60)]
    weight = _truncated(np.concatenate(parts) - log_proposed)
    wanted, deviation = _moments(tried, weight, prior)

    found = learn(evidence, prior, seed=1)

    mean, found_deviation = _moments(found.draws, found.weight, prior)
    assert 1 / (weight**2).sum() > 5000
    # Three standard errors of as many draws as ours are worth.
    error = 3 / np.sqrt(found.effective_draws)
    assert (mean - wanted) / deviation == pytest.approx(np.zeros(7), abs=error)
    assert found_deviation / deviation == pytest.approx(np.ones(7), abs=error / np.sqrt(2))


def _moments(draws: np.ndarray, weight: np.ndarray, prior: Prior) -> tuple:
    """Mean and deviation of each hyperparameter, and of the spread rather than its log."""
    values = draws.copy()
    values[:, prior.spread_at] = np.exp(values[:, prior.spread_at])
    mean = weight @ values
    return mean, np.sqrt(weight @ (values - mean) ** 2)


def test_modes_have_no_slope():
    rng = np.random.default_rng(11)
    prior = prior_of(50, columns=1, second=True)
    evidence = drawn(rng.normal(0, 0.2, size=50), 300)

    modes, coefficients = _modes(evidence, prior)

    points = np.array([mode.point for mode in modes])
    slopes = _gradient(coefficients.quick.posterior, prior, points)
    assert slopes == pytest.approx(np.zeros((2, 7)), abs=2e-3)
    exact = _gradient(partial(posterior, evidence), prior, modes[0].point[None])
    assert np.abs(np.linalg.solve(modes[0].information, exact[0])).max() < 0.02


def test_cards_far_from_what_is_usual_are_seen_from_where_they_are():
    # Without a spread of their own, and far off: an expansion about the usual prior misleads.
    rng = np.random.default_rng(5)
    prior = prior_of(60, columns=2, second=True)
    effects = 0.9 + prior.usage @ [0.3, -0.2]
    evidence = drawn(effects, np.exp(rng.normal(6.5, 1, 60)).round())

    found = learn(evidence, prior, seed=1)

    assert found.effective_draws > 0.4 * len(found.weight)
    assert found.weight @ found.draws[:, :3] == pytest.approx([0.9, 0.3, -0.2], abs=0.05)


def test_the_line_leads_from_mode_to_mode_of_a_normal():
    covariance = np.array([[0.5, 0.1, 0.2], [0.1, 0.4, -0.1], [0.2, -0.1, 0.3]])
    top = np.array([1.0, 2.0, 3.0])

    line = _Line.through(Peak(top, 0.0, np.linalg.inv(covariance)), 2)

    assert line.at(np.array([[3.0], [3.6]])) == pytest.approx(
        np.array([[1.0, 2.0], [1 + 0.6 * 0.2 / 0.3, 2 - 0.6 * 0.1 / 0.3]])
    )


@pytest.mark.parametrize("spread", [0.05, 0.12, 0.3])
def test_recovers_the_spread_that_cards_were_drawn_with(spread: float):
    rng = np.random.default_rng(7)
    effects = rng.normal(0.05, spread, size=400)

    found = learn(drawn(effects, 1500), prior_of(400), seed=1)

    assert found.weight @ np.exp(found.draws[:, 1]) == pytest.approx(spread, rel=0.12)
    assert found.weight @ found.draws[:, 0] == pytest.approx(effects.mean(), abs=0.01)


def test_recovers_what_usage_and_factions_do():
    rng = np.random.default_rng(12)
    prior = prior_of(300, columns=2, factions=3)
    shift = np.array([-0.1, 0.0, 0.1])
    effects = prior.usage @ [0.15, -0.05] + prior.factions @ shift + rng.normal(0, 0.1, 300)

    found = learn(drawn(effects, 2000), prior, seed=1)

    mean = found.weight @ found.draws
    assert mean[1:3] == pytest.approx([0.15, -0.05], abs=0.02)
    assert mean[5] - mean[3] == pytest.approx(0.2, abs=0.04)


def test_the_same_seed_gives_the_same_draws():
    evidence, prior = drawn(np.linspace(-0.2, 0.2, 20), 200), prior_of(20)

    first, again, other = (learn(evidence, prior, seed=seed) for seed in (1, 1, 2))

    assert np.array_equal(first.draws, again.draws)
    assert np.array_equal(first.weight, again.weight)
    assert not np.array_equal(first.draws, other.draws)
    assert first.weight @ first.draws == pytest.approx(other.weight @ other.draws, abs=0.02)


def test_posteriors_are_uniform_where_the_model_is_true():
    """Hold 240 small pools against the truth they were drawn with.

    If a parameter is drawn from its prior and data from the parameter, its place in its own
    posterior is uniform (Talts et al. 2018, simulation-based calibration; from memory).
    """
    rng, prior, pools = np.random.default_rng(20), prior_of(10), 240
    places = []
    for pool in range(pools):
        centre, spread = rng.normal(0, 0.5), abs(rng.normal(0, 0.25))
        truth = rng.normal(centre, spread, size=10)
        evidence = drawn(truth, rng.integers(5, 400, size=10), seed=pool)
        found = learn(evidence, prior, seed=pool)
        card = cards_given(evidence, prior, found.draws)
        below = stats.norm.cdf(truth[0], card.mean[0, :, 0], card.sd[0, :, 0])
        places.append([
            found.weight @ (found.draws[:, 0] < centre),
            found.weight @ (np.exp(found.draws[:, 1]) < spread),
            found.weight @ below,
        ])  # fmt: skip

    counts = np.array([np.histogram(column, 8, (0, 1))[0] for column in np.array(places).T])
    assert np.all(stats.chisquare(counts, axis=1).pvalue > 0.01)


def test_normals_weigh_up_to_standard_ones():
    weight = np.random.default_rng(2).dirichlet(np.ones(80))

    z = _weighed_normals(np.random.default_rng(3), weight, 4)

    assert weight @ z == pytest.approx(np.zeros(4), abs=1e-12)
    assert weight @ z**2 == pytest.approx(np.ones(4))
    assert np.ptp(z, axis=0).min() > 3


def test_shapes_are_looked_for_about_both_modes_between_them_and_where_the_prior_is():
    rng, prior = np.random.default_rng(8), prior_of(10, columns=1, second=True)
    roots = rng.standard_normal((2, 7, 7)) + 4 * np.eye(7)
    one, other = covariances = roots @ np.swapaxes(roots, 1, 2)
    points = rng.standard_normal((2, 7))
    modes = [
        Peak(at, 0.0, np.linalg.inv(of)) for at, of in zip(points, covariances, strict=True)
    ]

    found = _proposal(modes, prior)

    first, second = points[:, 2:]
    assert found.mean == pytest.approx(
        np.array([first, second, (first + second) / 2, [first[0], *SECOND_MEAN]])
    )
    near, far = one[2:, 2:], other[2:, 2:]
    before = np.diag([near[0, 0], *(SECOND_SD**2)])
    wanted = WIDER * np.array([near, far, (near + far) / 2, before])
    precision = found.root @ np.swapaxes(found.root, 1, 2)
    assert np.linalg.inv(precision) == pytest.approx(wanted)
    assert found.share == pytest.approx([0.3, 0.3, 0.3, 0.1])
