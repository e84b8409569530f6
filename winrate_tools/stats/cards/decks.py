"""Every card's effect at once, from whole decks: a check beside the model of single cards."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.special import expit, log_expit

from winrate_tools.errors import CountError, FitError

Numbers = npt.NDArray[np.float64]
CHUNK = 8192
"""Games worked at once: few enough that their design stays in the processor's cache."""
SAMPLE = 20_000
"""Games whose curvature stands in for that of all while the fit climbs."""
TOLERANCE = 1e-7
"""Largest slope left, for each game, in units of the standard errors."""
MOST_PASSES = 200


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
    fixed, fixed_se : ndarray of float, shape (1 + columns,)
        The intercept, and the slope of each further column.
    passes : int
        How often all games were gone through.
    """

    card: Numbers
    card_se: Numbers
    group: Numbers
    group_se: Numbers
    fixed: Numbers
    fixed_se: Numbers
    passes: int


def deck_fit(
    won: npt.ArrayLike,
    decks: npt.ArrayLike,
    cards: int,
    *,
    group: npt.ArrayLike | None = None,
    fixed: npt.ArrayLike | None = None,
    card_sd: float = 0.12,
    group_sd: float = 0.15,
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
    which takes some ten passes; one more pass sums the exact curvature, for the errors. Beyond
    the games themselves, memory does not grow with their number.

    Parameters
    ----------
    won : array_like of bool, shape (games,)
        Outcomes.
    decks : array_like of int, shape (games, most copies)
        Cards of each deck from 0, a card with two copies twice; -1 fills up. ``int16`` keeps
        ten million games in half a gigabyte.
    cards : int
        How many different cards there are, at least 1.
    group : array_like of int, shape (games,), optional
        Archetypes, from 0.
    fixed : array_like of float, shape (games, columns), optional
        Further columns without a penalty, such as the player's skill; the intercept is added.
    card_sd, group_sd : float, optional
        Spread of effects in log-odds, above 0.

    Returns
    -------
    DeckFit

    Raises
    ------
    CountError
        If shapes or codes do not fit together, or there is no game.
    FitError
        If a spread is not above 0, or the climb does not end.

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
    >>> won = rng.random(20_000) < expit(effect[decks].sum(axis=1))
    >>> fit = deck_fit(won, decks, 30, card_sd=0.2)
    >>> bool(np.corrcoef(fit.card, effect)[0, 1] > 0.98)
    True
    """
    design = _Design(won, decks, cards, group, fixed)
    for name, spread in (("card_sd", card_sd), ("group_sd", group_sd)):
        if not 0 < spread < np.inf:
            msg = f"{name} must be above 0, got {spread}"
            raise FitError(msg)
    parts = (cards, design.groups, design.fixed.shape[1])
    penalty = np.repeat([card_sd**-2, group_sd**-2, 0.0], parts)
    effects, passes = _climb(design, penalty)
    errors = np.sqrt(np.diag(np.linalg.inv(_curvature(design, effects, penalty, 1))))
    ends = np.cumsum(parts)[:-1]
    card, group_effect, slopes = np.split(effects, ends)
    card_se, group_se, slopes_se = np.split(errors, ends)
    return DeckFit(card, card_se, group_effect, group_se, slopes, slopes_se, passes)


