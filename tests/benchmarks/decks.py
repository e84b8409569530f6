"""Time the fit of whole decks beside glum and scikit-learn, and compare what they find.

Run by hand, with the dependency group ``bench`` (glum, scikit-learn)::

    python tests/benchmarks/decks.py
    python tests/benchmarks/decks.py --games 1e7 --programs "this package" --against 1e6

Every fit runs in a process of its own, one after the other, on one BLAS thread. Seconds are of
the fit alone: the peers get their sparse matrix ready made. Memory is the peak of the process.
The tolerances of the peers are the widest powers of ten that keep within the accuracy asked
for; differences are to exact Newton steps in double precision, in units of the standard errors.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

CARDS, ARCHETYPES, DECK = 300, 12, 23
CARD_SD, GROUP_SD, FREE = 0.12, 0.15, 30.0
"""Spreads of the penalty; the last is as good as none, for peers that penalise everything."""
OWN, FASTEST = "this package", "glum lbfgs"
CPU, MEMORY, ACCURACY, PASSES, ERRORS = 0.25, 0.5, 0.01, 15, 5.0
"""Bars at a million games: of the fastest peer, in standard errors, and times the fit."""
WALL_LARGE, MEMORY_LARGE = 0.1, 0.35
"""Bars from ten million games on."""
GROWTH = 12.0
"""At most so many times the time for ten times the games."""
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
BLOCK = 100_000
Found = dict[str, object]


def season(folder: Path, games: int) -> None:
    """Write games of decks whose cards depend on their archetype."""
    rng = np.random.default_rng([3, games])
    liked = np.cumsum(rng.gamma(0.6, size=(ARCHETYPES, CARDS)), axis=1)
    effect = 0.05 * rng.normal(size=CARDS)
    shift = 0.1 * rng.normal(size=ARCHETYPES)
    decks = np.lib.format.open_memmap(
        folder / "decks.npy", mode="w+", dtype=np.int16, shape=(games, DECK)
    )
    group, skill = rng.integers(0, ARCHETYPES, games), rng.normal(size=games)
    won = np.zeros(games, dtype=bool)
    for start in range(0, games, BLOCK):
        part = slice(start, start + BLOCK)
        for archetype, weight in enumerate(liked):
            own = start + np.flatnonzero(group[part] == archetype)
            place = rng.random((len(own), DECK)) * weight[-1]
            decks[own] = np.searchsorted(weight, place)
        odds = effect[decks[part]].sum(axis=1) + shift[group[part]] + 0.3 * skill[part]
        won[part] = rng.random(len(odds)) < 1 / (1 + np.exp(-odds))
    decks.flush()
    for name, column in (("group", group.astype(np.int16)), ("skill", skill), ("won", won)):
        np.save(folder / f"{name}.npy", column)


def columns(folder: Path) -> list[np.ndarray]:
    return [np.load(folder / f"{name}.npy") for name in ("won", "decks", "group", "skill")]


def penalty() -> np.ndarray:
    return np.repeat([CARD_SD**-2, GROUP_SD**-2, 0, 0], [CARDS, ARCHETYPES, 1, 1])


def design(folder: Path, scale: np.ndarray):
    """Lay the games out as peers want them: cards, archetypes and skill, without intercept."""
    from scipy.sparse import csr_matrix

    _, decks, group, skill = columns(folder)
    games, width = len(decks), DECK + 2
    index = np.empty((games, width), dtype=np.int32)
    index[:, :DECK], index[:, DECK], index[:, -1] = decks, CARDS + group, CARDS + ARCHETYPES
    value = scale[index]
    value[:, -1] *= skill
    ends = np.arange(games + 1, dtype=np.int32) * width
    shape = (games, CARDS + ARCHETYPES + 1)
    return csr_matrix((value.ravel(), index.ravel(), ends), shape)


def own(folder: Path) -> Found:
    import scipy.optimize
    import scipy.sparse  # noqa: F401

    from winrate_tools.stats.cards.deck_games import DeckGames
    from winrate_tools.stats.cards.decks import deck_fit

    won, decks, group, skill = columns(folder)
    spreads = {"card_sd": CARD_SD, "group_sd": GROUP_SD}

    def fit_of(some: slice, *, exact: bool) -> object:
        games = DeckGames(won[some], decks[some], CARDS, group[some], fixed=skill[some, None])
        return deck_fit(games, **spreads, exact_errors=exact)

    fit_of(slice(1000), exact=False)
    fit, clock = timed(lambda: fit_of(slice(None), exact=False))
    full, exact = timed(lambda: fit_of(slice(None), exact=True))
    effects = np.concatenate([full.card, full.group, full.fixed])
    return clock | {
        "errors": (exact["cpu"] - clock["cpu"]) / clock["cpu"],
        "passes": fit.passes,
        "effects": effects.tolist(),
        "card_se": full.card_se.tolist(),
    }


def glum(folder: Path, solver: str, tolerance: float) -> Found:
    from glum import GeneralizedLinearRegressor

    matrix, won = design(folder, np.ones(CARDS + ARCHETYPES + 1)), columns(folder)[0]
    model = GeneralizedLinearRegressor(
        family="binomial",
        alpha=1 / len(won),
        l1_ratio=0,
        P2=np.delete(penalty(), -1),
        solver=solver,
        gradient_tol=tolerance,
        max_iter=1000,
        scale_predictors=False,
    )
    _, clock = timed(lambda: model.fit(matrix, won.astype(float)))
    return clock | {"passes": int(model.n_iter_), "effects": model.coef_.tolist()}


def scikit(folder: Path, solver: str, tolerance: float) -> Found:
    from sklearn.linear_model import LogisticRegression

    scale = np.repeat([CARD_SD, GROUP_SD, FREE], [CARDS, ARCHETYPES, 1])
    matrix, won = design(folder, scale), columns(folder)[0]
    model = LogisticRegression(solver=solver, tol=tolerance, C=1.0, max_iter=200)
    _, clock = timed(lambda: model.fit(matrix, won))
    effects = (scale * model.coef_[0]).tolist()
    return clock | {"passes": int(model.n_iter_[0]), "effects": effects}


def newton(folder: Path) -> Found:
    """Climb by exact Newton steps, in double precision."""
    matrix, won = design(folder, np.ones(CARDS + ARCHETYPES + 1)), columns(folder)[0]
    effects, given = np.zeros(CARDS + ARCHETYPES + 2), penalty()
    start = time.process_time()
    for _ in range(6):
        slope, curvature = -given * effects, np.diag(given)
        for at in range(0, len(won), BLOCK // 4):
            rows = matrix[at : at + BLOCK // 4].toarray()
            rows = np.insert(rows, CARDS + ARCHETYPES, 1.0, axis=1)
            chance = 1 / (1 + np.exp(-rows @ effects))
            slope += rows.T @ (won[at : at + len(rows)] - chance)
            rows *= np.sqrt(chance * (1 - chance))[:, None]
            curvature += rows.T @ rows
        effects = effects + (step := np.linalg.solve(curvature, slope))
        if np.abs(step).max() < 1e-8:
            break
    return {
        "cpu": time.process_time() - start,
        "wall": float("nan"),
        "effects": effects.tolist(),
        "card_se": np.sqrt(np.diag(np.linalg.inv(curvature))[:CARDS]).tolist(),
    }


PROGRAMS: dict[str, Callable[[Path], Found]] = {
    OWN: own,
    FASTEST: lambda folder: glum(folder, "lbfgs", 1e-7),
    "glum irls-ls": lambda folder: glum(folder, "irls-ls", 1e-6),
    "scikit-learn newton-cg": lambda folder: scikit(folder, "newton-cg", 1e-6),
    "scikit-learn newton-cholesky": lambda folder: scikit(folder, "newton-cholesky", 1e-6),
    "exact Newton": newton,
}
REFERENCE = "exact Newton"


def timed(fit: Callable[[], object]) -> tuple[object, Found]:
    cpu, wall = time.process_time(), time.perf_counter()
    found = fit()
    return found, {"cpu": time.process_time() - cpu, "wall": time.perf_counter() - wall}


def peak_memory() -> float:
    """Peak of this very program in MiB."""
    lines = Path("/proc/self/status").read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM"))


def run(program: str, folder: Path) -> Found:
    command = [sys.executable, __file__, "--fit", program, "--folder", str(folder)]
    done = subprocess.run(
        command, check=True, stdout=subprocess.PIPE, env={**os.environ, **ONE_THREAD}
    )
    return json.loads(done.stdout.decode().splitlines()[-1])


def distance(one: Found, exact: Found) -> float:
    """Largest difference in a card's effect, in standard errors."""
    gap = np.subtract(one["effects"][:CARDS], exact["effects"][:CARDS])
    return float(np.abs(gap / exact["card_se"]).max())


