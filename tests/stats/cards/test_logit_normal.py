"""Counts of wins under a normal prior on the log-odds."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq
from scipy.special import expit, log_expit, xlogy

from winrate_tools.errors import CountError
from winrate_tools.stats.cards.logit_normal import Evidence, Posterior, _hermite, posterior

MANY_NODES = 61

# Wins, games, offset, prior mean, prior standard deviation.
CASES = [
    pytest.param(0, 0, 0.3, 0.1, 0.4, id="no games"),
    pytest.param(0, 1, 0.0, 0.0, 0.5, id="one game lost"),
    pytest.param(1, 1, 0.0, -0.1, 0.5, id="one game won"),
    pytest.param(0, 40, 0.2, 0.05, 0.3, id="no wins"),
    pytest.param(40, 40, -0.2, 0.0, 0.3, id="all wins"),
    pytest.param(3.5, 7.25, 0.1, 0.0, 0.2, id="counts that are not whole"),
    pytest.param(230, 400, 0.0, -0.1, 0.15, id="hundreds"),
    pytest.param(0, 5_000, 0.0, 0.0, 0.15, id="thousands and no wins"),
    pytest.param(52_000, 100_000, 0.0, 0.0, 0.15, id="a hundred thousand"),
    pytest.param(5, 9, 0.0, 0.0, 0.003, id="narrow prior"),
    pytest.param(5, 9, 0.0, 2.5, 1.5, id="far and wide prior"),
    pytest.param(500, 1000, 0.0, 8.0, 3.0, id="prior where the likelihood is flat"),
    pytest.param(
        0, 205.13, 0.0, 5.0962, 0.23891, id="where Newton's steps go round in circles"
    ),
]
MILLIONS = [
    pytest.param(5.2e8, 1e9, 0.05, 0.0, 0.15, id="half of them"),
    pytest.param(0, 1e9, 0.0, 0.0, 0.3, id="none"),
    pytest.param(1e9, 1e9, 0.0, 0.0, 0.3, id="all"),
]


def one(wins: float, games: float, offset: float = 0.0) -> Evidence:
    return Evidence(np.array([wins], float), np.array([games], float), np.array([offset]))


def log_likelihood(t, wins: float, games: float, offset: float):
    """Log of the binomial likelihood at log-odds offset + t, over the best there is."""
    best = xlogy(wins, wins) + xlogy(games - wins, games - wins) - xlogy(games, games)
    losses = games - wins
    return wins * log_expit(offset + t) + losses * log_expit(-offset - t) - best


def on_a_dense_grid(wins: float, games: float, offset: float, mu: float, tau: float):
    """Log marginal, mean and standard deviation by the trapezium rule on 40,001 points."""

    def slope(t: float) -> float:
        return wins - games * expit(offset + t) - (t - mu) / tau**2

    reach = games * tau**2 + 1
    mode = brentq(slope, mu - reach, mu + reach, xtol=1e-14)
    rate = expit(offset + mode)
    sd = (games * rate * (1 - rate) + tau**-2) ** -0.5
    t = np.linspace(mode - 16 * sd, mode + 16 * sd, 40_001)
    log_joint = log_likelihood(t, wins, games, offset) - 0.5 * ((t - mu) / tau) ** 2
    top = log_joint.max()
    density = np.exp(log_joint - top)
    total = np.trapezoid(density, t)
    mean = np.trapezoid(density * t, t) / total
    variance = np.trapezoid(density * (t - mean) ** 2, t) / total
    return top + np.log(total / (tau * np.sqrt(2 * np.pi))), mean, np.sqrt(variance)


@pytest.mark.parametrize(("wins", "games", "offset", "mu", "tau"), CASES)
def test_agrees_with_a_dense_grid(wins, games, offset, mu, tau):
    log_marginal, mean, sd = on_a_dense_grid(wins, games, offset, mu, tau)

    found = posterior(one(wins, games, offset), mu, tau, nodes=MANY_NODES)

    assert found.log_marginal[0] == pytest.approx(log_marginal, abs=2e-9)
    assert found.mean[0] == pytest.approx(mean, abs=1e-9)
    assert found.sd[0] == pytest.approx(sd, rel=1e-8)


@pytest.mark.parametrize(("wins", "games", "offset", "mu", "tau"), CASES)
def test_the_usual_nodes_are_enough(wins, games, offset, mu, tau):
    log_marginal, mean, sd = on_a_dense_grid(wins, games, offset, mu, tau)

    found = posterior(one(wins, games, offset), mu, tau)

    assert found.log_marginal[0] == pytest.approx(log_marginal, abs=2e-5)
    assert found.mean[0] == pytest.approx(mean, abs=2e-4 * tau)
    assert found.sd[0] == pytest.approx(sd, rel=1e-3)


@pytest.mark.parametrize(("wins", "games", "offset", "mu", "tau"), MILLIONS)
def test_holds_at_a_thousand_million_games(wins, games, offset, mu, tau):
    log_marginal, mean, sd = on_a_dense_grid(wins, games, offset, mu, tau)

    found = posterior(one(wins, games, offset), mu, tau)

    assert found.log_marginal[0] == pytest.approx(log_marginal, rel=1e-5, abs=1e-5)
    assert found.mean[0] == pytest.approx(mean, rel=1e-6, abs=1e-8)
    assert found.sd[0] == pytest.approx(sd, rel=1e-3)


def test_without_games_the_prior_stands():
    found = posterior(one(0, 0, offset=0.7), [[-0.2], [0.4]], 0.3)

    assert found.mean[:, 0] == pytest.approx([-0.2, 0.4], abs=1e-14)
    assert found.sd == pytest.approx(np.full((2, 1), 0.3), rel=1e-12)
    assert found.log_marginal == pytest.approx(np.zeros((2, 1)), abs=1e-14)


def test_more_nodes_come_ever_closer():
    _, mean, sd = on_a_dense_grid(0, 12, 0.0, 0.0, 0.8)

    found = [posterior(one(0, 12), 0.0, 0.8, nodes=nodes) for nodes in (1, 3, 7, 15, 31)]
    misses = [abs(each.mean[0] - mean) + abs(each.sd[0] - sd) for each in found]

    assert all(later < earlier / 2 for earlier, later in pairwise(misses))
    assert misses[-1] < 1e-8


def test_one_node_is_laplace():
    wins, games, mu, tau = 30.0, 80.0, 0.1, 0.4

    found = posterior(one(wins, games), mu, tau, nodes=1)

    t = found.mean[0]
    rate = expit(t)
    precision = games * rate * (1 - rate) + tau**-2
    height = log_likelihood(t, wins, games, 0.0) - 0.5 * ((t - mu) / tau) ** 2
    assert wins - games * rate - (t - mu) / tau**2 == pytest.approx(0, abs=1e-8)
    assert found.sd[0] == pytest.approx(precision**-0.5, rel=1e-10)
    assert found.log_marginal[0] == pytest.approx(height - np.log(tau * precision**0.5))


def test_priors_broadcast_against_cards():
    evidence = Evidence(
        np.array([3.0, 60.0, 0.0]), np.array([5.0, 100.0, 0.0]), np.array([0.0, 0.2, -0.1])
    )
    mean, sd = np.array([-0.1, 0.2])[:, None, None], np.array([0.1, 0.3, 0.5, 1.0])[:, None]

    found = posterior(evidence, mean, sd)

    assert {each.shape for each in found} == {(2, 4, 3)}
    for row, col in np.ndindex(2, 4):
        alone = posterior(evidence, mean[row, 0, 0], sd[col, 0])
        for part, single in zip(found, alone, strict=True):
            assert part[row, col] == pytest.approx(single, rel=1e-9, abs=1e-12)


def test_the_offset_only_moves_the_origin():
    shifted = posterior(one(7, 20, offset=0.4), -0.3, 0.2)
    plain = posterior(one(7, 20), 0.1, 0.2)

    assert shifted.mean + 0.4 == pytest.approx(plain.mean, abs=1e-10)
    assert shifted.sd == pytest.approx(plain.sd, rel=1e-9)
    assert shifted.log_marginal == pytest.approx(plain.log_marginal, abs=1e-10)


counts = st.tuples(st.integers(0, 3000), st.floats(0, 1)).map(
    lambda pair: (float(round(pair[0] * pair[1])), float(pair[0]))
)


@given(counts, st.floats(-1, 1), st.floats(0.01, 1))
def test_wins_and_losses_mirror_each_other(record, mu, tau):
    wins, games = record

    found = posterior(one(wins, games, 0.3), mu, tau)
    mirrored = posterior(one(games - wins, games, -0.3), -mu, tau)

    assert mirrored.mean == pytest.approx(-found.mean, abs=1e-8)
    assert mirrored.sd == pytest.approx(found.sd, rel=1e-6)
    assert mirrored.log_marginal == pytest.approx(found.log_marginal, abs=1e-8)


@given(counts, st.floats(-1, 1), st.floats(0.01, 1))
def test_games_never_widen_the_prior_and_a_win_never_lowers_the_mean(record, mu, tau):
    wins, games = record
    evidence = Evidence(
        np.array([wins, wins + 1]), np.array([games + 1, games + 1]), np.zeros(2)
    )

    found: Posterior = posterior(evidence, mu, tau, nodes=31)

    assert np.all(found.sd <= tau * (1 + 1e-9))
    assert found.mean[1] > found.mean[0]
    assert np.all(found.log_marginal <= 1e-9)


@pytest.mark.parametrize(
    ("wins", "games", "offset"),
    [
        (-1.0, 4.0, 0.0),
        (5.0, 4.0, 0.0),
        (np.nan, 4.0, 0.0),
        (1.0, np.inf, 0.0),
        (1.0, 4.0, np.inf),
        (1.0, 4.0, np.nan),
    ],
)
def test_refuses_counts_that_no_match_could_produce(wins, games, offset):
    with pytest.raises(CountError, match="finite with 0 <= wins <= games"):
        one(wins, games, offset)


@pytest.mark.parametrize("nodes", [1, 2, 9, 40])
def test_nodes_and_weights_are_those_of_numpy(nodes: int):
    points, weights = np.polynomial.hermite_e.hermegauss(nodes)

    found, undecayed = _hermite(nodes)

    assert found == pytest.approx(points, abs=1e-12)
    shown = undecayed * np.exp(-(found**2) / 2)
    assert shown == pytest.approx(weights / np.sqrt(2 * np.pi), rel=1e-9, abs=1e-14)
