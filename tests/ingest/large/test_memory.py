"""Memory does not grow with a table or log that streams by."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

CHILD = """
import resource, sys
from winrate_tools.ingest.logs.logs import count_logs
from winrate_tools.ingest.tables.cards import read_cards

path, kind = sys.argv[1:]
if kind == "counts":
    read_cards(path, sum_duplicates=True)
else:
    count_logs([path])
try:
    with open("/proc/self/status") as status:
        print(next(line.split()[1] for line in status if line.startswith("VmHWM")))
except FileNotFoundError:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""
"""Where it can, the peak is its own: ``ru_maxrss`` includes that of who started it."""
ROWS = 20_000


def counts() -> tuple[str, str]:
    rng = np.random.default_rng(1)
    card, kind, games = (rng.integers(0, most, ROWS).tolist() for most in (300, 12, 200))
    rows = zip(card, kind, games, strict=True)
    lines = [f"A long name of card {c:04d},archetype {a},{g},{g // 2}\n" for c, a, g in rows]
    return "card,archetype,games,wins\n", "".join(lines)


def list_log() -> tuple[str, str]:
    decks = np.random.default_rng(2).integers(0, 300, (ROWS // 8, 23)).tolist()
    lines = [f"{n % 2},{'|'.join(f'Card {c:04d}' for c in d)}\n" for n, d in enumerate(decks)]
    return "won,cards\n", "".join(lines)


KINDS = {"counts": counts, "list": list_log}


def peak(path: Path, kind: str) -> int:
    command = [sys.executable, "-c", CHILD, str(path), kind]
    return int(subprocess.run(command, check=True, stdout=subprocess.PIPE).stdout)


@pytest.mark.parametrize("kind", KINDS)
def test_twice_the_rows_take_no_more_memory(kind, tmp_path):
    header, rows = KINDS[kind]()
    few, many = tmp_path / "few.csv", tmp_path / "many.csv"
    few.write_text(header + 25 * rows)
    many.write_text(header + 50 * rows)
    small, large = peak(few, kind), peak(many, kind)

    assert large <= 1.05 * small
