"""Parts of libraries that wait: nobody notices but the clock."""

import subprocess
import sys
from importlib.util import LazyLoader

import pytest

from winrate_tools.cli.postponed import PARTS, Postponed, postpone

PREPARED = "import sys; from winrate_tools.cli.postponed import postpone; postpone()\n"


def printed(code: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", PREPARED + code], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def test_special_functions_load_neither_a_compiler_nor_a_test_bench():
    inside = {"numpy.f2py.crackfortran", "numpy.testing._private.utils", "numpy.ma.core"}

    loaded = set(printed("import scipy.special; print(*sys.modules)").split())

    assert "numpy.f2py" in loaded
    assert "scipy.special._ufuncs" in loaded
    assert loaded.isdisjoint(inside)


@pytest.mark.parametrize(
    ("use", "answer"),
    [
        ("numpy.random.default_rng(1).integers(10)", "4"),
        ("numpy.ma.masked_equal([1, 2], 2).sum()", "1"),
        ("numpy.polynomial.hermite_e.hermegauss(1)[0]", "[0.]"),
        ("numpy.fft.fft([1, 0]).real", "[1. 1.]"),
        ("numpy.testing.assert_equal(1, 1)", "None"),
        ("numpy.strings.upper('a')", "A"),
        ("callable(numpy.f2py.run_main)", "True"),
        ("numpy.typing.NDArray[numpy.float64].__name__", "ndarray"),
    ],
)
def test_a_part_is_there_as_soon_as_it_is_used(use, answer):
    assert printed(f"import numpy, scipy.special\nprint({use})") == answer


def test_what_is_no_such_part_is_left_to_others():
    assert Postponed.find_spec("json", None) is None
    assert Postponed.find_spec("numpy.linalg", None) is None


def test_a_part_is_found_with_a_loader_that_waits():
    import numpy as np

    spec = Postponed.find_spec("numpy.f2py", np.__path__)

    assert spec.name == "numpy.f2py"
    assert isinstance(spec.loader, LazyLoader)


def test_a_part_that_is_not_there_is_not_found():
    assert Postponed.find_spec("numpy.random", ["/nowhere"]) is None


def test_every_part_is_one_of_numpy():
    import numpy as np

    assert all(hasattr(np, part.removeprefix("numpy.")) for part in PARTS)


def test_postponing_twice_is_postponing_once(monkeypatch):
    others = [finder for finder in sys.meta_path if finder is not Postponed]
    monkeypatch.setattr(sys, "meta_path", others.copy())
    postpone()
    postpone()

    assert sys.meta_path == [Postponed, *others]
