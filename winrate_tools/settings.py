"""One frozen value that holds every choice a user can make about the statistics."""

from dataclasses import dataclass
from typing import Literal, get_args

from winrate_tools.errors import SettingError
from winrate_tools.kinds import demand_kinds

Measure = Literal["held", "opening", "deck"]
MEASURES: tuple[Measure, ...] = get_args(Measure)

DEFAULT_MARGIN: dict[Measure, float] = {"held": 0.02, "opening": 0.02, "deck": 0.01}
"""A card is seen in fewer than half of its deck's games, so its mark there is half as deep."""

MEANINGS: dict[str, str] = {
    "baseline": "Win rate of an average card: a rate, sample (the table's own mean) or "
    "player_rate (the usual win rate of the players behind each row).",
    "margin": "How far below the baseline still counts as fine, in percentage points.",
    "sure": "How sure is sure enough for a verdict.",
    "measure": "Which games count: held (the card was in hand at some time), opening (in the "
    "opening hand) or deck (in the deck).",
    "target": "Whose games the estimates are for: sample, even (players who win half their "
    "games), a skill band, or a mix such as new:3, expert:1.",
    "bands": "Skill bands from the weakest to the strongest, parted by commas; win rate, "
    "their own order by what they win.",
    "allowance": "Share of the spread between cards' records that is the cards' own; 1 takes "
    "records at face value.",
    "design_effect": "How many games count as one independent game, since games with one deck "
    "resemble each other.",
    "shortlist": "How many cards the list of the weakest holds.",
    "seed": "Seed of every draw.",
}
"""What each setting means, for help texts and reports; one entry a field of `Settings`."""


@dataclass(frozen=True, slots=True)
class Settings:
    """Every choice behind a ranking.

    Attributes
    ----------
    baseline : float or str
        Win rate of an average card, strictly between 0 and 1; ``"sample"`` takes the
        sample's own mean, ``"player_rate"`` each row's column of that name.
    margin : float or None
        How far below the baseline still counts as fine, a fraction in [0, 0.5); None takes
        the measure's default, `DEFAULT_MARGIN`.
    sure : float
        How sure is sure enough, in (0.5, 1).
    measure : str
        Which games count: ``"held"``, ``"opening"`` or ``"deck"``.
    target : str
        Whose games the estimates are for: ``"sample"``, ``"even"``, a skill band of the
        table, or a mix of bands such as ``"new:3, expert:1"``.
    bands : str
        Skill bands from the weakest to the strongest, parted by commas; ``"win rate"`` orders
        them by what they win.
    allowance : float or None
        Share of the spread between cards' records that is the cards' own, in (0, 1];
        1 takes records at face value, None takes the default of the measure.
    design_effect : float or None
        Variance of a count against that of independent games, at least 1; None takes the
        default for games that come in runs with one deck.
    shortlist : int
        How many cards the list of the weakest holds, at least 1.
    seed : int
        Seed of every draw, at least 0.

    Raises
    ------
    SettingError
        If a setting is of the wrong kind or out of its bounds.

    Examples
    --------
    >>> Settings(sure=0.8).margin_used
    0.02
    """

    baseline: float | Literal["sample", "player_rate"] = "sample"
    margin: float | None = None
    sure: float = 0.9
    measure: Measure = "held"
    target: str = "sample"
    bands: str = "win rate"
    allowance: float | None = None
    design_effect: float | None = None
    shortlist: int = 20
    seed: int = 1

    def __post_init__(self) -> None:
        demand_kinds(self, SettingError)
        level, margin = self.baseline, self.margin
        share, effect = self.allowance, self.design_effect
        if isinstance(level, str):
            wanted = "sample, player_rate or a rate between 0 and 1"
            _demand(level in {"sample", "player_rate"}, "baseline", wanted, level)
        else:
            _demand(0 < level < 1, "baseline", "between 0 and 1", level)
        in_bounds = margin is None or 0 <= margin < 0.5
        _demand(in_bounds, "margin", "from 0 to below 0.5 (0.02 is 2 points)", margin)
        _demand(0.5 < self.sure < 1, "sure", "above 0.5 and below 1", self.sure)
        _demand(self.measure in MEASURES, "measure", " or ".join(MEASURES), self.measure)
        _demand(bool(self.target.strip()), "target", "a name", repr(self.target))
        _demand(bool(self.bands.strip()), "bands", "names", repr(self.bands))
        is_share = share is None or 0 < share <= 1
        _demand(is_share, "allowance", "above 0 and at most 1", share)
        _demand(effect is None or effect >= 1, "design_effect", "at least 1", effect)
        _demand(self.shortlist >= 1, "shortlist", "at least 1", self.shortlist)
        _demand(self.seed >= 0, "seed", "at least 0", self.seed)

    @property
    def margin_used(self) -> float:
        """The margin given, else the measure's default."""
        return DEFAULT_MARGIN[self.measure] if self.margin is None else self.margin


def _demand(holds: bool, name: str, wanted: str, got: object) -> None:
    if not holds:
        msg = f"{name} must be {wanted}, got {got}"
        raise SettingError(msg)
