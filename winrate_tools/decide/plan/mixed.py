r"""Mixed integer programs of many binary variables and few rows, solved by their core.

Without integrality the program is solved at once, and its reduced costs say what each variable
would lose by leaving its bound. Most lose more than there is to gain: if the relaxed value is
:math:`z` and a whole solution of value :math:`z - g` is known, no variable whose reduced cost
exceeds :math:`g` moves in any better one. So only a core of variables of small reduced cost is
handed to the integer solver; what it finds proves itself, or says how large the core must be.
Sums that are set to a number are hard to meet by few variables, so that a core holds the best
of each kind as well: of the variables that do the same to those sums.
"""

from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
CORE = 40
"""Variables of the first core, beside those that the relaxed solution splits."""
FAR = 2
"""How many times as far down the order of reduced costs a core takes in the best of a kind."""
GROWN = 1.5
"""How many times as large the next core is where none of a core's solutions fits."""
CLOSE = 5e-3
"""How near its best value an unproven solution comes within its core, as a part of it."""
TINY = 1e-7


class Mixed(NamedTuple):
    """Maximise ``gain @ x`` with ``low <= matrix @ x <= high`` and ``least <= x <= most``.

    Attributes
    ----------
    gain, least, most : ndarray of shape (n,)
        Worth and bounds of each variable.
    is_whole : ndarray of bool, shape (n,)
        Which variables are whole numbers.
    matrix : ndarray of shape (R, n)
        Coefficients.
    low, high : ndarray of shape (R,)
        Bounds of the rows.
    """

    gain: Numbers
    least: Numbers
    most: Numbers
    is_whole: Flags
    matrix: Numbers
    low: Numbers
    high: Numbers


class Relaxed(NamedTuple):
    """A mixed program solved as if no variable were whole.

    Attributes
    ----------
    values : ndarray of shape (n,)
        The best values.
    reduced : ndarray of shape (n,)
        What leaving its bound costs each variable, at least 0.
    """

    values: Numbers
    reduced: Numbers


def best_values(
    mixed: Mixed, relaxed: Relaxed | None = None, *, is_proven: bool = True
) -> Numbers | None:
    """Solve a mixed program.

    Parameters
    ----------
    mixed : Mixed
        What there is to choose.
    relaxed : Relaxed, optional
        Its relaxed solution, if that is known.
    is_proven : bool, optional
        Whether to prove that no better values exist; else the first core that has a solution
        decides, to half a hundredth of its value.

    Returns
    -------
    ndarray of shape (n,) or None
        Values of the variables, None if none fit.

    References
    ----------
    Balas, E. and Zemel, E. (1980). An algorithm for large zero-one knapsack problems.
    *Operations Research* 28(5), 1130-1154, for the core; Dantzig, G., Fulkerson, R. and
    Johnson, S. (1954). Solution of a large-scale traveling-salesman problem. *Journal of the
    Operations Research Society of America* 2(4), 393-410, for fixing by reduced costs (both
    from memory).

    Examples
    --------
    Two of three things, of which one weighs double:

    >>> weighed = Mixed(np.array([5.0, 4.0, 3.0]), np.zeros(3), np.ones(3), np.ones(3, bool),
    ...                 np.array([[2.0, 1.0, 1.0]]), np.array([0.0]), np.array([2.0]))
    >>> best_values(weighed).tolist()
    [0.0, 1.0, 1.0]
    """
    relaxed = relaxed or relaxed_values(mixed)
    if relaxed is None:
        return None
    values, reduced = relaxed
    bound, size = float(mixed.gain @ values), float(CORE)
    room, best = _reach(mixed, relaxed, size), _best_of_kind(mixed, reduced)
    while True:
        far = best & (reduced <= _reach(mixed, relaxed, FAR * size))
        free = ~mixed.is_whole | (reduced <= room) | far | _split(values)
        core = _with_fixed(mixed, np.rint(values), ~free)
        found = _solved(core, 0.0 if is_proven else CLOSE)
        missing = np.inf if found is None else bound - float(mixed.gain @ found)
        if free.all() or missing <= room + TINY or (found is not None and not is_proven):
            return found
        size = max(GROWN * size, 1.0)
        room = _reach(mixed, relaxed, size) if found is None else missing + TINY


def _split(values: Numbers) -> Flags:
    return np.asarray(np.abs(values - np.rint(values)) > TINY)


def _reach(mixed: Mixed, relaxed: Relaxed, size: float) -> float:
    """Return the reduced cost up to which a core of some size reaches."""
    whole = np.sort(relaxed.reduced[mixed.is_whole & ~_split(relaxed.values)])
    return float(whole[int(size)]) if len(whole) > size else np.inf


def _best_of_kind(mixed: Mixed, reduced: Numbers) -> Flags:
    """Tell which variable costs least of those that do the same to every sum that is set."""
    sums = mixed.matrix[mixed.low == mixed.high]
    order = np.lexsort((reduced, *sums))
    kinds = sums[:, order]
    best = np.zeros(len(reduced), dtype=np.bool_)
    best[order] = np.append(True, (np.diff(kinds) != 0).any(axis=0))
    return best


def relaxed_values(mixed: Mixed) -> Relaxed | None:
    """Solve a mixed program without integrality; None if no values fit.

    Examples
    --------
    >>> halves = Mixed(np.ones(1), np.zeros(1), np.ones(1), np.ones(1, bool),
    ...                np.array([[2.0]]), np.array([0.0]), np.array([1.0]))
    >>> relaxed_values(halves).values.tolist()
    [0.5]
    """
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    if not len(mixed.gain):
        return Relaxed(np.zeros(0), np.zeros(0))
    equal = mixed.low == mixed.high
    up, down = np.isfinite(mixed.high) & ~equal, np.isfinite(mixed.low) & ~equal
    sides = np.vstack([mixed.matrix[up], -mixed.matrix[down]])
    found: Any = linprog(
        -mixed.gain,
        A_ub=csr_array(sides) if len(sides) else None,
        b_ub=np.concatenate([mixed.high[up], -mixed.low[down]]) if len(sides) else None,
        A_eq=csr_array(mixed.matrix[equal]) if equal.any() else None,
        b_eq=mixed.low[equal] if equal.any() else None,
        bounds=np.column_stack([mixed.least, mixed.most]),
        method="highs",
    )
    if found.x is None:
        return None
    reduced = np.abs(found.lower.marginals) + np.abs(found.upper.marginals)
    return Relaxed(np.asarray(found.x), reduced)


def _with_fixed(mixed: Mixed, values: Numbers, fixed: Flags) -> Mixed:
    """Hold some variables where they are."""
    return mixed._replace(
        least=np.where(fixed, values, mixed.least), most=np.where(fixed, values, mixed.most)
    )


def _solved(mixed: Mixed, gap: float) -> Numbers | None:
    """Hand the variables that can move to the integer solver."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    moves = mixed.least < mixed.most
    held = np.where(moves, 0.0, mixed.least)
    rest = mixed.matrix @ held
    rows = csr_array(mixed.matrix[:, moves])
    if not moves.any():
        fits = (mixed.low - TINY <= rest) & (rest <= mixed.high + TINY)
        return held if fits.all() else None
    found: Any = milp(
        -mixed.gain[moves],
        integrality=mixed.is_whole[moves].astype(np.int64),
        bounds=Bounds(mixed.least[moves], mixed.most[moves]),
        constraints=[LinearConstraint(rows, mixed.low - rest, mixed.high - rest)],
        options={"mip_rel_gap": gap},
    )
    if found.x is None:
        return None
    held[moves] = found.x + 0.0
    return held