class _Design:
    """The columns of a fit, handed out a chunk of games at a time."""

    def __init__(
        self,
        won: npt.ArrayLike,
        decks: npt.ArrayLike,
        cards: int,
        group: npt.ArrayLike | None,
        fixed: npt.ArrayLike | None,
    ) -> None:
        self.won, self.decks, self.cards = np.asarray(won, dtype=bool), np.asarray(decks), cards
        games = len(self.won)
        self.group = None if group is None else np.asarray(group)
        more = np.empty((games, 0)) if fixed is None else np.asarray(fixed, dtype=np.float64)
        self._demand(more)
        self.fixed = np.column_stack([np.ones(games), more])
        self.groups = 0 if self.group is None else int(self.group.max()) + 1
        self.columns = cards + self.groups + self.fixed.shape[1]

    def __len__(self) -> int:
        return len(self.won)

    def _demand(self, more: Numbers) -> None:
        """Refuse columns that do not fit together."""
        games = len(self.won)
        if not games:
            msg = "at least one game is needed, got none"
            raise CountError(msg)
        shapes = [self.decks.shape[:1], more.shape[:1]]
        shapes += [] if self.group is None else [self.group.shape]
        if self.decks.ndim != 2 or more.ndim != 2 or set(shapes) != {(games,)}:
            msg = f"every column must have a row for each of the {games:,} games"
            raise CountError(msg)
        for name, codes, least, most in (
            ("decks", self.decks, -1, self.cards - 1),
            ("group", self.group, 0, games),
        ):
            if (
                codes is not None
                and codes.size
                and not least <= codes.min() <= codes.max() <= most
            ):
                msg = f"{name} must hold codes from {least} to {most}"
                raise CountError(msg)
        if not np.isfinite(more).all():
            msg = "fixed columns must be known numbers"
            raise CountError(msg)

    def chunks(self, step: int = 1) -> Iterator[tuple[Any, npt.NDArray[np.bool_]]]:
        """Yield the design and the outcomes of every `step`-th game."""
        for start in range(0, len(self), CHUNK * step):
            games = slice(start, start + CHUNK * step, step)
            yield self._matrix(games), self.won[games]

    def _matrix(self, games: slice) -> Any:
        """Lay games out as a sparse matrix; fillers stand in a last column of their own."""
        from scipy.sparse import csr_matrix

        decks = self.decks[games].astype(np.int32)
        np.copyto(decks, self.columns, where=decks < 0)
        parts = [decks]
        values = [np.ones(decks.shape)]
        if self.group is not None:
            parts.append((self.group[games] + self.cards).astype(np.int32)[:, None])
            values.append(np.ones((len(decks), 1)))
        fixed = self.fixed[games]
        places = np.arange(self.columns - fixed.shape[1], self.columns, dtype=np.int32)
        parts.append(np.broadcast_to(places, fixed.shape))
        index, value = np.hstack(parts), np.hstack([*values, fixed])
        rows, width = index.shape
        starts = np.arange(rows + 1, dtype=np.int32) * np.int32(width)
        return csr_matrix((value.ravel(), index.ravel(), starts), (rows, self.columns + 1))


def _climb(design: _Design, penalty: Numbers) -> tuple[Numbers, int]:
    """Find the mode: Newton on a sample of the games, then quasi-Newton on all of them."""
    from scipy.linalg import cholesky, solve_triangular
    from scipy.optimize import minimize

    step = max(1, len(design) // SAMPLE)
    start = _sampled_mode(design, penalty, step)
    root = cholesky(_curvature(design, start, penalty, step), lower=True)

    def below(scaled: Numbers) -> tuple[float, Numbers]:
        effects = start + solve_triangular(root, scaled, lower=True, trans="T")
        height, slope = _height(design, effects, penalty, 1)
        return -height, -solve_triangular(root, slope, lower=True)

    found = minimize(
        below,
        np.zeros(len(start)),
        jac=True,
        method="L-BFGS-B",
        options={"gtol": TOLERANCE * len(design) ** 0.5, "ftol": 0, "maxfun": MOST_PASSES},
    )
    if found.nfev >= MOST_PASSES:
        msg = f"the fit of {len(design):,} games did not end within {MOST_PASSES} passes"
        raise FitError(msg)
    effects: Numbers = start + solve_triangular(root, found.x, lower=True, trans="T")
    return effects, int(found.nfev)


def _sampled_mode(design: _Design, penalty: Numbers, step: int) -> Numbers:
    effects = np.zeros(design.columns)
    for _ in range(3):
        _, slope = _height(design, effects, penalty, step)
        effects = effects + np.linalg.solve(_curvature(design, effects, penalty, step), slope)
    return effects


def _height(
    design: _Design, effects: Numbers, penalty: Numbers, step: int
) -> tuple[float, Numbers]:
    """Return the penalised log-likelihood and its slope; a sample counts for all games."""
    height, slope = 0.0, np.zeros(design.columns)
    padded = np.append(effects, 0.0)
    for matrix, won in design.chunks(step):
        odds = matrix @ padded
        height += float(np.sum(log_expit(np.where(won, odds, -odds))))
        slope += (matrix.T @ (won - expit(odds)))[:-1]
    return (
        step * height - 0.5 * float(np.sum(penalty * effects**2)),
        step * slope - penalty * effects,
    )


def _curvature(design: _Design, effects: Numbers, penalty: Numbers, step: int) -> Numbers:
    """Return minus the second derivatives, summed in single precision within a chunk."""
    curvature = np.diag(penalty)
    padded = np.append(effects, 0.0)
    for matrix, _ in design.chunks(step):
        chance = expit(matrix @ padded)
        dense = matrix.astype(np.float32).toarray()[:, :-1]
        dense *= np.sqrt(chance * (1 - chance))[:, None].astype(np.float32)
        curvature += step * (dense.T @ dense)
    return curvature