def tell(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(str(cell) for cell in cells)} |\n")
    sys.stdout.flush()


def compared(programs: list[str], folder: Path) -> dict[str, Found]:
    """Run every program and print its row; the exact one, if wanted, runs first."""
    names = ("program", "CPU s", "wall s", "MiB", "passes", "standard errors off")
    tell(*names, "CPU, ours of it", "memory")
    tell(*["---"] * 8)
    found: dict[str, Found] = {}
    for program in sorted(programs, key=lambda name: (name != REFERENCE, name != OWN)):
        one = found[program] = run(program, folder)
        mine = found.get(OWN, one)
        off = f"{distance(one, found[REFERENCE]):.1e}" if REFERENCE in found else ""
        numbers = f"{one['cpu']:.2f}", f"{one['wall']:.2f}", f"{one['peak']:.0f}"
        ratios = f"{mine['cpu'] / one['cpu']:.3f}", f"{mine['peak'] / one['peak']:.2f}"
        tell(program, *numbers, one.get("passes", ""), off, *ratios)
    return found


def bars(found: dict[str, Found], games: int) -> dict[str, tuple[float, float]]:
    """Everything with a bar that was measured, and the bar."""
    mine = found[OWN]
    held = {"errors / fit": (mine["errors"], ERRORS), "passes": (mine["passes"], PASSES)}
    if REFERENCE in found:
        held["standard errors off"] = distance(mine, found[REFERENCE]), ACCURACY
    peers = [found[name] for name in found if name not in {OWN, REFERENCE}]
    if peers:
        clock, most = ("cpu", CPU) if games < 5e6 else ("wall", WALL_LARGE)
        fastest = min(peers, key=lambda peer: peer[clock])
        memory = MEMORY if games < 5e6 else MEMORY_LARGE
        held[f"{clock} / fastest peer"] = mine[clock] / fastest[clock], most
        held["memory / fastest peer"] = mine["peak"] / fastest["peak"], memory
    return held


