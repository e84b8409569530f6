"""Time the reading of large tables and logs beside their peers.

Run by hand, with the dependency group ``bench`` (polars, duckdb)::

    python tests/benchmarks/streaming.py
    python tests/benchmarks/streaming.py --rows 1e7 --games 1e6 --folder somewhere

Every job runs in a process of its own, one after the other, on one BLAS thread. CPU seconds and
peak memory are the whole process's, start-up included; ratios are to this package in the same
run. All jobs of a kind must find the same number, which is compared.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MKL_NUM_THREADS": "1"}
CARDS, ARCHETYPES, BANDS, DECK = 300, 12, 5, 23


@dataclass(frozen=True)
class Bar:
    """At most so much of a peer's CPU seconds, or of its peak memory."""

    kind: str
    peer: str
    what: str
    most: float


BARS = (
    Bar("counts", "pandas", "cpu", 0.75),
    Bar("counts", "polars", "cpu", 0.75),
    Bar("counts", "pandas", "memory", 0.35),
    Bar("list log", "polars", "cpu", 1.15),
    Bar("list log", "pandas", "cpu", 0.12),
    Bar("wide log", "polars", "cpu", 0.35),
    Bar("wide log", "pandas", "memory", 0.1),
    Bar("long log", "polars", "cpu", 0.85),
    Bar("long log", "polars", "memory", 0.6),
    Bar("kept list log", "polars", "cpu", 0.4),
)


def counts_table(path: Path, rows: int) -> None:
    """Write counts of 3,000 cards by archetype and band, in so many rows that they repeat."""
    rng = np.random.default_rng(1)
    with path.open("w") as file:
        file.write("card,archetype,skill_band,games,wins\n")
        for _ in range(0, rows, 100_000):
            card, archetype, band, games = (
                rng.integers(0, most, 100_000).tolist()
                for most in (10 * CARDS, ARCHETYPES, BANDS, 200)
            )
            wins = rng.binomial(games, 0.55).tolist()
            file.writelines(
                f"Card {c:04d},archetype {a},band {b},{g},{w}\n"
                for c, a, b, g, w in zip(card, archetype, band, games, wins, strict=True)
            )


def logs(folder: Path, games: int) -> None:
    """Write the same games in three layouts."""
    rng = np.random.default_rng(2)
    decks = np.sort(rng.integers(0, CARDS, (games, DECK)).astype(np.int16), axis=1)
    archetype, band = rng.integers(0, ARCHETYPES, games), rng.integers(0, BANDS, games)
    effect = 0.12 * rng.normal(size=CARDS)
    won = rng.random(games) < 1 / (1 + np.exp(-effect[decks].sum(axis=1)))
    names = [f"Card {n:04d}" for n in range(CARDS)]
    with (
        (folder / "list.csv").open("w") as as_list,
        (folder / "long.csv").open("w") as as_long,
        (folder / "wide.csv").open("w") as as_wide,
    ):
        as_list.write("game,archetype,skill,won,cards\n")
        as_long.write("game,archetype,skill,won,card\n")
        as_wide.write(",".join(["game", "archetype", "skill", "won", *names]) + "\n")
        for game, (deck, a, b, w) in enumerate(
            zip(decks, archetype.tolist(), band.tolist(), won.tolist(), strict=True)
        ):
            first = f"{game},archetype {a},band {b},{int(w)},"
            cards = [names[card] for card in deck]
            as_list.write(f"{first}{'|'.join(cards)}\n")
            as_long.writelines(f"{first}{card}\n" for card in cards)
            copies = np.bincount(deck, minlength=CARDS).astype(np.uint8) + np.uint8(48)
            as_wide.write(f"{first}{','.join(copies.tobytes().decode())}\n")


def own_counts(folder: Path) -> float:
    from winrate_tools.ingest.tables.cards import read_cards

    table = read_cards(folder / "counts.csv", sum_duplicates=True)
    return float(table.wins.sum())


def pandas_counts(folder: Path) -> float:
    import pandas as pd

    frame = pd.read_csv(folder / "counts.csv")
    return float(frame.groupby(["card", "archetype", "skill_band"])["wins"].sum().sum())


def polars_counts(folder: Path) -> float:
    import polars as pl

    keys = ["card", "archetype", "skill_band"]
    scan = pl.scan_csv(folder / "counts.csv").group_by(keys)
    summed = scan.agg(pl.col("games").sum(), pl.col("wins").sum()).collect(engine="streaming")
    return float(summed["wins"].sum())


def duckdb_counts(folder: Path) -> float:
    import duckdb

    query = (
        f"SELECT sum(w) FROM (SELECT sum(games), sum(wins) AS w "
        f"FROM '{folder / 'counts.csv'}' GROUP BY card, archetype, skill_band)"
    )
    return float(duckdb.sql(query).fetchall()[0][0])


def own_log(layout: str, folder: Path) -> float:
    from winrate_tools.ingest.logs.logs import count_logs

    return float(count_logs([str(folder / f"{layout}.csv")]).tally.card_table().wins.sum())


def kept_log(folder: Path) -> float:
    from winrate_tools.ingest.logs.logs import count_logs

    found = count_logs([str(folder / "list.csv")], cache=folder / "cache")
    return float(found.tally.card_table().wins.sum())


def pandas_list(folder: Path) -> float:
    import pandas as pd

    frame = pd.read_csv(folder / "list.csv")
    frame["cards"] = frame["cards"].str.split("|")
    keys = ["cards", "archetype", "skill"]
    return float(frame.explode("cards").groupby(keys)["won"].sum().sum())


