"""The same table gives the same bytes: on any number of threads, however Python hashes."""

import os
import subprocess
import sys

import numpy as np
import pytest
from scipy.special import expit

MANY = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
COMMANDS = [
    ["rank", "cards.csv", "--json"],
    ["rank", "rows.csv", "--json"],
    ["archetypes", "rows.csv", "--json"],
    ["report", "cards.csv", "-o", "-"],
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory):
    """Two tables: three hundred cards, and some of them by archetype."""
    found, rng = tmp_path_factory.mktemp("tables"), np.random.default_rng(1)
    games, odds = rng.integers(200, 4000, 300), rng.normal(0.1, 0.15, 300)
    wins = rng.binomial(games, expit(odds))
    cards = [f"card {i},{('Cog', 'Wick')[i % 2]},{games[i]},{wins[i]}" for i in range(300)]
    (found / "cards.csv").write_text("\n".join(["card,faction,games,wins", *cards]))
    rows = [
        f"card {i % 60},plan {i // 60},{games[i]},{rng.binomial(games[i], expit(odds[i % 60]))}"
        for i in range(300)
    ]
    (found / "rows.csv").write_text("\n".join(["card,archetype,games,wins", *rows]))
    return found


def output(folder, command: list[str], *, threads: int, hashes: int) -> bytes:
    world = {**os.environ, **dict.fromkeys(MANY, str(threads)), "PYTHONHASHSEED": str(hashes)}
    done = subprocess.run(
        [sys.executable, "-m", "winrate_tools", *command],
        cwd=folder,
        env=world,
        capture_output=True,
        check=True,
    )
    return done.stdout


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_neither_threads_nor_hashes_change_a_byte(folder, command: list[str]):
    one = output(folder, command, threads=1, hashes=1)
    four = output(folder, command, threads=4, hashes=2)

    assert len(one) > 1000
    assert four == one
