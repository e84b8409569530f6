r"""How many games tell a weak card from a fine one, and what a number of games can show.

A card is called weak if so few of its games are won that a card exactly on the line would do as
badly less often than the caller minds: with how sure is sure enough :math:`s`, at most
:math:`1 - s` of the time. All chances are exact binomial ones. Games that resemble each other
count for less: n of them are worth :math:`n / \phi`, rounded down, with :math:`\phi` the design
effect.
"""

import numpy as np
import numpy.typing as npt
from scipy.special import bdtr, bdtri, ndtri

from winrate_tools.errors import CountError, LevelError, SettingError

Numbers = npt.NDArray[np.float64]
Counts = npt.NDArray[np.int64]
SURE, CHANCE = 0.9, 0.8
MOST_GAMES = 2**31 - 1
"""Independent games for which binomial chances can be worked out; more count as so many."""


def chance_to_tell(
    games: npt.ArrayLike,
    gap: npt.ArrayLike,
    line: float,
    *,
    sure: float = SURE,
    sides: int = 1,
    design_effect: float = 1.0,
) -> Numbers:
    """Chance that a card is told from one on the line.

    Parameters
    ----------
    games, gap : array_like of float
        Games, at least 0, and how far below the line the card truly is, from 0 to below `line`;
        they broadcast.
    line : float
        Win rate of a card on the line, known, strictly between 0 and 1.
    sure : float, optional
        How sure is sure enough, in (0, 1).
    sides : int, optional
        1 to look for weak cards only; 2 to look for weak and for strong ones, with half of the
        error on either side.
    design_effect : float, optional
        How many games count as one independent game, at least 1.

    Returns
    -------
    ndarray
        It saws: a game more can lower it by a little, since wins are whole.

    Raises
    ------
    CountError, LevelError, SettingError
        If games, a chance or another argument is out of its bounds.

    Examples
    --------
    >>> chance_to_tell([300, 3000], 0.03, 0.55).round(2).tolist()
    [0.39, 0.98]
    """
    n, below = _checked(games, gap, line, design_effect)
    n, below = np.broadcast_arrays(n, below)
    return _chance(n, below, line, _tail(sure, sides), sides)


def smallest_gap(
    games: npt.ArrayLike,
    line: float,
    *,
    sure: float = SURE,
    chance: float = CHANCE,
    sides: int = 1,
    design_effect: float = 1.0,
) -> Numbers:
    """How far below the line a card must be for so many games to tell.

    Parameters
    ----------
    games : array_like of float
        Games, at least 0.
    line : float
        Win rate of a card on the line, known, strictly between 0 and 1.
    sure, chance : float, optional
        How sure is sure enough, and the chance wanted of becoming so, in (0, 1).
    sides : int, optional
        As for `chance_to_tell`; the chance of taking the card for a strong one is not counted.
    design_effect : float, optional
        How many games count as one independent game, at least 1.

    Returns
    -------
    ndarray
        Fractions of games; NaN where not even a card that always loses would be told, below 0
        where a chance as small is had without any gap.

    Raises
    ------
    CountError, LevelError, SettingError
        If games, a chance or another argument is out of its bounds.

    Examples
    --------
    >>> smallest_gap([2, 300, 3000], 0.55).round(4).tolist()
    [nan, 0.0626, 0.0195]
    """
    n, _ = _checked(games, 0.0, line, design_effect)
    wins = _most_wins(n, line, _tail(sure, sides))
    rate = bdtri(np.maximum(wins, 0.0), np.maximum(n, 1), _between(chance, "chance"))
    return np.asarray(np.where(wins >= 0, line - rate, np.nan))


