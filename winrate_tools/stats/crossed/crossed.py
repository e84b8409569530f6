r"""Tell cards from their company: a logistic mixed model with crossed random effects.

.. math:: \operatorname{logit} p = o + x'\beta + b_{card} + b_{group} + b_{card,group},
   \quad b \sim N(0, \sigma^2)

by maximum likelihood under Laplace's approximation, coefficients and spreads together.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import FitError
from winrate_tools.stats.crossed.blocks import laid_out
from winrate_tools.stats.crossed.cells import Cells
from winrate_tools.stats.crossed.climb import Flags, Stand, base, climbed, curvature
from winrate_tools.stats.crossed.effects import Effects, averaged, effects_at
from winrate_tools.stats.crossed.spread_grid import GROUP, Grid, spread_grid

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class CrossedFit:
    """What counts say of coefficients, spreads and effects, in log-odds.

    Means, variances and covariances of effects are those of the normal approximation to their
    posterior given the spreads, with coefficients as uncertain as the counts leave them.

    Attributes
    ----------
    fixed, fixed_covariance : ndarray of shape (p,) and (p, p)
        Coefficients of the fixed columns.
    card_sd, group_sd, cell_sd : float
        Spreads of the effects; 0 where there is no such effect or none can be told from 0.
    sd_error : ndarray of shape (3,)
        Standard errors of the three spreads, about; infinite where there is no such effect.
    card_effect, card_variance : ndarray of shape (n,)
        Cards; one without games has effect 0 and variance `card_sd` squared.
    group_effect, group_covariance : ndarray of shape (K,) and (K, K)
        Groups.
    cell_effect, cell_variance : ndarray of shape (n, K)
        Cards within groups, 0 where not asked for.
    card_group_covariance : ndarray of shape (n, K)
        Of cards' with groups' effects.
    card_fixed_covariance, group_fixed_covariance : ndarray of shape (n, p) and (K, p)
        Of effects with coefficients.
    log_likelihood : float
        Laplace's, with every constant, so that it can be compared between programs.
    steps : int
        Steps of the climb.
    has_converged : bool
        Whether no further step could gain.
    expected : ndarray of shape (m,)
        Fitted log-odds of each row of the cells, in their order.
    """

    fixed: Numbers
    fixed_covariance: Numbers
    card_sd: float
    group_sd: float
    cell_sd: float
    sd_error: Numbers
    card_effect: Numbers
    card_variance: Numbers
    group_effect: Numbers
    group_covariance: Numbers
    cell_effect: Numbers
    cell_variance: Numbers
    card_group_covariance: Numbers
    card_fixed_covariance: Numbers
    group_fixed_covariance: Numbers
    log_likelihood: float
    steps: int
    has_converged: bool
    expected: Numbers


def crossed(
    cells: Cells,
    *,
    cell_effects: bool = False,
    exact_errors: bool = False,
    group_prior: float | None = None,
) -> CrossedFit:
    """Fit the crossed model.

    Time and memory grow linearly with cards; groups should be few.

    Parameters
    ----------
    cells : Cells
        Counts; without groups there are effects of cards only.
    cell_effects : bool, optional
        Give each card within each group an effect of its own; needs groups.
    exact_errors : bool, optional
        Take `fixed_covariance` and `sd_error` from the curvature of the log-likelihood, which
        knows that the spreads are estimates, at the price of some further fits.
    group_prior : float, optional
        Scale of a half-normal prior of the groups' spread, above 0. If given, effects and
        coefficients are averaged over that spread instead of taken at its best value, and
        `group_sd` and `sd_error` are the mean and standard deviation of its posterior.

    Returns
    -------
    CrossedFit
        At the maximum; a spread whose best value is 0 is reported as 0.

    Raises
    ------
    FitError
        If there are no games (or more than 1e13), a fixed column is empty or follows from
        others, or an estimate runs away to infinity.

    References
    ----------
    Bates, D., Maechler, M., Bolker, B. and Walker, S. (2015). Fitting linear mixed-effects
    models using lme4. *JSS* 67(1) (from memory): penalised least squares with spreads that may
    be 0. Breslow, N. E. and Clayton, D. G. (1993). Approximate inference in generalized linear
    mixed models. *JASA* 88, 9-25 (from memory).

    Examples
    --------
    >>> import numpy as np
    >>> cells = Cells(np.array([30, 50, 70]), np.full(3, 100), np.arange(3), np.ones((3, 1)))
    >>> fit = crossed(cells)
    >>> f"{fit.card_sd:.2f}", f"{fit.card_effect[2]:.2f}"
    ('0.66', '0.77')
    """
    free = _free_spreads(cells, cell_effects, group_prior)
    summit = climbed(base(laid_out(cells), free), free)
    alone = Grid([summit.stand], np.ones(1))
    grid = alone if group_prior is None else spread_grid(summit, free, group_prior)
    parts = [effects_at(stand.look, cells.groups) for stand in grid.stands]
    effects = averaged(parts, grid.weights)
    errors = np.where(free, _errors(grid, summit.stand), np.inf)
    if exact_errors and group_prior is None:
        covariance, errors = _exact(summit.stand, free)
        effects = effects._replace(fixed_covariance=covariance)
    spreads = grid.weights @ grid.spreads
    return CrossedFit(
        **effects._asdict(),
        card_sd=float(spreads[0]),
        group_sd=float(spreads[1]),
        cell_sd=float(spreads[2]),
        sd_error=errors,
        log_likelihood=summit.stand.look.height,
        steps=summit.steps,
        has_converged=summit.has_converged,
        expected=_expected(cells, effects),
    )


def _free_spreads(cells: Cells, cell_effects: bool, group_prior: float | None) -> Flags:
    """Say which spreads of card, group and cell may differ from 0; shape (3,)."""
    if cells.group is None and (cell_effects or group_prior is not None):
        msg = "cell_effects and group_prior need groups, and the cells have none"
        raise FitError(msg)
    if group_prior is not None and not 0 < group_prior < np.inf:
        msg = f"group_prior must be above 0 and finite, got {group_prior:g}"
        raise FitError(msg)
    return np.array([True, cells.group is not None, cell_effects])


def _errors(grid: Grid, best: Stand) -> Numbers:
    """Return the spreads' standard errors; those of spreads that the grid holds are its own."""
    with np.errstate(divide="ignore"):
        within = 1 / best.information.diagonal()[-3:]
    if len(grid.weights) > 1:
        within[GROUP] = 0
    off = grid.spreads - grid.weights @ grid.spreads
    return np.asarray(np.sqrt(within + grid.weights @ off**2))


def _exact(stand: Stand, free: Flags) -> tuple[Numbers, Numbers]:
    """Covariance of coefficients and standard errors of spreads from the curvature."""
    curve, size = curvature(stand, free), len(stand.look.point.fixed)
    loose = curve.diagonal() > 0
    covariance = np.full(curve.shape, np.inf)
    covariance[np.ix_(loose, loose)] = np.linalg.inv(curve[np.ix_(loose, loose)])
    return covariance[:size, :size], np.sqrt(covariance.diagonal()[size:])


def _expected(cells: Cells, effects: Effects) -> Numbers:
    log_odds = cells.fixed @ effects.fixed + effects.card_effect[cells.card]
    if cells.group is not None:
        log_odds += effects.group_effect[cells.group]
        log_odds += effects.cell_effect[cells.card, cells.group]
    return log_odds if cells.offset is None else log_odds + cells.offset
