"""Time the crossed model beside lme4 and glmmTMB, and compare what they find.

Run by hand, with R and its packages lme4 and glmmTMB (Debian: r-cran-lme4, r-cran-glmmtmb)
where available; without them only our own times are measured::

    python tests/benchmarks/crossed.py
    python tests/benchmarks/crossed.py --cards 300 3000 30000 --peers-up-to 30000

Times are CPU seconds of the fit alone, on one BLAS thread, in processes that run one after the
other; ours are medians. The last peer takes an hour at 30,000 cards and is left out there.
"""

import argparse
import os
import platform
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import scipy

from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.crossed import CrossedFit, crossed

ARCHETYPES, BANDS = 12, 5
PEERS = ("glmer0", "glmmTMB", "glmer1")
FASTER = 60
"""Times as fast as the faster of glmer0 and glmmTMB, at 3,000 cards."""
ROUNDS = 5
GROWTH = 15
"""At most so many times the time for ten times the cards."""
AGREEMENT = 1e-4
"""In standard deviations and card effects, against glmer1."""
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
SCRIPT = Path(__file__).with_suffix(".R")


@dataclass(frozen=True)
class Table:
    """Rows with games: codes of card, archetype and band, usage of the card, and counts."""

    card: np.ndarray
    archetype: np.ndarray
    band: np.ndarray
    usage: np.ndarray
    games: np.ndarray
    wins: np.ndarray

    @property
    def cells(self) -> Cells:
        bands = [self.band == band for band in range(1, BANDS)]
        fixed = np.column_stack([np.ones(len(self.card)), *bands, self.usage]).astype(float)
        return Cells(self.wins, self.games, self.card, fixed, self.archetype)

    def write(self, path: Path) -> None:
        names = list(self.__dataclass_fields__)
        columns = np.column_stack([getattr(self, name) for name in names])
        np.savetxt(path, columns, "%.17g", ",", header=",".join(names), comments="")


def simulated(cards: int, seed: int) -> Table:
    """Play a draft season: weak cards are played less, bands and archetypes differ."""
    rng = np.random.default_rng([seed, cards])
    usage = rng.normal(size=cards)
    strength = 0.12 * rng.normal(size=cards) + 0.05 * usage
    archetypes = 0.08 * rng.normal(size=ARCHETYPES)
    often = rng.lognormal(np.log(10) + 0.6 * usage - 0.5, 0.5, size=cards)
    fit = rng.gamma(0.8, 1 / 0.8, size=(cards, ARCHETYPES))
    mean = often[:, None, None] * fit[..., None] * np.array([0.6, 1, 1.3, 1.1, 0.6])
    games = rng.poisson(mean)
    card, archetype, band = np.nonzero(games)
    games = games[card, archetype, band]
    log_odds = 0.03 + strength[card] + archetypes[archetype] + 0.1 * (band - 2)
    wins = rng.binomial(games, 1 / (1 + np.exp(-log_odds)))
    return Table(card, archetype, band, usage[card], games, wins)


def own_seconds(tables: list[Table]) -> list[float]:
    """CPU seconds of our fits, medians of rounds in which every size has its turn."""
    seconds: list[list[float]] = [[] for _ in tables]
    for _ in range(ROUNDS):
        for table, spent in zip(tables, seconds, strict=True):
            cells = table.cells
            start = time.process_time()
            crossed(cells)
            spent.append(time.process_time() - start)
    return [statistics.median(spent) for spent in seconds]


def peer(program: str, table: Path, folder: Path) -> dict[str, list[str]]:
    """Fit with a program in R; its findings by name."""
    result = folder / f"{program}.txt"
    subprocess.run(["Rscript", str(SCRIPT), str(table), program, str(result)], check=True)
    lines = result.read_text(encoding="utf-8").splitlines()
    return {line.split()[0]: line.split()[1:] for line in lines}


