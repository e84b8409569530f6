"""Time and noise of rank ranges, beside plain draws ranked by sorting twice.

Run it by ``python tests/benchmarks/ranks.py``: CPU seconds of the best of three, in one run.
Bars: at equal draws, ranks take at most .7 of the time of sorting twice at 300 cards and .45 at
10,000; drawn in a Latin hypercube, draws and ranks together take at most 1.3 times as long, and
their ends are half as far from those of 100,000 draws, on the mean.
"""

import os
import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

os.environ["OPENBLAS_NUM_THREADS"] = "1"
sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np

from winrate_tools.stats.cards.joint_draws import joint_draws
from winrate_tools.stats.cards.mixture import NormalMixture
from winrate_tools.stats.cards.ranks import ranks

DRAWS, SEEDS = 4000, 5


def pool(cards: int) -> NormalMixture:
    """Posteriors as wide as they lie apart."""
    rng = np.random.default_rng(cards)
    mean, sd = 0.1 * rng.standard_normal((1, cards)), rng.uniform(0.03, 0.12, (1, cards))
    return NormalMixture(np.ones((1, cards)), mean, sd)


def even(own: NormalMixture, seed: int) -> np.ndarray:
    names = [f"card {i:05}" for i in range(own.mean.shape[1])]
    return joint_draws(own, np.ones(1), names, DRAWS, seed)


def plain(own: NormalMixture, seed: int, draws: int = DRAWS) -> np.ndarray:
    rng = np.random.default_rng(seed)
    return own.mean + own.sd * rng.standard_normal((draws, own.mean.shape[1]))


def sorted_twice(draws: np.ndarray) -> np.ndarray:
    return np.quantile(draws.argsort(axis=1).argsort(axis=1) + 1, [0.05, 0.95], axis=0)


def ours(draws: np.ndarray) -> np.ndarray:
    found = ranks(draws, worst=20)
    return np.array([found.low, found.high])


def seconds(work: Callable[..., object], *given: object) -> float:
    taken = []
    for _ in range(3):
        start = process_time()
        work(*given)
        taken.append(process_time() - start)
    return min(taken)


def main() -> None:
    """Print the table of ratios."""
    for cards, bar in ((300, 0.7), (10_000, 0.45)):
        draws = plain(pool(cards), 1)
        ratio = seconds(ours, draws) / seconds(sorted_twice, draws)
        sys.stdout.write(
            f"{cards:,} cards, equal draws: {ratio:.2f} of sorting twice (bar {bar})\n"
        )
    own = pool(300)
    both = seconds(lambda: ours(even(own, 1))) / seconds(lambda: sorted_twice(plain(own, 1)))
    truth = sorted_twice(plain(own, 99, 100_000))
    error, other = (
        np.mean([np.abs(ends(draw(own, seed)) - truth).mean() for seed in range(SEEDS)])
        for ends, draw in ((ours, even), (sorted_twice, plain))
    )
    sys.stdout.write(f"300 cards, Latin hypercube: {both:.2f} of the time (bar 1.3)\n")
    sys.stdout.write(
        f"mean error {error:.2f} ranks against {other:.2f}: {error / other:.2f} (bar .5)\n"
    )


if __name__ == "__main__":
    main()
