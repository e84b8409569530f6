r"""Sample sizes by the normal approximation: for planning, and to compare two groups of games.

Against a known line `winrate_tools.stats.planning.power` is exact. Here are the textbook forms:
Cohen's effect size :math:`h = 2\arcsin\sqrt{p_1} - 2\arcsin\sqrt{p_2}`, for which a game is
worth the same everywhere, and the comparison of two win rates with their own variances.
"""

from math import asin, inf, sqrt

from scipy.special import ndtr, ndtri

from winrate_tools.errors import CountError, LevelError, SettingError


def effect_size(first: float, second: float) -> float:
    """Distance of two win rates on the scale of Cohen's h.

    Parameters
    ----------
    first, second : float
        Rates from 0 to 1.

    Returns
    -------
    float
        Above 0 where the first is higher; two points at a rate of a half are 0.04.

    Raises
    ------
    LevelError
        If a rate lies outside [0, 1].

    References
    ----------
    Cohen, J. (1988). *Statistical Power Analysis for the Behavioral Sciences*, 2nd edition,
    chapter 6.

    Examples
    --------
    >>> round(effect_size(0.5, 0.4), 4)
    0.2014
    """
    _demand_rate(first)
    _demand_rate(second)
    return 2 * asin(sqrt(first)) - 2 * asin(sqrt(second))


def chance_by_effect(
    games: float, effect: float, *, others: float = inf, sure: float = 0.95, sides: int = 2
) -> float:
    """Chance that an effect is told from none.

    Parameters
    ----------
    games : float
        Games of the one group, above 0.
    effect : float
        Cohen's h; for one side the direction looked for is above 0.
    others : float, optional
        Games of the other group; without limit by default: a known rate.
    sure : float, optional
        How sure is sure enough, in (0, 1).
    sides : int, optional
        Whether one direction counts or both.

    Returns
    -------
    float

    Raises
    ------
    CountError, LevelError, SettingError
        If an argument is out of its bounds.

    References
    ----------
    Cohen, J. (1988), sections 6.3 and 6.5.

    Examples
    --------
    >>> round(chance_by_effect(80, 0.3, others=80, sides=1), 4)
    0.5997
    """
    z = _quantile(sure, sides)
    if not (games > 0 and others > 0):
        msg = f"games must be above 0, got {games} and {others}"
        raise CountError(msg)
    reach = effect / sqrt(1 / games + 1 / others)
    wrong_way = ndtr(-reach - z) if sides == 2 else 0.0
    return float(ndtr(reach - z) + wrong_way)


def games_by_effect(
    effect: float, *, groups: int = 1, sure: float = 0.95, chance: float = 0.8, sides: int = 2
) -> float:
    """Games at which an effect is told from none with a chance.

    Parameters
    ----------
    effect : float
        Cohen's h, not 0.
    groups : int, optional
        1 against a known rate, 2 for two groups of as many games each.
    sure, chance : float, optional
        How sure is sure enough, and the chance wanted of becoming so, in (0, 1).
    sides : int, optional
        Whether one direction counts or both.

    Returns
    -------
    float
        Games of each group, not rounded. The chance to be sure of the wrong direction is left
        out: below 0.001 once `chance` is above a half.

    Raises
    ------
    LevelError, SettingError
        If an argument is out of its bounds.

    References
    ----------
    Cohen, J. (1988), section 6.4.

    Examples
    --------
    >>> round(games_by_effect(0.2, groups=2), 1)
    392.4
    """
    if not 0 < abs(effect) < inf or groups not in {1, 2}:
        msg = f"effect must not be 0 and groups 1 or 2, got {effect} and {groups}"
        raise SettingError(msg)
    z = max(_quantile(sure, sides) + _quantile(chance, 1), 0.0)
    return float(groups * (z / effect) ** 2)