def apart(fit: CrossedFit, found: dict[str, list[str]]) -> tuple[float, float, float]:
    """Largest differences in standard deviations, card effects and archetype effects."""
    ours = ([fit.card_sd, fit.group_sd], fit.card_effect, fit.group_effect)
    theirs = (np.array(found[name], dtype=float) for name in ("sd", "card", "archetype"))
    first, second, third = (
        float(np.abs(np.subtract(a, b)).max()) for a, b in zip(ours, theirs, strict=True)
    )
    return first, second, third


def say(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(str(cell) for cell in cells)} |\n")
    sys.stdout.flush()


def compared(cards: int, table: Table, seconds: float, peers: tuple[str, ...]) -> list[str]:
    """Print the rows of one size, and return the bars that were missed."""
    fit = crossed(table.cells)
    size = f"{cards:,} ({len(table.card):,} rows, {table.games.sum():,} games)"
    height = f"{fit.log_likelihood:.5f}"
    say(size, f"this package ({fit.steps} steps)", f"{seconds:.3g}", "1", height, "", "", "")
    missed = [] if fit.has_converged else [f"{cards}: not converged"]
    times: dict[str, float] = {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "table.csv"
        table.write(path)
        for program in peers:
            found = peer(program, path, Path(folder))
            times[program] = float(found["cpu"][0])
            gaps = apart(fit, found)
            ratio = f"{times[program] / seconds:.0f}"
            height = f"{float(found['log_likelihood'][0]):.5f}"
            name = f"{program} (R {' '.join(found['version'])})"
            shown = (f"{gap:.1e}" for gap in gaps)
            say(size, name, f"{times[program]:.3g}", ratio, height, *shown)
            if program == "glmer1" and max(gaps[:2]) > AGREEMENT:
                missed.append(f"{cards}: {max(gaps[:2]):.1e} from glmer1")
    rivals = [times[name] for name in ("glmer0", "glmmTMB") if name in times]
    if cards == 3000 and rivals and min(rivals) < FASTER * seconds:
        missed.append(f"{cards}: only {min(rivals) / seconds:.0f} times as fast")
    return missed


def grown(times: dict[int, float]) -> list[str]:
    """Print how time grows with cards, and return the bars that were missed."""
    missed = []
    for cards, seconds in times.items():
        if fewer := times.get(cards // 10):
            growth = seconds / fewer
            sys.stdout.write(
                f"{cards // 10:,} to {cards:,} cards: {growth:.1f} times the time\n"
            )
            if growth > GROWTH:
                missed.append(f"{cards}: {growth:.1f} times the time of {cards // 10}")
    return missed


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--cards", type=int, nargs="+", default=[300, 3000, 30000])
    parser.add_argument("--seed", type=int, default=20)
    parser.add_argument("--peers-up-to", type=int, default=3000, metavar="CARDS")
    return parser.parse_args()


def main() -> int:
    given = arguments()
    has_r = shutil.which("Rscript") is not None
    python = f"Python {platform.python_version()}, numpy {np.__version__}"
    sys.stdout.write(f"{python}, scipy {scipy.__version__}, {platform.machine()}\n")
    if not has_r:
        sys.stdout.write("R is not installed: no peers are timed\n")
    tables = {cards: simulated(cards, given.seed) for cards in given.cards}
    times = dict(zip(tables, own_seconds(list(tables.values())), strict=True))
    names = ("cards", "program", "CPU s", "ratio", "log-likelihood", "sd", "card", "archetype")
    say(*names)
    say(*["---"] * len(names))
    missed: list[str] = []
    for cards, table in tables.items():
        peers = PEERS if cards <= 3000 else PEERS[:2]
        wanted = peers if has_r and cards <= given.peers_up_to else ()
        missed += compared(cards, table, times[cards], wanted)
    missed += grown(times)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    sys.stdout.write(f"peak memory {peak:.0f} MiB\n")
    sys.stdout.write("\n".join(missed or ["every bar is met"]) + "\n")
    return bool(missed)


if __name__ == "__main__":
    if not ONE_THREAD.items() <= os.environ.items():
        command = [sys.executable, *sys.argv]
        os.execve(sys.executable, command, {**os.environ, **ONE_THREAD})
    sys.exit(main())
