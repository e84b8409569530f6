"""Mixed integer programs, solved by their core."""

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from winrate_tools.decide.plan import mixed
from winrate_tools.decide.plan.mixed import Mixed, best_values, relaxed_values


def random_mixed(seed: int, size: int) -> Mixed:
    """Many binaries and a free variable under a few knapsacks."""
    rng = np.random.default_rng(seed)
    matrix = rng.uniform(0.5, 3, (4, size + 1))
    return Mixed(
        gain=np.append(rng.normal(1, 1, size), 0.5),
        least=np.zeros(size + 1),
        most=np.append(np.ones(size), 2.5),
        is_whole=np.arange(size + 1) < size,
        matrix=matrix,
        low=np.full(4, -np.inf),
        high=matrix.sum(axis=1) / 7,
    )


def whole_program(problem: Mixed) -> float:
    """The value that the solver finds when it is handed everything."""
    found = milp(
        -problem.gain,
        integrality=problem.is_whole.astype(int),
        bounds=Bounds(problem.least, problem.most),
        constraints=[LinearConstraint(problem.matrix, problem.low, problem.high)],
        options={"mip_rel_gap": 0.0},
    )
    return float(-found.fun)


@pytest.mark.parametrize("core", [0, 3, 40])
@pytest.mark.parametrize("seed", range(4))
def test_the_core_finds_what_the_whole_program_finds(
    seed: int, core: int, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(mixed, "CORE", core)
    problem = random_mixed(seed, 60)

    found = best_values(problem)

    assert found is not None
    assert float(problem.gain @ found) == pytest.approx(whole_program(problem), abs=1e-6)
    assert (problem.matrix @ found <= problem.high + 1e-6).all()
    assert np.abs(found[:-1] - np.rint(found[:-1])).max() < 1e-6


def test_unproven_values_are_whole_and_fit(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(mixed, "CORE", 5)
    problem = random_mixed(9, 60)

    found = best_values(problem, is_proven=False)

    assert found is not None
    assert (problem.matrix @ found <= problem.high + 1e-6).all()
    assert float(problem.gain @ found) > 0.9 * whole_program(problem)


def test_a_core_that_does_not_fit_grows(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(mixed, "CORE", 0)
    odd = Mixed(
        *(np.array([3.0, 2.9, 0.1]), np.zeros(3), np.ones(3), np.ones(3, dtype=bool)),
        *(np.array([[2.0, 2.0, 3.0]]), np.array([3.0]), np.array([3.0])),
    )

    assert best_values(odd).tolist() == [0, 0, 1]
    assert best_values(odd, is_proven=False).tolist() == [0, 0, 1]


def even_sums() -> Mixed:
    """Ten things that weigh 2 and two that weigh 3, to weigh 3 together."""
    weight = np.repeat([2.0, 3.0], [10, 2])
    gain = np.concatenate([1 - np.arange(10) / 100, [0.6, 0.5]])
    return Mixed(
        *(gain, np.zeros(12), np.ones(12), np.ones(12, dtype=bool)),
        *(weight[None], np.array([3.0]), np.array([3.0])),
    )


@pytest.mark.parametrize(("far", "cores"), [(2, 1), (1, 3)])
def test_the_first_core_holds_the_best_of_each_kind(
    far: int, cores: int, monkeypatch: pytest.MonkeyPatch
):
    solved: list[Mixed] = []

    def solve(core: Mixed, gap: float):
        solved.append(core)
        return integer(core, gap)

    integer = mixed._solved
    monkeypatch.setattr(mixed, "_solved", solve)
    monkeypatch.setattr(mixed, "CORE", 5)
    monkeypatch.setattr(mixed, "FAR", far)

    found = best_values(even_sums(), is_proven=False)

    assert np.flatnonzero(found).tolist() == [10]
    assert len(solved) == cores


def test_a_relaxed_solution_that_is_known_is_not_sought_again(
    monkeypatch: pytest.MonkeyPatch,
):
    problem = random_mixed(2, 60)
    known = relaxed_values(problem)
    monkeypatch.delattr(mixed, "relaxed_values")

    found = best_values(problem, known)

    assert float(problem.gain @ found) == pytest.approx(whole_program(problem), abs=1e-6)


def test_relaxed_values_are_no_less_and_their_reduced_costs_say_what_leaving_a_bound_costs():
    problem = random_mixed(4, 30)
    values, reduced = relaxed_values(problem)

    fast = int(np.argmax(reduced))
    other = problem.least.copy(), problem.most.copy()
    other[0][fast] = other[1][fast] = 1 - np.rint(values[fast])
    moved = relaxed_values(problem._replace(least=other[0], most=other[1]))

    assert problem.gain @ values >= whole_program(problem) - 1e-9
    assert problem.gain @ moved.values <= problem.gain @ values - reduced[fast] + 1e-9
    assert reduced.min() >= 0


def test_a_program_that_nothing_fits_has_no_values():
    impossible = Mixed(
        *(np.ones(1), np.zeros(1), np.ones(1), np.ones(1, dtype=bool)),
        *(np.ones((1, 1)), np.array([2.0]), np.array([3.0])),
    )

    assert best_values(impossible) is None


def test_a_program_that_only_fractions_fit_has_no_values():
    halves = Mixed(
        *(np.ones(2), np.zeros(2), np.ones(2), np.ones(2, dtype=bool)),
        *(np.array([[2.0, 2.0]]), np.array([3.0]), np.array([3.0])),
    )

    assert best_values(halves) is None


def test_without_rows_every_gain_is_taken():
    free = Mixed(
        *(np.array([1.0, -1.0]), np.zeros(2), np.ones(2), np.ones(2, dtype=bool)),
        *(np.zeros((0, 2)), np.zeros(0), np.zeros(0)),
    )

    assert best_values(free).tolist() == [1, 0]