def games_to_tell(
    gap: npt.ArrayLike,
    line: float,
    *,
    sure: float = SURE,
    chance: float = CHANCE,
    sides: int = 1,
    design_effect: float = 1.0,
) -> Counts:
    """Fewest games from which on a card is told from one on the line with a chance.

    Parameters
    ----------
    gap : array_like of float
        How far below the line the card truly is, above 0 and below `line`.
    line : float
        Win rate of a card on the line, known, strictly between 0 and 1.
    sure, chance : float, optional
        How sure is sure enough, and the chance wanted of becoming so, in (0, 1).
    sides : int, optional
        As for `chance_to_tell`.
    design_effect : float, optional
        How many games count as one independent game, at least 1.

    Returns
    -------
    ndarray of int
        Games such that they and any larger number will do.

    Raises
    ------
    LevelError, SettingError
        If a chance or another argument is out of its bounds, or the gap is so small that it
        takes a thousand million games and more.

    Examples
    --------
    >>> games_to_tell([0.01, 0.05], 0.55).tolist()
    [11360, 480]
    """
    _, below = _checked(0.0, gap, line, design_effect)
    if not (below > 0).all():
        msg = f"gap must be above 0, got {below.min():g}"
        raise SettingError(msg)
    tail = _tail(sure, sides)
    _between(chance, "chance")
    needed = [_fewest(float(one), line, chance, tail, sides) for one in below.ravel()]
    games = np.ceil(np.array(needed).reshape(below.shape) * design_effect - 1e-9)
    return games.astype(np.int64)


def _fewest(gap: float, line: float, chance: float, tail: float, sides: int) -> int:
    """Look for the last number of games that falls short, around the normal answer."""
    rate = line - gap
    spreads = np.sqrt([rate * (1 - rate), line * (1 - line)])
    reach = ndtri(chance) * spreads[0] - ndtri(tail) * spreads[1]
    if gap < max(reach, 1.0) / (MOST_GAMES / 2) ** 0.5:
        msg = f"a gap of {gap:g} takes more games than can be counted; give a larger one"
        raise SettingError(msg)
    near, width = round((max(reach, 0.0) / gap) ** 2), round(6 / gap) + 30
    while True:
        games = np.arange(max(0, near - width), near + width)
        short = _chance(games, np.full(len(games), gap), line, tail, sides) < chance
        last = int(games[short].max(initial=-1))
        if 0 <= last < near + width // 2:
            return last + 1
        width *= 2


def _chance(games: Counts, gap: Numbers, line: float, tail: float, sides: int) -> Numbers:
    found = _at_most(_most_wins(games, line, tail), games, line - gap)
    if sides == 2:
        losses = _most_wins(games, 1 - line, tail)
        found = found + _at_most(losses, games, 1 - line + gap)
    return found


def _most_wins(games: Counts, rate: float, tail: float) -> Numbers:
    """Most wins that come with a chance of at most `tail` or lower; -1 where none do."""
    guess = games * rate + ndtri(tail) * np.sqrt(games * rate * (1 - rate))
    wins: Numbers = np.clip(np.floor(guess), -1, games)
    while (low := (wins < games) & (_at_most(wins + 1, games, rate) <= tail)).any():
        wins = wins + low
    while (high := (wins >= 0) & (_at_most(wins, games, rate) > tail)).any():
        wins = wins - high
    return wins


def _at_most(wins: Numbers, games: Counts, rate: npt.ArrayLike) -> Numbers:
    """Chance of at most so many wins, which may be none at all or more than the games."""
    known = bdtr(np.clip(wins, 0, games), games, rate)
    return np.asarray(np.where(wins < 0, 0.0, known))


def _checked(
    games: npt.ArrayLike, gap: npt.ArrayLike, line: float, design_effect: float
) -> tuple[Counts, Numbers]:
    """Return independent games and gaps, or refuse them."""
    n, below = np.asarray(games, dtype=np.float64), np.asarray(gap, dtype=np.float64)
    _between(line, "line")
    if not 1 <= design_effect < np.inf:
        msg = f"design effect must be at least 1, got {design_effect}"
        raise SettingError(msg)
    if (bad := ~((n >= 0) & np.isfinite(n))).any():
        msg = f"games must be a finite number from 0, got {n[bad][0]:g}"
        raise CountError(msg)
    if (bad := ~((below >= 0) & (below < line))).any():
        msg = f"gap must lie from 0 to below the line ({line:g}), got {below[bad][0]:g}"
        raise SettingError(msg)
    independent = np.minimum(np.floor(n / design_effect + 1e-9), MOST_GAMES)
    return independent.astype(np.int64), below


def _tail(sure: float, sides: int) -> float:
    """Return the chance of error on each side looked at."""
    if sides not in {1, 2}:
        msg = f"sides must be 1 or 2, got {sides}"
        raise SettingError(msg)
    return (1 - _between(sure, "sure")) / sides


def _between(chance: float, name: str) -> float:
    if not 0 < chance < 1:
        msg = f"{name} must lie strictly between 0 and 1, got {chance}"
        raise LevelError(msg)
    return chance
