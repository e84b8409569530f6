"""Parts of a library that wait: nobody notices but the clock."""

import subprocess
import sys
from importlib.util import LazyLoader

import numpy as np
import pytest
import scipy.special
from scipy.special import _ufuncs

from winrate_tools.cli.postponed import PARTS, PlainFirst, Postponed, postpone

PREPARED = "import sys; from winrate_tools.cli.postponed import postpone; postpone()\n"
IN_PART = ("bdtr", "betainc", "chdtri", "expit", "gammaln", "logit", "ndtr", "ndtri", "psi")


def printed(code: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", PREPARED + code], capture_output=True, text=True, check=True
    )
    return done.stdout.strip()


def test_plain_functions_load_neither_a_compiler_nor_what_is_for_other_arrays():
    names = ", ".join(IN_PART)
    loaded = set(printed(f"from scipy.special import {names}\nprint(*sys.modules)").split())

    assert "scipy.special._ufuncs" in loaded
    assert loaded.isdisjoint(
        {"numpy.f2py", "numpy.testing", "scipy._lib._array_api", "scipy.special._basic"}
    )


@pytest.mark.parametrize("name", IN_PART)
def test_the_part_has_the_functions_of_the_whole(name):
    assert getattr(_ufuncs, name) is getattr(scipy.special, name)


@pytest.mark.parametrize(
    ("use", "answer"),
    [
        ("scipy.special.expit(0.0)", "0.5"),
        ("scipy.special.comb(4, 2)", "6.0"),
        ("scipy.special.logsumexp([0.0]), scipy.special.ndtri(0.5)", "0.0 0.0"),
        ("scipy.special.ndtri(0.5), scipy.special.logsumexp([0.0])", "0.0 0.0"),
        ("'comb' in scipy.special.__all__", "True"),
        ("getattr(scipy.special, 'no_such_function', 'none')", "none"),
        ("__import__('scipy.optimize').optimize.brentq(scipy.special.ndtri, 0.1, 0.9)", "0.5"),
    ],
)
def test_the_whole_is_there_as_soon_as_it_is_used(use, answer):
    assert printed(f"import scipy.special\nprint({use})") == answer


def test_a_warning_of_the_whole_is_still_given():
    code = "from scipy.special import gammaln; import scipy.special, warnings\n"
    code += "with warnings.catch_warnings(record=True) as given:\n"
    code += "  with scipy.special.errstate(all='warn'): gammaln(-1.0)\n"
    code += "print(*(one.category.__name__ for one in given))"

    assert printed(code) == "SpecialFunctionWarning"


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
    assert printed(f"import numpy, scipy.optimize\nprint({use})") == answer


def test_what_walks_through_numpy_loads_none_of_the_parts():
    inside = {"numpy.f2py.crackfortran", "numpy.testing._private.utils", "numpy.ma.core"}
    loaded = set(printed("import scipy.optimize; print(*sys.modules)").split())

    assert "numpy.f2py" in loaded
    assert loaded.isdisjoint(inside)


def test_what_is_no_such_module_is_left_to_others():
    assert Postponed.find_spec("json", None) is None
    assert Postponed.find_spec("numpy.linalg", np.__path__) is None


@pytest.mark.parametrize(
    ("name", "path", "loader"),
    [
        ("numpy.f2py", np.__path__, LazyLoader),
        ("scipy.special", scipy.__path__, PlainFirst),
    ],
)
def test_a_part_is_found_with_a_loader_that_waits(name, path, loader):
    spec = Postponed.find_spec(name, path)

    assert spec.name == name
    assert isinstance(spec.loader, loader)


@pytest.mark.parametrize("name", ["numpy.random", "scipy.special"])
def test_a_part_that_is_not_there_is_not_found(name):
    assert Postponed.find_spec(name, ["/nowhere"]) is None


def test_every_part_is_one_of_numpy():
    assert all(hasattr(np, part.removeprefix("numpy.")) for part in PARTS)


def test_postponing_twice_is_postponing_once(monkeypatch):
    others = [finder for finder in sys.meta_path if finder is not Postponed]
    monkeypatch.setattr(sys, "meta_path", others.copy())
    postpone()
    postpone()

    assert sys.meta_path == [Postponed, *others]
