"""Whose games an estimate is for: the sample's, a skill band's, a mix, or an even table's."""

from typing import NamedTuple

from scipy.special import expit, logit

from winrate_tools.errors import SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.crossed.sample import Sample


class Target(NamedTuple):
    """The players that effects and win rates are for.

    Attributes
    ----------
    name : str
        As the user has it.
    level : float
        Their level of skill: log-odds above the sample's.
    mean : float
        Win rate of an average card in their hands.
    baseline : float
        Win rate that the line is drawn from.
    """

    name: str
    level: float
    mean: float
    baseline: float


def target(sample: Sample, settings: Settings) -> Target:
    """Find the players that a user asks for.

    Parameters
    ----------
    sample : Sample
        The counts, with their skill bands.
    settings : Settings
        Its `target` is ``"sample"``, ``"even"`` (players who win half their games), a skill
        band, or a mix of bands such as ``"new:3, expert:1"``; a baseline given as a number
        draws the line wherever the target stands.

    Returns
    -------
    Target

    Raises
    ------
    SettingError
        If a band is unknown or a share is not above 0.
    """
    level, mean = sample.level, sample.level.sample_mean
    if settings.target == "sample":
        return Target("sample", 0.0, mean, level.rate)
    wanted = 0.5 if settings.target == "even" else _mixed(sample, settings.target)
    given = not isinstance(settings.baseline, str)
    away = float(logit(wanted) - logit(mean))
    return Target(settings.target, away, wanted, level.rate if given else wanted)


def _mixed(sample: Sample, mix: str) -> float:
    """Win rate of an average card in the hands of a mix of bands."""
    shares = [
        _share(sample, part) for part in ([mix] if mix in sample.bands else mix.split(","))
    ]
    total = sum(share for share, _ in shares)
    return sum(share * rate for share, rate in shares) / total


def _share(sample: Sample, part: str) -> tuple[float, float]:
    name, colon, text = part.rpartition(":")
    name = (name if colon and part.strip() not in sample.bands else part).strip()
    if name not in sample.bands:
        known = ", ".join(sample.bands) or "none"
        msg = f"target must be sample, even or skill bands of the table ({known}), got {name!r}"
        raise SettingError(msg)
    try:
        share = float(text) if colon and part.strip() not in sample.bands else 1.0
    except ValueError:
        share = 0.0
    if not 0 < share < float("inf"):
        msg = f"the share of {name!r} in the target must be above 0, got {text!r}"
        raise SettingError(msg)
    return share, float(expit(logit(sample.level.sample_mean) + sample.bands[name]))