def polars_list(folder: Path) -> float:
    import polars as pl

    scan = pl.scan_csv(folder / "list.csv")
    rows = scan.with_columns(pl.col("cards").str.split("|")).explode("cards")
    return _polars_sum(rows, "cards")


def _polars_sum(rows, card: str) -> float:
    import polars as pl

    keys = [card, "archetype", "skill"]
    counts = rows.group_by(keys).agg(pl.len(), pl.col("won").sum())
    return float(counts.collect(engine="streaming")["won"].sum())


def polars_long(folder: Path) -> float:
    import polars as pl

    return _polars_sum(pl.scan_csv(folder / "long.csv"), "card")


def polars_wide(folder: Path) -> float:
    import polars as pl

    scan = pl.scan_csv(folder / "wide.csv", schema_overrides={"won": pl.Int64})
    copies = pl.col("^Card .*$")
    won = scan.group_by("archetype", "skill").agg(
        copies.sum().name.prefix("games "), (copies * pl.col("won")).sum()
    )
    frame = won.collect(engine="streaming")
    return float(sum(frame[name].sum() for name in frame.columns if name.startswith("Card")))


def pandas_wide(folder: Path) -> float:
    import pandas as pd

    frame = pd.read_csv(folder / "wide.csv")
    cards = [name for name in frame.columns if name.startswith("Card")]
    keys = ["archetype", "skill", "won"]
    counts = frame.groupby(keys)[cards].sum()
    return float(counts.xs(1, level="won").to_numpy().sum())


JOBS: dict[str, dict[str, Callable[[Path], float]]] = {
    "counts": {
        "this package": own_counts,
        "pandas": pandas_counts,
        "polars": polars_counts,
        "duckdb": duckdb_counts,
    },
    "list log": {
        "this package": lambda folder: own_log("list", folder),
        "polars": polars_list,
        "pandas": pandas_list,
    },
    "kept list log": {"this package": kept_log, "polars": polars_list},
    "long log": {
        "this package": lambda folder: own_log("long", folder),
        "polars": polars_long,
    },
    "wide log": {
        "this package": lambda folder: own_log("wide", folder),
        "polars": polars_wide,
        "pandas": pandas_wide,
    },
}


def run(kind: str, program: str, folder: Path) -> tuple[float, float, float, float]:
    """Run a job by itself; wall and CPU seconds, peak MiB, and what it found."""
    command = [sys.executable, __file__, "--job", kind, program, "--folder", str(folder)]
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    peak, found = map(float, done.stdout.split()[-2:])
    return wall, cpu, peak, found


def do(kind: str, program: str, folder: Path) -> None:
    found = JOBS[kind][program](folder)
    sys.stdout.write(f"{peak_memory():.0f} {found!r}\n")


def peak_memory() -> float:
    """Peak of this very program in MiB: what the system counts includes who started it."""
    status = Path("/proc/self/status")
    if not status.exists():
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    lines = status.read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM"))


def say(*cells: object) -> None:
    sys.stdout.write(f"| {' | '.join(str(cell) for cell in cells)} |\n")
    sys.stdout.flush()


def measured(kind: str, folder: Path) -> list[str]:
    """Print the rows of one kind of job, and return the bars that were missed."""
    found: dict[str, tuple[float, float, float, float]] = {}
    if kind == "kept list log":
        run(kind, "this package", folder)
    for program in JOBS[kind]:
        found[program] = wall, cpu, peak, total = run(kind, program, folder)
        _, own_cpu, own_peak, own_total = found["this package"]
        ratios = f"{own_cpu / cpu:.2f}", f"{own_peak / peak:.2f}"
        say(kind, program, f"{wall:.2f}", f"{cpu:.2f}", f"{peak:.0f}", *ratios)
        if abs(total - own_total) > 1e-9 * abs(own_total):
            sys.stdout.write(f"{program} found {total}, this package {own_total}\n")
    place = {"cpu": 1, "memory": 2}
    return [
        f"{bar.kind}: {bar.what} {ratio:.2f} of {bar.peer}, at most {bar.most} wanted"
        for bar in BARS
        if bar.kind == kind
        and (ratio := found["this package"][place[bar.what]] / found[bar.peer][place[bar.what]])
        > bar.most
    ]


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rows", type=float, default=1e6)
    parser.add_argument("--games", type=float, default=2e5)
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--kinds", nargs="+", default=list(JOBS), choices=list(JOBS))
    parser.add_argument("--job", nargs=2, help=argparse.SUPPRESS)
    return parser.parse_args()


def main() -> int:
    given = arguments()
    if given.job:
        do(*given.job, given.folder)
        return 0
    with tempfile.TemporaryDirectory(dir=given.folder) as name:
        folder = Path(name)
        counts_table(folder / "counts.csv", int(given.rows))
        logs(folder, int(given.games))
        sys.stdout.write(f"{given.rows:,.0f} rows of counts, {given.games:,.0f} games\n")
        names = ("job", "program", "wall s", "CPU s", "MiB", "CPU, ours of it", "memory")
        say(*names)
        say(*["---"] * len(names))
        missed = [line for kind in given.kinds for line in measured(kind, folder)]
    sys.stdout.write("\n".join(missed or ["every bar is met"]) + "\n")
    return bool(missed)


if __name__ == "__main__":
    os.environ.update(ONE_THREAD)
    sys.exit(main())
