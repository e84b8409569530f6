"""The one rule by which rows are added up: counts are summed, other numbers are means."""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]
Codes = npt.NDArray[np.intp]

COUNTS = ("games", "wins", "unheld_games", "unheld_wins", "drafted", "played")
PAIRS = (("wins", "games"), ("unheld_wins", "unheld_games"), ("played", "drafted"))
PART_OF = {whole: part for part, whole in PAIRS}
EVEN = 1e-9
"""Weight of a row without games, so that two such rows count alike."""


def added_up(columns: Mapping[str, Numbers], code: Codes, groups: int) -> dict[str, Numbers]:
    """Add up the rows of each group.

    Counts are summed over the rows that know them, and games only over the rows that know
    their wins, if any does (likewise unheld games and drafted copies); other numbers are means
    weighted by games.

    Parameters
    ----------
    columns : mapping of str to ndarray of float, shape (rows,)
        Columns by name, games among them; NaN is unknown.
    code : ndarray of int, shape (rows,)
        The group of each row.
    groups : int
        Number of groups.

    Returns
    -------
    dict of str to ndarray of float, shape (groups,)
        NaN where no row of the group knows.

    Examples
    --------
    >>> columns = {"games": np.array([9.0, 1, 5]), "mean_pick": np.array([2.0, 4, np.nan])}
    >>> added = added_up(columns, np.array([0, 0, 1]), 2)
    >>> added["games"].tolist(), round(float(added["mean_pick"][0]), 6)
    ([10.0, 5.0], 2.2)
    """
    weight = np.nan_to_num(columns["games"]) + EVEN
    return {
        name: _sum(_beside_its_part(columns, name, code), code, groups)
        if name in COUNTS
        else _sum(weight * column, code, groups)
        / _sum(np.where(np.isnan(column), np.nan, weight), code, groups)
        for name, column in columns.items()
    }


def first_known(labels: Sequence[str | None], code: Codes, groups: int) -> list[str | None]:
    """Take the first known label of each group.

    Examples
    --------
    >>> first_known([None, "Cog", "Wick"], np.array([0, 0, 0]), 1)
    ['Cog']
    """
    first: list[str | None] = [None] * groups
    for group, label in zip(code, labels, strict=True):
        if first[group] is None:
            first[group] = label
    return first


def _sum(column: Numbers, code: Codes, groups: int) -> Numbers:
    """Sum over the known rows of each group; NaN where there is none."""
    known = ~np.isnan(column)
    total = np.bincount(code[known], column[known], groups)
    return np.where(np.bincount(code[known], minlength=groups) > 0, total, np.nan)


def _beside_its_part(columns: Mapping[str, Numbers], name: str, code: Codes) -> Numbers:
    """Return a column without the rows that would water down a rate: games of unknown wins."""
    column, part = columns[name], columns.get(PART_OF.get(name, name))
    if part is None:
        return column
    unknown = np.isnan(part)
    return np.where(unknown & np.isin(code, code[~unknown]), np.nan, column)
