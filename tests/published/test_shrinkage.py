"""Published fits of shrinkage models, and values recomputed with R from published data."""

import csv
from pathlib import Path

import numpy as np
import pytest
from scipy import stats
from scipy.optimize import minimize

from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.records.beta_binomial import beta_binomial
from winrate_tools.stats.records.heterogeneity import paule_mandel

HERE = Path(__file__).parent


def columns(name: str, *wanted: str, **kept: str) -> list[np.ndarray]:
    rows = list(csv.DictReader((HERE / name).read_text(encoding="utf-8").splitlines()))
    rows = [row for row in rows if all(row[key] == value for key, value in kept.items())]
    return [np.array([float(row[column]) for row in rows]) for column in wanted]


def log_ways(successes, tries) -> float:
    """Log of the binomial coefficients, which packages add to a likelihood and we do not."""
    return float((stats.binom.logpmf(successes, tries, 0.5) - tries * np.log(0.5)).sum())


POSITIVE, TESTED = columns("toxop_elsalvador.csv", "positive", "ssize")

# Toxoplasmosis in 34 cities of El Salvador (data: Efron 1986, JASA 81:709-721). Random
# intercepts fitted with glmer of lme4 1.1-31: its Laplace approximation, whose log-likelihood
# is -75.324928, and 15 quadrature nodes. Recomputed values, not printed ones; glmer stops
# within 1e-5 of the top.
GLMER = [
    pytest.param(1, -0.1228524, 0.5132076, id="Laplace"),
    pytest.param(15, -0.1245682, 0.5208971, id="15 nodes"),
]
GLMER_STOPS_WITHIN = 1e-5


def logit_normal_fit(nodes: int) -> tuple[float, float, float]:
    evidence = Evidence(POSITIVE, TESTED, np.zeros(len(TESTED)))

    def loss(x):
        return -posterior(evidence, x[0], np.exp(x[1]), nodes=nodes).log_marginal.sum()

    best = minimize(
        loss, [0, -1], method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-12}
    )
    return float(best.x[0]), float(np.exp(best.x[1])), -float(best.fun)


@pytest.mark.parametrize(("nodes", "mean", "sd"), GLMER)
def test_logit_normal_fit_of_toxoplasmosis(nodes: int, mean: float, sd: float):
    found_mean, found_sd, _ = logit_normal_fit(nodes)

    assert found_mean == pytest.approx(mean, abs=GLMER_STOPS_WITHIN)
    assert found_sd == pytest.approx(sd, abs=GLMER_STOPS_WITHIN)


def test_laplace_log_likelihood_of_toxoplasmosis():
    # The marginal is counted from each city's best likelihood.
    best = stats.binom.logpmf(POSITIVE, TESTED, POSITIVE / TESTED).sum()

    assert logit_normal_fit(1)[2] + best == pytest.approx(-75.324928, abs=1e-6)


# Maximum likelihood by VGAM 1.1-7. Toxoplasmosis as above; low-iron rats: Moore and Tsiatis
# (1991), Biometrics 47:383-401 (VGAM prints mean .46536325 and correlation .59997558 for all
# litters). Correlation rho is 1 / (1 + concentration). Recomputed values.
VGAM = [
    pytest.param("toxop_elsalvador.csv", "positive", "ssize", {}, 0.47071352, 0.05969159),
    pytest.param("lirat.csv", "R", "N", {}, 0.46536288, 0.59997581),
    pytest.param("lirat.csv", "R", "N", {"grp": "1"}, 0.77955605, 0.33818769),
    pytest.param("lirat.csv", "R", "N", {"grp": "2"}, 0.10193413, 0.02472420),
    pytest.param("lirat.csv", "R", "N", {"grp": "4"}, 0.04766223, 0.03488750),
]
VGAM_STOPS_WITHIN = 2e-6


@pytest.mark.parametrize(("name", "part", "whole", "kept", "mean", "rho"), VGAM)
def test_beta_binomial_mean_and_correlation(name, part, whole, kept, mean, rho):
    fit = beta_binomial(*columns(name, part, whole, **kept))

    assert fit.mean == pytest.approx(mean, abs=VGAM_STOPS_WITHIN)
    assert 1 / (1 + fit.concentration) == pytest.approx(rho, abs=VGAM_STOPS_WITHIN)


@pytest.mark.parametrize(
    ("name", "part", "whole", "log_likelihood"),
    [
        ("toxop_elsalvador.csv", "positive", "ssize", -75.23562787),
        ("lirat.csv", "R", "N", -123.32607131),
    ],
)
def test_beta_binomial_log_likelihood(name, part, whole, log_likelihood):
    successes, tries = columns(name, part, whole)

    found = beta_binomial(successes, tries).log_likelihood + log_ways(successes, tries)

    assert found == pytest.approx(log_likelihood, abs=1e-7)


def test_beta_binomial_shapes_of_toxoplasmosis():
    fit = beta_binomial(POSITIVE, TESTED)

    assert fit.mean * fit.concentration == pytest.approx(7.41504651, rel=1e-5)
    assert (1 - fit.mean) * fit.concentration == pytest.approx(8.33773342, rel=1e-5)


def test_litters_that_vary_less_than_chance_sit_at_the_boundary():
    # Group 3 of the low-iron rats: the correlation that VGAM finds tends to 0.
    fit = beta_binomial(*columns("lirat.csv", "R", "N", grp="3"))

    assert np.isinf(fit.concentration)
    assert fit.mean == pytest.approx(2 / 58)


