"""Time plain beta-binomial shrinkage beside the ways in which it is usually fitted.

Run by hand, from anywhere::

    python tests/benchmarks/shrinkage.py
    python tests/benchmarks/shrinkage.py --items 300 100000 --rounds 9

One round runs every way once, one after the other, on one BLAS thread; times are medians of
CPU seconds. The peers are the log-likelihood of ``scipy.stats.betabinom`` climbed by Nelder and
Mead's simplex, and ``scipy.special.betaln`` climbed by L-BFGS-B without a gradient. What they
find is compared as logarithms of the two shape parameters; the simplex is asked for seven
digits, the other ends where differences of the likelihood let it.
"""

import argparse
import os
import statistics
import sys
import time

os.environ.update({"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"})

import numpy as np
from scipy import optimize, stats
from scipy.special import betaln

from winrate_tools.stats.records.beta_binomial import beta_binomial

MEAN, CONCENTRATION, USUAL = 0.55, 150.0, 400
OWN, SIMPLEX, GRADIENT = "this package", "betabinom, Nelder-Mead", "betaln, L-BFGS-B"
BARS = {SIMPLEX: 1 / 20, GRADIENT: 1 / 2}
"""At most so much of a peer's time, at 100,000 items."""
AGREEMENT = 1e-5
"""In the logarithms of the shape parameters, against the simplex."""


def counts(items: int) -> tuple[np.ndarray, np.ndarray]:
    """Draw wins and games of cards that are played rather differently."""
    rng = np.random.default_rng([4, items])
    games = 1 + rng.poisson(USUAL * rng.gamma(1.0, size=items))
    shapes = CONCENTRATION * MEAN, CONCENTRATION * (1 - MEAN)
    return rng.binomial(games, rng.beta(*shapes, size=items)), games


def own(wins: np.ndarray, games: np.ndarray) -> np.ndarray:
    fit = beta_binomial(wins, games)
    return np.log(fit.concentration * np.array([fit.mean, 1 - fit.mean]))


def simplex(wins: np.ndarray, games: np.ndarray) -> np.ndarray:
    def below(logs: np.ndarray) -> float:
        return -float(stats.betabinom.logpmf(wins, games, *np.exp(logs)).sum())

    options = {"xatol": 1e-7, "fatol": 1e-4}
    return optimize.minimize(below, start(wins, games), method="Nelder-Mead", options=options).x


def quasi_newton(wins: np.ndarray, games: np.ndarray) -> np.ndarray:
    def below(logs: np.ndarray) -> float:
        a, b = np.exp(logs)
        return -float((betaln(wins + a, games - wins + b) - betaln(a, b)).sum())

    return optimize.minimize(below, start(wins, games), method="L-BFGS-B").x


def start(wins: np.ndarray, games: np.ndarray) -> np.ndarray:
    """Begin at the common rate, with a prior worth a hundred games."""
    rate = wins.sum() / games.sum()
    return np.log(100 * np.array([rate, 1 - rate]))


WAYS = {OWN: own, SIMPLEX: simplex, GRADIENT: quasi_newton}


def measured(items: int, rounds: int) -> dict[str, tuple[float, np.ndarray]]:
    """Return each way's median seconds, and the logarithms that it found."""
    wins, games = counts(items)
    taken: dict[str, list[float]] = {way: [] for way in WAYS}
    found = {}
    for _ in range(rounds):
        for way, fit in WAYS.items():
            began = time.process_time()
            found[way] = fit(wins, games)
            taken[way].append(time.process_time() - began)
    return {way: (statistics.median(taken[way]), found[way]) for way in WAYS}


def tell(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(str(cell) for cell in cells)} |\n")
    sys.stdout.flush()


def shown(items: int, rounds: int) -> list[str]:
    """Print one size, and return the bars that it misses; they stand for 100,000 items."""
    found = measured(items, rounds)
    mine, logs = found[OWN]
    missed = []
    for way, (seconds, theirs) in found.items():
        off = float(np.abs(theirs - logs).max())
        tell(f"{items:,}", way, f"{seconds:.4f}", f"{mine / seconds:.3f}", f"{off:.1e}")
        if items >= 100_000 and mine / seconds > BARS.get(way, 1):
            missed.append(f"{way}: {mine / seconds:.3f}, at most {BARS[way]:g} wanted")
    if (off := float(np.abs(found[SIMPLEX][1] - logs).max())) > AGREEMENT:
        missed.append(f"{items:,} items: logarithms {off:.1e} off, {AGREEMENT:g} wanted")
    return missed


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--items", type=int, nargs="+", default=[300, 3000, 30_000, 100_000])
    parser.add_argument("--rounds", type=int, default=3)
    given = parser.parse_args()
    tell("items", "way", "CPU s", "ours of it", "logarithms off")
    tell(*["---"] * 5)
    missed = [line for items in given.items for line in shown(items, given.rounds)]
    sys.stdout.write("\n".join(missed or ["every bar is held"]) + "\n")
    return bool(missed)


if __name__ == "__main__":
    sys.exit(main())
