"""Throw mutated bytes at every reader for a while, led by what they reach in the code.

    python tests/fuzz/run.py [SECONDS] [TARGET...]

It needs atheris (``pip install atheris``). What a target cannot stand is written to
``tests/fuzz/found/TARGET-*``; mend it and keep the bytes in ``tests/fuzz/cases/TARGET/``, where
every test run throws them again.
"""

import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
NAMES = (
    *("text", "numbers", "cards", "streamed", "archetypes", "pool", "candidates"),
    *("matches", "journal", "settings", "logs"),
)
SEED_LINES = 12
LONGEST, SLOWEST, MOST_MEGABYTES = 4096, 5, 1500
CHILD = "--child"
MOST_RUNS = {"logs": 1500}
"""Where the fuzzer itself holds on to memory with every run."""


def main() -> None:
    """Fuzz each target in a process of its own, and fail if one of them failed."""
    seconds, *names = sys.argv[1:] or ["20"]
    failed = [name for name in names or NAMES if _fuzzed(name, int(seconds))]
    sys.exit(f"found: {', '.join(failed)}" if failed else 0)


def _fuzzed(name: str, seconds: int) -> int:
    corpus, found = HERE / "found" / name, HERE / "found"
    corpus.mkdir(parents=True, exist_ok=True)
    for path in (ROOT / "sample_data").glob("*.csv"):
        head = path.read_bytes().splitlines(keepends=True)[:SEED_LINES]
        (corpus / f"seed_{path.stem}").write_bytes(b"".join(head))
    options = [
        f"-max_total_time={seconds}",
        f"-runs={MOST_RUNS.get(name, -1)}",
        f"-max_len={LONGEST}",
        f"-timeout={SLOWEST}",
        f"-rss_limit_mb={MOST_MEGABYTES}",
        f"-artifact_prefix={found}/{name}-",
        "-print_final_stats=1",
        "-verbosity=0",
    ]
    command = [sys.executable, __file__, CHILD, name, *options, str(corpus)]
    return subprocess.run(command, check=False).returncode


def _child() -> None:
    import atheris

    sys.path.insert(0, str(ROOT))
    with atheris.instrument_imports(include=["winrate_tools"]):
        from tests.fuzz.targets import thrown
    name = sys.argv.pop(2)
    del sys.argv[1]
    atheris.Setup(sys.argv, lambda data: thrown(name, data))
    atheris.Fuzz()


if __name__ == "__main__":
    if CHILD in sys.argv:
        _child()
    main()
