"""Games with the cards of their decks, gone through a chunk at a time, in bounded memory."""

from collections.abc import Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import CountError

Numbers = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
CHUNK = 4096
"""Games worked at once: few enough that they stay in the processor's cache."""


class DeckGames:
    """The games of a fit, checked.

    Their columns are the cards, the groups, the slopes by group, the intercept and the further
    columns.

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
        Archetypes, or whatever else the games fall into, from 0.
    slope : array_like of float, shape (games,), optional
        A number whose slope is each group's own.
    fixed : array_like of float, shape (games, further columns), optional
        Further columns.

    Attributes
    ----------
    parts : tuple of int
        How many columns cards, groups, slopes, and intercept and further columns take.
    columns : int
        How many there are together.

    Raises
    ------
    CountError
        If shapes or codes do not fit together, or there is no game.

    Examples
    --------
    >>> games = DeckGames([True, False], [[0, 1], [2, -1]], 3)
    >>> games.parts, len(games)
    ((3, 0, 0, 1), 2)
    >>> height, slope = games.height(np.zeros(4))
    >>> round(height, 3), slope.tolist()
    (-1.386, [0.5, 0.5, -0.5, 0.0])
    """

    def __init__(
        self,
        won: npt.ArrayLike,
        decks: npt.ArrayLike,
        cards: int,
        group: npt.ArrayLike | None = None,
        slope: npt.ArrayLike | None = None,
        fixed: npt.ArrayLike | None = None,
    ) -> None:
        self.won, self.decks = np.asarray(won, dtype=bool), np.asarray(decks)
        self.group = None if group is None else np.asarray(group)
        self.slope = None if slope is None else np.asarray(slope, dtype=np.float64)
        none = np.empty((len(self.won), 0))
        self.fixed = none if fixed is None else np.asarray(fixed, dtype=np.float64)
        self._demand_rows()
        demand_codes("decks", self.decks, -1, cards - 1)
        if self.group is not None:
            demand_codes("group", self.group, 0, len(self))
        groups = 0 if self.group is None else int(self.group.max()) + 1
        slopes = 0 if self.slope is None else groups
        self.parts = (cards, groups, slopes, 1 + self.fixed.shape[1])
        self.columns = sum(self.parts)

    def __len__(self) -> int:
        """Return the number of games."""
        return len(self.won)

    def _demand_rows(self) -> None:
        games = len(self)
        if not games:
            msg = "at least one game is needed, got none"
            raise CountError(msg)
        shapes = [self.decks.shape[:1], self.fixed.shape[:1]]
        shapes += [one.shape for one in (self.group, self.slope) if one is not None]
        if self.decks.ndim != 2 or self.fixed.ndim != 2 or set(shapes) != {(games,)}:
            msg = f"every column must have a row for each of the {games:,} games"
            raise CountError(msg)
        if self.slope is not None and self.group is None:
            msg = "slopes by group need groups"
            raise CountError(msg)
        numbers = [self.fixed] if self.slope is None else [self.fixed, self.slope]
        if not all(np.isfinite(one).all() for one in numbers):
            msg = "slopes and fixed columns must be known numbers"
            raise CountError(msg)

    def height(self, effects: Numbers, step: int = 1) -> tuple[float, Numbers]:
        """Log-likelihood and its slope; every `step`-th game stands for all."""
        height, slope = 0.0, np.zeros(self.columns + 1)
        padded = np.append(0.0, effects)
        for matrix, won in self._chunks(step):
            odds = matrix @ padded
            height += float(odds[won].sum() - np.maximum(odds, 0).sum())
            height -= float(np.log(1 + np.exp(-np.abs(odds))).sum())
            slope += matrix.T @ (won - _chance(odds))
        return step * height, step * slope[1:]

    def curvature(self, effects: Numbers, step: int = 1) -> Numbers:
        """Minus the second derivatives, summed in single precision within a chunk."""
        curvature = np.zeros((self.columns + 1, self.columns + 1))
        padded = np.append(0.0, effects)
        room = np.empty((CHUNK, self.columns + 1), dtype=np.float32)
        for matrix, _ in self._chunks(step):
            chance = _chance(matrix @ padded)
            dense = matrix.astype(np.float32).toarray(out=room[: matrix.shape[0]])
            dense *= np.sqrt(chance * (1 - chance))[:, None].astype(np.float32)
            curvature += dense.T @ dense
        return step * curvature[1:, 1:]

    def _chunks(self, step: int) -> Iterator[tuple[Any, Flags]]:
        """Yield design and outcomes; each chunk is laid out where the last one stood."""
        matrix: Any = None
        for start in range(0, len(self), CHUNK * step):
            games = slice(start, start + CHUNK * step, step)
            won = self.won[games]
            if matrix is None or matrix.shape[0] != len(won):
                matrix = self._room(len(won))
            self._lay_out(games, matrix)
            yield matrix, won

    def _room(self, rows: int) -> Any:
        """Make a sparse matrix whose rows are of one length, the intercept in its place.

        Its first column takes what fills decks up, so that codes begin at 1.
        """
        from scipy.sparse import csr_matrix

        grouped = (self.group is not None) + (self.slope is not None)
        width, rest = self.decks.shape[1] + grouped + self.parts[-1], self.parts[-1]
        index = np.zeros((rows, width), dtype=np.int32)
        index[:, -rest:] = np.arange(self.columns - rest, self.columns) + 1
        ends = np.arange(rows + 1, dtype=np.int32) * np.int32(width)
        shape = (rows, self.columns + 1)
        return csr_matrix((np.ones(rows * width), index.ravel(), ends), shape)

    def _lay_out(self, games: slice, matrix: Any) -> None:
        """Write games into a matrix."""
        index = matrix.indices.reshape(matrix.shape[0], -1)
        value = matrix.data.reshape(index.shape)
        cards, groups, *_ = self.parts
        copies = self.decks.shape[1]
        index[:, :copies] = self.decks[games]
        index[:, :copies] += 1
        if self.group is not None:
            index[:, copies] = self.group[games]
            index[:, copies] += cards + 1
        if self.slope is not None:
            index[:, copies + 1] = index[:, copies] + groups
            value[:, copies + 1] = self.slope[games]
        if self.fixed.size:
            value[:, -self.fixed.shape[1] :] = self.fixed[games]


def _chance(odds: Numbers) -> Numbers:
    """Win probabilities; the hyperbolic tangent is quicker than the logistic function."""
    return np.asarray(0.5 + 0.5 * np.tanh(0.5 * odds))


def demand_codes(name: str, codes: npt.NDArray[Any], least: int, most: int) -> None:
    """Refuse codes out of their bounds.

    Parameters
    ----------
    name : str
        What they are, for the message.
    codes : ndarray of int
        The codes.
    least, most : int
        Their bounds.

    Raises
    ------
    CountError
        If there is one below or above.
    """
    if codes.size and not least <= codes.min() <= codes.max() <= most:
        msg = f"{name} must hold codes from {least} to {most}"
        raise CountError(msg)
