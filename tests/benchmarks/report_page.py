"""Time `report --html` beside `rank` itself.

Run by hand, from anywhere::

    python tests/benchmarks/report_page.py
    python tests/benchmarks/report_page.py --rounds 9

Each round runs, one after the other and as processes of their own, `rank`, `report --html`,
`report -o` (markdown with its pictures), `report --xlsx` and `report --format brief` on both
sample tables; times are CPU seconds of the whole process, start-up included, on one BLAS
thread, and medians of the rounds.
"""

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

SAMPLE = Path(__file__).parents[2] / "sample_data"
SLOWEST = 1.5
"""A page is written in at most so many times the time of `rank`."""
TABLES = ("cards.csv", "cards_by_archetype.csv")
RUNS = {
    "rank": ("rank", ()),
    "page": ("report", ("--html", "cuts.html")),
    "markdown": ("report", ("-o", "cuts.md")),
    "workbook": ("report", ("--xlsx", "cuts.xlsx")),
    "brief": ("report", ("--format", "brief")),
}
ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}


def cpu_seconds(command: str, table: Path, options: tuple[str, ...], folder: str) -> float:
    """Run the program once and return what it cost."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(
        [sys.executable, "-m", "winrate_tools", command, str(table), *options, "--force"],
        cwd=folder,
        env={**os.environ, **ONE_THREAD},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=True,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def times(table: Path, rounds: int) -> dict[str, float]:
    """Return the median cost of each run; all of a round stand near each other in time."""
    taken: dict[str, list[float]] = {name: [] for name in RUNS}
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(rounds):
            for name, (command, options) in RUNS.items():
                taken[name].append(cpu_seconds(command, table, options, folder))
    return {name: statistics.median(found) for name, found in taken.items()}


def tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")


def main() -> int:
    """Print the table; return 1 if a page takes too long."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=5)
    rounds = parser.parse_args().rounds
    slow = False
    tell("| table | " + " | ".join(RUNS) + " | page / rank |")
    tell("|---|" + "---|" * (len(RUNS) + 1))
    for name in TABLES:
        found = times(SAMPLE / name, rounds)
        ratio = found["page"] / found["rank"]
        slow |= ratio > SLOWEST
        shown = " | ".join(f"{seconds:.2f}" for seconds in found.values())
        tell(f"| {name} | {shown} | {ratio:.2f} |")
    tell(f"bar: {SLOWEST}; {'missed' if slow else 'held'}")
    return int(slow)


if __name__ == "__main__":
    sys.exit(main())