# Henderson and Newton (2016), JRSS B 78:781-804: free throws of the NBA season 2013-14, as run
# in their R package rvalues, which prints alpha 15.12155 and beta 5.37848. Player, made, tried,
# posterior mean to seven digits, place by posterior mean.
MADE, TRIED = columns("nba1314_freethrows.csv", "FTM", "FTA")
FREE_THROWS = [
    pytest.param(125, 133, 0.9128438, 1, id="Brian Roberts"),
    pytest.param(59, 62, 0.8984427, 2, id="Ryan Anderson"),
    pytest.param(63, 67, 0.8928174, 3, id="Danny Granger"),
    pytest.param(87, 94, 0.8918910, 4, id="Kyle Korver"),
    pytest.param(338, 376, 0.8905965, 5, id="Dirk Nowitzki"),
    pytest.param(97, 106, 0.8863362, 6, id="J.J. Redick"),
    pytest.param(303, 340, 0.8824453, 7, id="Kevin Martin"),
    pytest.param(14, 14, 0.8441022, 34, id="Mike Muscala"),
]


def test_beta_binomial_of_free_throws():
    fit = beta_binomial(MADE, TRIED)

    assert fit.mean * fit.concentration == pytest.approx(15.12155, abs=1e-4)
    assert (1 - fit.mean) * fit.concentration == pytest.approx(5.37848, abs=1e-4)


@pytest.mark.parametrize(("made", "tried", "mean", "place"), FREE_THROWS)
def test_a_free_thrower_and_his_place(made: int, tried: int, mean: float, place: int):
    fit = beta_binomial(MADE, TRIED)
    everyone = fit.posterior_mean(MADE, TRIED)
    (player,) = np.flatnonzero((made == MADE) & (tried == TRIED))

    assert everyone[player] == pytest.approx(mean, abs=1e-5)
    assert 1 + (everyone > everyone[player]).sum() == place


def test_players_without_a_throw_get_the_mean():
    fit = beta_binomial(MADE, TRIED)

    shrunk = fit.posterior_mean(MADE, TRIED)[TRIED == 0]

    assert len(shrunk) == 21
    assert shrunk == pytest.approx(np.full(21, 0.7376359), abs=1e-6)


# Efron and Morris (1975), JASA 70:311-319: 18 batters after 45 times at bat. Beta-binomial
# maximum likelihood recomputed; the likelihood is flat in the concentration. The article's own
# estimator cuts the total squared error by 3.50 (from memory).
def test_batting_averages_of_1970():
    hits, truth = columns("efron_morris_1970.csv", "r", "p")
    tries = np.full(18, 45.0)

    fit = beta_binomial(hits, tries)
    raw = ((hits / 45 - truth) ** 2).sum()
    shrunk = ((fit.posterior_mean(hits, tries) - truth) ** 2).sum()
    mean = ((hits.mean() / 45 - truth) ** 2).sum()

    assert fit.mean == pytest.approx(0.2654324, abs=1e-6)
    assert fit.concentration == pytest.approx(793.2474, rel=1e-3)
    assert fit.log_likelihood == pytest.approx(-468.702491, abs=1e-6)
    assert (raw, shrunk, mean) == pytest.approx((0.0753170, 0.0228085, 0.0242555), abs=1e-6)
    assert raw / shrunk == pytest.approx(3.302145, abs=1e-4)


# Vaccination against tuberculosis, 13 trials (Colditz et al. 1994, JAMA 271:698-702, as
# `dat.bcg` of the R package metadat): cases and others, vaccinated and not.
BCG = np.array([
    [4, 119, 11, 128], [6, 300, 29, 274], [3, 228, 11, 209], [62, 13536, 248, 12619],
    [33, 5036, 47, 5761], [180, 1361, 372, 1079], [8, 2537, 10, 619], [505, 87886, 499, 87892],
    [29, 7470, 45, 7232], [17, 1699, 65, 1600], [186, 50448, 141, 27197], [5, 2493, 3, 2338],
    [27, 16886, 29, 17825],
], dtype=float).T  # fmt: skip


def test_paule_mandel_of_the_tuberculosis_trials():
    # Log risk ratios, metafor 3.8-1. Its "EB" solves the same equation and ends at .3180685 and
    # -.7149682; its "PM" stops a little short of that, at .3180937 and -.7149704.
    cases, others, cases_without, others_without = BCG
    treated, control = cases + others, cases_without + others_without
    y = np.log(cases / treated) - np.log(cases_without / control)
    v = 1 / cases - 1 / treated + 1 / cases_without - 1 / control

    found = paule_mandel(y, v)

    assert found.variance == pytest.approx(0.3180685, abs=0.5e-7)
    assert found.mean == pytest.approx(-0.7149682, abs=0.5e-7)
    assert found == pytest.approx((0.3180937, -0.7149704), abs=3e-5)


def test_paule_mandel_of_the_aspirin_trials():
    # DerSimonian and Kacker (2007), Contemporary Clinical Trials 28:105-114, Tables 3 and 4
    # (aspirin in pregnancy), log odds ratios: tau .3681, mean -.3811.
    treated = np.array([156, 303, 565, 1570, 103, 4659])
    control = np.array([74, 303, 477, 1565, 105, 4650])
    a, c = np.array([5, 5, 12, 69, 9, 313]), np.array([8, 17, 9, 94, 11, 352])
    b, d = treated - a, control - c

    found = paule_mandel(np.log(a * d / (b * c)), 1 / a + 1 / b + 1 / c + 1 / d)

    assert np.sqrt(found.variance) == pytest.approx(0.3681, abs=0.5e-4)
    assert found.mean == pytest.approx(-0.3811, abs=0.5e-4)
