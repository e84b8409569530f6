"""Time how long the program takes to start, beside what it stands on.

Run by hand, from anywhere::

    python tests/benchmarks/start_up.py
    python tests/benchmarks/start_up.py --rounds 15

Each round runs everything once, one after the other and as processes of their own, on one BLAS
thread. Modules are compiled beforehand, into a folder of the benchmark's own, as they are where
the package is installed. Times are of the whole process, CPU seconds of user and system
together; ratios are to what ran in the same round, and medians of the rounds.
"""

import argparse
import csv
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

SAMPLE = Path(__file__).parents[2] / "sample_data"
CARDS = 300
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
PROGRAM = ("-c", "from winrate_tools.__main__ import main; main()")
"""As the installed command starts it."""
PASS, PANDAS, NUMBERS = "python -c pass", "import pandas", "import numpy, scipy.special"


@dataclass(frozen=True)
class Spent:
    """What one process took, in seconds."""

    cpu: float
    wall: float


def runs(folder: Path) -> dict[str, tuple[str, ...]]:
    """What is run, by name: the floors first."""
    totals, cells = str(folder / "cards.csv"), str(SAMPLE / "cards_by_archetype.csv")
    return {
        PASS: ("-c", "pass"),
        "import numpy": ("-c", "import numpy"),
        NUMBERS: ("-c", NUMBERS),
        PANDAS: ("-c", PANDAS),
        "import typer": ("-c", "import typer"),
        "--version": (*PROGRAM, "--version"),
        "--help": (*PROGRAM, "--help"),
        "rank --help": (*PROGRAM, "rank", "--help"),
        "config show": (*PROGRAM, "config", "show"),
        "check": (*PROGRAM, "check", totals),
        "rank, totals": (*PROGRAM, "rank", totals),
        "rank, full model": (*PROGRAM, "rank", cells),
    }


BARS = (
    ("--help", "wall", PASS, 6.5),
    ("--version", "wall", PASS, 6.5),
    ("rank, totals", "cpu", PANDAS, 1.0),
    ("rank, full model", "cpu", PANDAS, 1.5),
)
"""At most so many times the time of something else."""


def write_cards(path: Path) -> None:
    """Write a table of 300 cards: those of the sample, and some of them once more."""
    with (SAMPLE / "cards.csv").open(encoding="utf-8", newline="") as file:
        header, *rows = csv.reader(file)
    again = [[f"{row[0]} II", *row[1:]] for row in rows[: CARDS - len(rows)]]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([header, *rows, *again])


def spent(arguments: tuple[str, ...], folder: Path) -> Spent:
    """Run a process and return what it took."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={
            **os.environ,
            **ONE_THREAD,
            "PYTHONDONTWRITEBYTECODE": "",
            "PYTHONPYCACHEPREFIX": str(folder / "compiled"),
        },
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=True,
    )
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return Spent(cpu, wall)


def measured(rounds: int) -> dict[str, list[Spent]]:
    """Run everything in turn, once unmeasured so that modules are compiled and files read."""
    with tempfile.TemporaryDirectory() as empty:
        folder = Path(empty)
        write_cards(folder / "cards.csv")
        commands = runs(folder)
        taken: dict[str, list[Spent]] = {name: [] for name in commands}
        for round_number in range(rounds + 1):
            for name, arguments in commands.items():
                one = spent(arguments, folder)
                if round_number:
                    taken[name].append(one)
    return taken


def ratio(taken: dict[str, list[Spent]], name: str, kind: str, peer: str) -> float:
    """Median over the rounds of a time as a multiple of another of the same round."""
    pairs = zip(taken[name], taken[peer], strict=True)
    return statistics.median(getattr(one, kind) / getattr(other, kind) for one, other in pairs)


def tell(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(str(cell) for cell in cells)} |\n")


def main() -> int:
    """Print the table; return 1 if a bar is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=9)
    taken = measured(parser.parse_args().rounds)
    tell("what", "CPU s", f"wall of `{PASS}`", *(f"CPU of `{it}`" for it in (PANDAS, NUMBERS)))
    tell(*["---"] * 5)
    for name, each in taken.items():
        ratios = (("wall", PASS), ("cpu", PANDAS), ("cpu", NUMBERS))
        shown = (f"{ratio(taken, name, kind, peer):.2f}" for kind, peer in ratios)
        tell(name, f"{statistics.median(one.cpu for one in each):.3f}", *shown)
    missed = False
    for name, kind, peer, bar in BARS:
        found = ratio(taken, name, kind, peer)
        missed |= found > bar
        verdict = "missed" if found > bar else "held"
        sys.stdout.write(f"{name}: {found:.2f} times `{peer}` ({kind}), bar {bar}: {verdict}\n")
    return int(missed)


if __name__ == "__main__":
    sys.exit(main())