def growth(mine: Found, games: int, fewer: int) -> dict[str, tuple[float, float]]:
    """Compare with our own fit of fewer games; memory may grow by the games alone."""
    with tempfile.TemporaryDirectory() as name:
        season(Path(name), fewer)
        small = run(OWN, Path(name))
    often = games / fewer
    grown = (mine["peak"] - small["peak"]) * 2**20 / (games - fewer)
    tell(f"{fewer:,} games", f"{small['cpu']:.2f}", small["passes"], f"{small['peak']:.0f}")
    return {
        f"time for {often:g} times the games": (
            mine["cpu"] / small["cpu"],
            often / 10 * GROWTH,
        ),
        "bytes a game more": (grown, 2 * DECK + 2 + 8 + 1 + 5),
    }


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--games", type=float, default=1e6)
    parser.add_argument("--against", type=float, help="fewer games, to see how cost grows")
    parser.add_argument("--programs", nargs="+", default=list(PROGRAMS), choices=list(PROGRAMS))
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--fit", help=argparse.SUPPRESS)
    return parser.parse_args()


def main() -> int:
    given = arguments()
    if given.fit:
        found = PROGRAMS[given.fit](given.folder)
        sys.stdout.write(json.dumps(found | {"peak": peak_memory()}) + "\n")
        return 0
    games = int(given.games)
    with tempfile.TemporaryDirectory(dir=given.folder) as name:
        season(Path(name), games)
        sys.stdout.write(f"{games:,} games\n")
        found = compared(given.programs, Path(name))
    held = bars(found, games)
    if given.against:
        held |= growth(found[OWN], games, int(given.against))
    for what, (value, most) in held.items():
        tell(what, f"{value:.3g}", f"at most {most:g}", "held" if value <= most else "missed")
    return int(any(value > most for value, most in held.values()))


if __name__ == "__main__":
    sys.exit(main())
