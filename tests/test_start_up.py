"""What each command loads: nothing that it does not need, on one thread."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SAMPLE = Path(__file__).parent.parent / "sample_data"
CARDS, BY_ARCHETYPE, POOL, GAMES, HOME = (
    f"{SAMPLE / name}.csv" for name in ("cards", "cards_by_archetype", "pool", "games", "home")
)
NUMBERS = {"numpy", "scipy.special"}
SOLVING = {"scipy.optimize", "scipy.sparse", "scipy.linalg"}
WATCHED = {
    *NUMBERS,
    *SOLVING,
    *("scipy.stats", "pandas", "pyarrow", "statsmodels", "matplotlib", "xlsxwriter"),
    *("jinja2", "rich", "pydantic", "numpy.f2py.crackfortran", "numpy.testing._private.utils"),
}
"""Libraries worth waiting for only where they do something."""
COMMANDS = {
    "--help": set(),
    "--version": set(),
    "rank --help": set(),
    "config show": set(),
    f"check {CARDS}": {"numpy"},
    f"check {POOL}": {"numpy"},
    f"changes {POOL} {POOL}": {"numpy"},
    f"tally {GAMES}": {"numpy", "pyarrow"},
    f"decks {GAMES}": {*NUMBERS, *SOLVING, "pyarrow"},
    f"rank {CARDS}": NUMBERS,
    f"rank {BY_ARCHETYPE} --json": NUMBERS,
    f"report {CARDS} -o cuts.md": NUMBERS,
    f"report {CARDS} --html cuts.html": {*NUMBERS, "jinja2"},
    f"archetypes {BY_ARCHETYPE}": NUMBERS,
    "power --baseline 55%": NUMBERS,
    f"power {CARDS}": NUMBERS,
    f"packs --pool {POOL} --seats 5": {*NUMBERS, "pydantic"},
    f"plan {CARDS} --pool {POOL} --changes 2": {*NUMBERS, *SOLVING, "pydantic"},
    f"update {BY_ARCHETYPE} --matches {HOME}": NUMBERS,
    "demo": NUMBERS,
}
"""Each command, and which of the watched libraries it may load."""
AT_EXIT = """
import atexit, os, sys
def tell():
    print(*sys.modules, file=sys.stderr)
    print(len(os.listdir("/proc/self/task")), file=sys.stderr)
atexit.register(tell)
from winrate_tools.__main__ import main
main()
"""


@pytest.fixture(scope="session")
def compiled(tmp_path_factory) -> str:
    """Where the compiled modules are kept between runs, as they are where it is installed."""
    return str(tmp_path_factory.mktemp("compiled"))


def after(arguments: list[str], folder: Path, compiled: str) -> tuple[set[str], int]:
    """Run a command; the modules and the threads that are there in the end."""
    unset = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
    kept = {name: value for name, value in os.environ.items() if name not in unset}
    kept |= {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": compiled}
    done = subprocess.run(
        [sys.executable, "-c", AT_EXIT, *arguments],
        capture_output=True,
        text=True,
        check=True,
        cwd=folder,
        env={**kept, "HOME": str(folder), "XDG_CONFIG_HOME": str(folder)},
    )
    *_, modules, threads = done.stderr.splitlines()
    return set(modules.split()), int(threads)


@pytest.mark.parametrize("line", COMMANDS, ids=lambda line: line.replace(f"{SAMPLE}/", ""))
def test_a_command_loads_only_what_it_needs(line, tmp_path, compiled):
    modules, threads = after(line.split(), tmp_path, compiled)

    assert "winrate_tools.cli.app" in modules
    assert modules & WATCHED <= COMMANDS[line]
    assert threads == 1 or "pyarrow" in COMMANDS[line]


def test_every_command_is_watched():
    from winrate_tools.cli.app import COMMANDS as KNOWN

    assert {line.split()[0] for line in COMMANDS} >= set(KNOWN)


def test_the_library_leaves_threads_alone():
    code = (
        "import os; before = dict(os.environ); import winrate_tools as wt\n"
        "wt.rank(wt.CardTable(['Ash', 'Bee'], [90, 80], [40, 50])); import sys\n"
        "print(before == dict(os.environ), 'winrate_tools.cli.postponed' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )

    assert done.stdout.split() == ["True", "False"]