def chance_to_tell_apart(
    games: float, first: float, second: float, *, sure: float = 0.95, sides: int = 2
) -> float:
    """Chance that two groups of as many games each are told apart.

    Parameters
    ----------
    games : float
        Games of each group, above 0.
    first, second : float
        Their true win rates, from 0 to 1, one of them strictly between.
    sure : float, optional
        How sure is sure enough, in (0, 1).
    sides : int, optional
        Whether one direction counts or both; the wrong one is never counted.

    Returns
    -------
    float

    Raises
    ------
    CountError, LevelError, SettingError
        If an argument is out of its bounds.

    References
    ----------
    Fleiss, J. L. (1981). *Statistical Methods for Rates and Proportions*, 2nd edition,
    section 3.2, without its correction for continuity (from memory).

    Examples
    --------
    >>> round(chance_to_tell_apart(50, 0.5, 0.75), 3)
    0.74
    """
    if not games > 0:
        msg = f"games must be above 0, got {games}"
        raise CountError(msg)
    alike, apart = _spreads(first, second)
    reach = sqrt(games) * abs(first - second) - _quantile(sure, sides) * alike
    return float(ndtr(reach / apart))


def games_to_tell_apart(
    first: float, second: float, *, sure: float = 0.95, chance: float = 0.8, sides: int = 2
) -> float:
    """Games of each of two groups at which they are told apart with a chance.

    Parameters
    ----------
    first, second : float
        Their true win rates, from 0 to 1, one of them strictly between, not the same.
    sure, chance : float, optional
        How sure is sure enough, and the chance wanted of becoming so, in (0, 1).
    sides : int, optional
        Whether one direction counts or both.

    Returns
    -------
    float
        Games of each group, not rounded.

    Raises
    ------
    LevelError, SettingError
        If an argument is out of its bounds.

    References
    ----------
    As for `chance_to_tell_apart`.

    Examples
    --------
    >>> round(games_to_tell_apart(0.5, 0.75, chance=0.9), 1)
    76.7
    """
    if first == second:
        msg = f"win rates to tell apart must differ, got {first} twice"
        raise SettingError(msg)
    alike, apart = _spreads(first, second)
    reach = _quantile(sure, sides) * alike + _quantile(chance, 1) * apart
    return float((max(reach, 0.0) / (first - second)) ** 2)


def games_for_range(half_width: float, *, rate: float = 0.5, level: float = 0.95) -> float:
    """Games after which a win rate is known to so much either way.

    Parameters
    ----------
    half_width : float
        Half of the range, above 0.
    rate : float, optional
        The win rate; a half needs the most games.
    level : float, optional
        How often the range holds the true rate, in (0, 1).

    Returns
    -------
    float
        Not rounded.

    Raises
    ------
    LevelError, SettingError
        If an argument is out of its bounds.

    References
    ----------
    Cochran, W. G. (1977). *Sampling Techniques*, 3rd edition, section 4.4 (from memory).

    Examples
    --------
    >>> round(games_for_range(0.03))
    1067
    """
    if not half_width > 0:
        msg = f"half width must be above 0, got {half_width}"
        raise SettingError(msg)
    _demand_rate(rate)
    return float(rate * (1 - rate) * (_quantile(level, 2) / half_width) ** 2)


def _quantile(chance: float, sides: int) -> float:
    """Return what a standard normal exceeds, on the sides looked at, as seldom as wanted."""
    if not 0 < chance < 1:
        msg = f"a chance must lie strictly between 0 and 1, got {chance}"
        raise LevelError(msg)
    if sides not in {1, 2}:
        msg = f"sides must be 1 or 2, got {sides}"
        raise SettingError(msg)
    return float(-ndtri((1 - chance) / sides))


def _spreads(first: float, second: float) -> tuple[float, float]:
    """Return one game's standard deviation of the difference, if rates are alike and if not."""
    _demand_rate(first)
    _demand_rate(second)
    mean = (first + second) / 2
    apart = first * (1 - first) + second * (1 - second)
    if apart == 0:
        msg = f"one of the rates must lie strictly between 0 and 1, got {first} and {second}"
        raise LevelError(msg)
    return sqrt(2 * mean * (1 - mean)), sqrt(apart)


def _demand_rate(rate: float) -> None:
    if not 0 <= rate <= 1:
        msg = f"rates must lie from 0 to 1, got {rate}"
        raise LevelError(msg)
