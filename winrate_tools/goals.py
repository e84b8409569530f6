"""What a plan is to reach and to keep to: one frozen value of the owner's choices."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from winrate_tools.errors import SettingError
from winrate_tools.kinds import demand_kinds

Label = Literal["faction", "rarity", "role", "archetype"]
LABELS: tuple[Label, ...] = get_args(Label)
COUNT = re.compile(r"(?:\d{1,9})?")
"""A count of cards as people write it, or none."""
Kept = Literal["faction", "rarity", "role"]
KEPT: tuple[Kept, ...] = get_args(Kept)
"""Labels whose counts can be kept as they are."""

GOAL_MEANINGS: dict[str, str] = {
    "floor": "Worth of a point of win rate, on one copy of a card, below the line.",
    "strength": "Worth of a point on one copy above the line; small, so that among sound "
    "cards the stronger one comes first and no more.",
    "lift": (
        "Worth of a point that an underpowered archetype gains, up to the mean; and cost of a "
        "point that another would lie below the lower line."
    ),
    "restrain": (
        "Cost of a point that an overpowered archetype gains, or that another would lie above "
        "the upper line."
    ),
    "surplus": "Cost of each copy beyond those that a card's part in the pool asks for.",
    "change_cost": "Cost of swapping one copy, in the same points.",
    "price_cost": "Cost, in the same points, of each unit of money spent.",
    "changes": "The most copies that may come in, and the most that may go out.",
    "size": "Cards in the main part of the pool afterwards; as many as now if not given.",
    "keep": "Labels whose counts stay as they are: faction, rarity, role, or none.",
    "slack": "How many cards each of those counts may move by.",
    "quotas": "Further counts to keep to, such as: role guest 60-80; archetype Kites 40-.",
    "copies": "Copies that a card of each rarity may have, such as: common 3, rare 1; as "
    "many as now where not given.",
    "whole": (
        "Whether a card comes or goes with all its copies, or moves to the number that its "
        "part in the pool asks for: yes; or copy by copy: no."
    ),
    "budget": "Money for the cards that come in; no bound if not given.",
    "box_cards": "Cards that the box holds; no bound if not given.",
    "box_length": "Inner length of the box's rows together, in millimetres; goes with "
    "card_thickness.",
    "card_thickness": "Thickness of one card in its sleeve, in millimetres.",
    "dealt": "Share of the pool that one draft deals: it says how soon further copies of a "
    "strong card stop mattering.",
    "resolves": "How often the plan is made again, to see which choices survive.",
}
"""What each goal means, for help texts and documents; one entry a field of `Goals`."""


@dataclass(frozen=True, slots=True)
class Quota:
    """Bounds on how many cards of the pool carry a label, copies counted.

    Attributes
    ----------
    label : str
        ``"faction"``, ``"rarity"``, ``"role"`` or ``"archetype"``.
    name : str
        The label's value.
    low, high : int or None
        Bounds, at least one of them given, ``0 <= low <= high``.
    """

    label: Label
    name: str
    low: int | None = None
    high: int | None = None

    def __post_init__(self) -> None:
        demand_kinds(self, SettingError)
        _demand(self.label in LABELS, "a quota's label", " or ".join(LABELS), self.label)
        _demand(bool(self.name.strip()), "a quota", "for a named label", "a blank name")
        ends = [end for end in (self.low, self.high) if end is not None]
        fits = bool(ends) and min(ends) >= 0 and ends == sorted(ends)
        shown = "-".join("" if end is None else str(end) for end in (self.low, self.high))
        _demand(fits, f"{self.label} {self.name}", "LOW-HIGH, LOW- or -HIGH, from 0", shown)


@dataclass(frozen=True, slots=True)
class Goals:
    """Every choice behind a plan; worths are weights against each other.

    Attributes
    ----------
    floor, strength : float
        Worth of a percentage point on one copy, below and above the line, at least 0.
    lift, restrain : float
        Worth of a point that an underpowered archetype gains, up to the mean, and cost of one
        that an overpowered archetype gains, at least 0.
    surplus : float
        Cost of each copy beyond those that a card's part in the pool asks for, at least 0.
    change_cost, price_cost : float
        Costs of a copy swapped and of a unit of money, at least 0.
    changes : int or None
        The most copies that may come in, and that may go out, at least 0.
    size : int or None
        Cards in the main part of the pool afterwards, at least 1; None keeps the size.
    keep : tuple of str
        Labels whose counts stay as they are, of `KEPT`.
    slack : int
        How many cards each of those counts may move by, at least 0.
    quotas : tuple of Quota
        Further counts to keep to.
    copies : tuple of (str, int)
        Rarities and the most copies that a card of each may have, at least 1.
    whole : bool
        Whether a card comes or goes with all its copies, or copy by copy.
    budget : float or None
        Money for the cards that come in, at least 0.
    box_cards : int or None
        Cards that the box holds, at least 1.
    box_length, card_thickness : float or None
        In millimetres, above 0, both or none.
    dealt : float
        Share of the pool that one draft deals, above 0 and at most 1.
    resolves : int
        How often the plan is made again for single draws of what is believed, at least 1.

    Raises
    ------
    SettingError
        If a goal is of the wrong kind or out of its bounds.

    Examples
    --------
    >>> Goals(box_length=300, card_thickness=0.65).capacity
    461
    """

    floor: float = 1.0
    strength: float = 0.2
    lift: float = 10.0
    restrain: float = 10.0
    surplus: float = 0.5
    change_cost: float = 0.5
    price_cost: float = 0.05
    changes: int | None = 20
    size: int | None = None
    keep: tuple[Kept, ...] = ("faction", "rarity")
    slack: int = 0
    quotas: tuple[Quota, ...] = ()
    copies: tuple[tuple[str, int], ...] = ()
    whole: bool = True
    budget: float | None = None
    box_cards: int | None = None
    box_length: float | None = None
    card_thickness: float | None = None
    dealt: float = 0.75
    resolves: int = 60

    def __post_init__(self) -> None:
        demand_kinds(self, SettingError)
        for name in WEIGHTS:
            _demand(
                0 <= getattr(self, name) < float("inf"), name, "from 0", getattr(self, name)
            )
        for name, least in LEAST:
            value = getattr(self, name)
            _demand(value is None or value >= least, name, f"at least {least}", value)
        _demand(self.budget is None or self.budget >= 0, "budget", "from 0", self.budget)
        _demand(0 < self.dealt <= 1, "dealt", "above 0 and at most 1", self.dealt)
        for label in self.keep:
            _demand(label in KEPT, "keep", "of faction, rarity, role", repr(label))
        for rarity, most in self.copies:
            _demand(most >= 1, f"copies of {rarity}", "at least 1", most)
        self._demand_box()

    def _demand_box(self) -> None:
        lengths = {name: getattr(self, name) for name in ("box_length", "card_thickness")}
        for name, length in lengths.items():
            _demand(length is None or length > 0, name, "above 0 millimetres", length)
        given = [name for name, length in lengths.items() if length is not None]
        if len(given) == 1:
            other = next(name for name in lengths if name not in given)
            _demand(False, given[0], f"given together with {other}", "it alone")

    @property
    def capacity(self) -> int | None:
        """Cards that the box holds by the tighter of its two bounds, None without a box."""
        bounds = [] if self.box_cards is None else [self.box_cards]
        if self.box_length is not None and self.card_thickness is not None:
            bounds.append(int(self.box_length / self.card_thickness + 1e-9))
        return min(bounds, default=None)


LEAST = (("changes", 0), ("size", 1), ("box_cards", 1), ("slack", 0), ("resolves", 1))
WEIGHTS = ("floor", "strength", "lift", "restrain", "surplus", "change_cost", "price_cost")


def read_quotas(text: str) -> tuple[Quota, ...]:
    """Understand quotas as people write them, parted by semicolons.

    Parameters
    ----------
    text : str
        Each one a label, a name and bounds.

    Returns
    -------
    tuple of Quota

    Raises
    ------
    SettingError
        If one cannot be understood.

    Examples
    --------
    >>> read_quotas("role guest 60-80; archetype Honey & Thyme 40-")[1]
    Quota(label='archetype', name='Honey & Thyme', low=40, high=None)
    """
    return tuple(_quota(part.strip()) for part in text.split(";") if part.strip())


def _quota(text: str) -> Quota:
    words = text.split()
    low, dash, high = words[-1].partition("-")
    if len(words) < 3 or not dash or not all(COUNT.fullmatch(end) for end in (low, high)):
        _demand(False, "quotas", "such as 'role guest 60-80' or 'faction Cog 40-'", repr(text))
    ends = (int(end) if end else None for end in (low, high))
    return Quota(words[0].lower(), " ".join(words[1:-1]), *ends)  # type: ignore[arg-type]


def read_copies(text: str) -> tuple[tuple[str, int], ...]:
    """Understand the most copies by rarity, parted by commas.

    Examples
    --------
    >>> read_copies("common 3, very rare 1")
    (('common', 3), ('very rare', 1))
    """
    return tuple(_most(part.strip()) for part in text.split(",") if part.strip())


def _most(text: str) -> tuple[str, int]:
    rarity, _, number = text.rpartition(" ")
    if not rarity.strip() or not re.fullmatch(r"\d{1,9}", number):
        _demand(False, "copies", "such as 'common 3, rare 1'", repr(text))
    return rarity.strip(), int(number)


def read_kept(text: str) -> tuple[Kept, ...]:
    """Understand a list of labels, parted by commas; ``none`` keeps no counts.

    Examples
    --------
    >>> read_kept("faction, role"), read_kept("none")
    (('faction', 'role'), ())
    """
    names: Sequence[str] = [part.strip().lower() for part in text.split(",") if part.strip()]
    for name in [] if names == ["none"] else names:
        _demand(name in KEPT, "keep", "of faction, rarity, role, or none", repr(name))
    return tuple(label for label in KEPT if label in names)


def _demand(holds: bool, name: str, wanted: str, got: object) -> None:
    if not holds:
        msg = f"{name} must be {wanted}, got {got}"
        raise SettingError(msg)
