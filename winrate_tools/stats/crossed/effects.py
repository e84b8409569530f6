"""Posterior means, variances and covariances of crossed effects, at one fit or over several."""

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from winrate_tools.stats.crossed.arrow import by_card, by_group
from winrate_tools.stats.crossed.laplace import Look

Numbers = npt.NDArray[np.float64]
PRODUCTS = {
    "fixed_covariance": ("fixed", "fixed"),
    "group_covariance": ("group_effect", "group_effect"),
    "card_group_covariance": ("card_effect", "group_effect"),
    "card_fixed_covariance": ("card_effect", "fixed"),
    "group_fixed_covariance": ("group_effect", "fixed"),
}
SQUARES = {"card_variance": "card_effect", "cell_variance": "cell_effect"}
MEANS = ("fixed", "card_effect", "group_effect", "cell_effect")


class Effects(NamedTuple):
    """Coefficients and effects of n cards and K groups, as `CrossedFit` explains them."""

    fixed: Numbers
    fixed_covariance: Numbers
    card_effect: Numbers
    card_variance: Numbers
    group_effect: Numbers
    group_covariance: Numbers
    cell_effect: Numbers
    cell_variance: Numbers
    card_group_covariance: Numbers
    card_fixed_covariance: Numbers
    group_fixed_covariance: Numbers


def effects_at(look: Look, levels: int) -> Effects:
    """Read effects off a look from their mode.

    Parameters
    ----------
    look : Look
        From the mode, with coefficients at their best.
    levels : int
        Number of groups, 0 if the look's only one stands for none.

    Returns
    -------
    Effects
        Means and (co)variances given the spreads.
    """
    arrow, (card, group, cell) = look.arrow, look.point.variances
    covariance = np.asarray(np.linalg.inv(look.fixed_information), dtype=np.float64)
    cards = card * by_card(look.fixed_duals).T
    groups = group * by_group(look.fixed_duals).T
    own = cell * np.moveaxis(look.fixed_duals, 0, -1)
    inner = cell * arrow.kept + (cell * arrow.thinned) ** 2 * arrow.pair_variance
    effects = Effects(
        fixed=look.point.fixed,
        fixed_covariance=covariance,
        card_effect=card * by_card(look.dual),
        card_variance=arrow.card_variance + by_card((cards @ covariance) * cards),
        group_effect=group * by_group(look.dual),
        group_covariance=arrow.group_covariance + groups @ covariance @ groups.T,
        cell_effect=cell * look.dual,
        cell_variance=inner + ((own @ covariance) * own).sum(-1),
        card_group_covariance=arrow.card_group_covariance + cards @ covariance @ groups.T,
        card_fixed_covariance=-cards @ covariance,
        group_fixed_covariance=-groups @ covariance,
    )
    return effects if levels else _without_groups(effects)


def _without_groups(effects: Effects) -> Effects:
    """Take out the one group that stands for none."""
    return effects._replace(
        group_effect=effects.group_effect[:0],
        group_covariance=effects.group_covariance[:0, :0],
        cell_effect=effects.cell_effect[:, :0],
        cell_variance=effects.cell_variance[:, :0],
        card_group_covariance=effects.card_group_covariance[:, :0],
        group_fixed_covariance=effects.group_fixed_covariance[:0],
    )


def averaged(parts: list[Effects], weights: Numbers) -> Effects:
    """Mix posteriors: means of the means, and variances within plus between.

    Parameters
    ----------
    parts : list of Effects
        One for each set of spreads.
    weights : ndarray
        Their weights, which sum to 1.

    Returns
    -------
    Effects
        Of the mixture.
    """
    if len(parts) == 1:
        return parts[0]

    def mean(name: str) -> Numbers:
        rows = zip(weights, parts, strict=True)
        return sum((w * getattr(part, name) for w, part in rows), np.zeros(()))

    means = {name: mean(name) for name in MEANS}
    mixed = {name: mean(name) for name in (*PRODUCTS, *SQUARES)}
    for weight, part in zip(weights, parts, strict=True):
        off = {name: getattr(part, name) - means[name] for name in MEANS}
        for name, (first, second) in PRODUCTS.items():
            mixed[name] = mixed[name] + weight * np.outer(off[first], off[second])
        for name, effect in SQUARES.items():
            mixed[name] = mixed[name] + weight * off[effect] ** 2
    return Effects(**means, **mixed)
