"""Standard output is for results alone."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from winrate_tools.cli.own_output import keep_output_own

SAMPLE = Path(__file__).parents[2] / "sample_data"
NOISY = """
import os, sys
import scipy.optimize
solve = scipy.optimize.milp
def noisy(*given, **choices):
    os.write(1, b"a line of the solver\\n")
    return solve(*given, **choices)
scipy.optimize.milp = noisy
from winrate_tools.__main__ import main
main()
"""


def run(code: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=False
    )


def test_what_is_written_below_python_does_not_reach_the_output():
    found = run(
        "import os\n"
        "from winrate_tools.cli.own_output import keep_output_own\n"
        "print('before')\n"
        "keep_output_own()\n"
        "os.write(1, b'noise')\n"
        "print('after ü')\n"
    )

    assert (found.stdout, found.stderr) == ("before\nafter ü\n", "")


def test_a_plan_holds_no_line_of_the_solver():
    found = run(
        NOISY,
        "plan",
        str(SAMPLE / "cards.csv"),
        "--pool",
        str(SAMPLE / "pool.csv"),
        *("--changes", "3", "--format", "csv"),
    )

    assert found.returncode == 0, found.stderr
    assert "a line of the solver" not in found.stdout
    assert found.stdout.startswith("card,")


def test_an_output_of_somebody_elses_stays(monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    with (tmp_path / "out.txt").open("w") as other:
        monkeypatch.setattr(sys, "stdout", other)
        before = os.fstat(1)
        keep_output_own()

        assert sys.stdout is other
        assert os.fstat(1).st_ino == before.st_ino


def test_no_output_at_all_is_left_alone(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(sys, "stdout", None)

    keep_output_own()

    assert sys.stdout is None
