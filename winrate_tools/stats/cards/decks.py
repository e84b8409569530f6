"""Every card's effect at once, from whole decks: a check beside the model of single cards."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError, FitError
from winrate_tools.stats.cards.deck_games import DeckGames

Numbers = npt.NDArray[np.float64]
SAMPLE = 20_000
"""Games whose curvature stands in for that of all while the fit climbs."""
TOLERANCE = 2e-4
"""Largest slope left, in units of the standard errors."""
MOST_PASSES = 200
FLATTEST = 1e-6
"""Least curvature along any line, where that along each column is 1."""


@dataclass(frozen=True, slots=True, eq=False)
class DeckFit:
    """Effects in log-odds, each given all others.

    Attributes
    ----------
    card, card_se : ndarray of float, shape (cards,)
        What one copy in the deck (or in hand) adds, and its standard error. Cards are measured
        against the average card of a deck, as far as the penalty holds them there.
    group, group_se : ndarray of float, shape (groups,)
        The same of archetypes; empty without them.
    slope, slope_se : ndarray of float, shape (groups,)
        What the number with a slope by group adds for each unit; empty without one.
    fixed, fixed_se : ndarray of float, shape (1 + columns,)
        The intercept, and the slope of each further column.
    card_covariance : ndarray of float, shape (cards, cards)
        Of the cards' effects: its diagonal is `card_se` squared.
    passes : int
        How often all games were gone through.
    """

    card: Numbers
    card_se: Numbers
    group: Numbers
    group_se: Numbers
    slope: Numbers
    slope_se: Numbers
    fixed: Numbers
    fixed_se: Numbers
    card_covariance: Numbers
    passes: int


def deck_fit(
    games: DeckGames,
    *,
    card_sd: npt.ArrayLike = 0.12,
    group_sd: float = 0.15,
    slope_sd: float = 0.1,
    exact_errors: bool = True,
) -> DeckFit:
    r"""Fit whether decks win by the cards in them, all cards at once.

    A logistic regression, penalised as if effects were drawn from normals around 0:

    .. math::

        \operatorname{logit} P(\text{won}) = x'\beta + \gamma_{a} + \sum_{i \in \text{deck}}
        \theta_i, \quad \theta_i \sim N(0, \sigma_c^2), \; \gamma_a \sim N(0, \sigma_a^2)

    It adjusts each card for the cards beside it, which counts by card cannot. That makes it no
    shortcut: what drafters know and no column tells still stands in every effect, games of a
    deck are taken as independent, and a table of counts by archetype and skill band, held and
    unheld, usually says more.

    The curvature of a sample of games preconditions a quasi-Newton climb over all of them,
    which takes some ten passes; one more pass, as dear as all these together, sums the exact
    curvature, for the errors. Beyond the games themselves, memory does not grow with their
    number.

    Parameters
    ----------
    games : DeckGames
        Outcomes, and what they are explained by; further columns, such as the player's skill,
        have no penalty.
    card_sd : float or array_like of shape (cards,), optional
        Spread of the cards' effects in log-odds, above 0; one for all, or one each.
    group_sd, slope_sd : float, optional
        The same of groups, and of slopes by group.
    exact_errors : bool, optional
        Whether the errors come from all games, or else from the sample, up to a tenth off.

    Returns
    -------
    DeckFit

    Raises
    ------
    CountError
        If there are more or fewer spreads than cards.
    FitError
        If a spread is not above 0, or so wide that columns cannot be told apart, or the climb
        does not end.

    References
    ----------
    Hastie, T., Tibshirani, R. and Friedman, J. (2009). *The Elements of Statistical Learning*,
    2nd edition, section 4.4 (from memory). Byrd, R. H., Chin, G. M., Neveitt, W. and Nocedal,
    J. (2011). On the use of stochastic Hessian information in optimization methods for machine
    learning. *SIAM J. Optimization* 21(3), 977-995 (from memory).

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> decks = rng.integers(0, 30, (20_000, 8))
    >>> effect = 0.3 * np.linspace(-1, 1, 30)
    >>> odds = effect[decks].sum(axis=1)
    >>> won = rng.random(20_000) < 1 / (1 + np.exp(-odds))
    >>> fit = deck_fit(DeckGames(won, decks, 30), card_sd=0.2)
    >>> bool(np.corrcoef(fit.card, effect)[0, 1] > 0.98)
    True
    """
    spreads = {"card_sd": card_sd, "group_sd": group_sd, "slope_sd": slope_sd}
    precise = map(_precision, spreads, spreads.values(), games.parts)
    penalty = np.concatenate([*precise, np.zeros(games.parts[-1])])
    start, curvature = _sampled(games, penalty)
    effects, passes = _climb(games, penalty, start, curvature)
    if exact_errors:
        curvature = games.curvature(effects) + np.diag(penalty)
    covariance = np.asarray(np.linalg.inv(curvature), dtype=np.float64)
    errors = np.sqrt(np.diag(covariance))
    ends = np.cumsum(games.parts)[:-1]
    card, group, slope, fixed = np.split(effects, ends)
    card_se, group_se, slope_se, fixed_se = np.split(errors, ends)
    return DeckFit(
        card=card,
        card_se=card_se,
        group=group,
        group_se=group_se,
        slope=slope,
        slope_se=slope_se,
        fixed=fixed,
        fixed_se=fixed_se,
        card_covariance=covariance[: len(card), : len(card)],
        passes=passes,
    )


def _precision(name: str, spread: npt.ArrayLike, columns: int) -> Numbers:
    spreads = np.asarray(spread, dtype=np.float64)
    if spreads.shape not in {(), (columns,)}:
        msg = f"{name} must be one number or {columns:,}, got {spreads.shape}"
        raise CountError(msg)
    if not np.all((spreads > 0) & (spreads < np.inf)):
        msg = f"{name} must be above 0, got {np.min(spreads):g}"
        raise FitError(msg)
    return np.broadcast_to(spreads**-2, columns)


def _sampled(games: DeckGames, penalty: Numbers) -> tuple[Numbers, Numbers]:
    """Return the mode of a sample of the games, by Newton steps, and the curvature there."""
    step = max(1, len(games) // SAMPLE)
    effects, curvature = np.zeros(games.columns), np.diag(penalty)
    for _ in range(2):
        slope = games.height(effects, step)[1] - penalty * effects
        curvature = games.curvature(effects, step) + np.diag(penalty)
        _demand_apart(curvature)
        effects = effects + np.linalg.solve(curvature, slope)
    return effects, curvature


def _demand_apart(curvature: Numbers) -> None:
    """Refuse columns that single precision cannot tell apart."""
    scale = np.sqrt(np.maximum(np.diag(curvature), np.finfo(float).tiny))
    flattest = np.linalg.eigvalsh(curvature / scale / scale[:, None])[0]
    if flattest < FLATTEST:
        msg = "these games cannot tell all columns apart; leave one out or narrow the spreads"
        raise FitError(msg)


def _climb(
    games: DeckGames, penalty: Numbers, start: Numbers, curvature: Numbers
) -> tuple[Numbers, int]:
    """Climb to the mode of all games, in steps that a curvature has made alike."""
    from scipy.linalg import cholesky, solve_triangular
    from scipy.optimize import minimize

    root = cholesky(curvature, lower=True)

    def place(scaled: Numbers) -> Numbers:
        return np.asarray(start + solve_triangular(root, scaled, lower=True, trans="T"))

    def below(scaled: Numbers) -> tuple[float, Numbers]:
        effects = place(scaled)
        height, slope = games.height(effects)
        height -= 0.5 * float(np.sum(penalty * effects**2))
        return -height, -solve_triangular(root, slope - penalty * effects, lower=True)

    options = {"gtol": TOLERANCE, "ftol": 0, "maxfun": MOST_PASSES}
    found = minimize(below, np.zeros(len(start)), jac=True, method="L-BFGS-B", options=options)
    if found.nfev >= MOST_PASSES:
        msg = f"the fit of {len(games):,} games did not end within {MOST_PASSES} passes"
        raise FitError(msg)
    return place(found.x), int(found.nfev)
