"""What a plan says, as plain values: moves with reasons, swaps, costs and forecasts."""

from dataclasses import dataclass, field
from typing import Literal

from winrate_tools.decide.plan.forecast import Outcome
from winrate_tools.pools import PoolCard, PoolTable

Why = Literal[
    "weak",
    "trap",
    "newcomer trap",
    "unplayed",
    "narrow",
    "likely weak",
    "strong",
    "marginal",
    "essential",
    "restrains",
    "drags",
    "room",
    "sound",
    "lifts",
    "fits",
    "forced",
]


WhyStaying = Literal["no better", "better in", "restrains"]


@dataclass(frozen=True, slots=True)
class Move:
    """What a plan does to one card.

    Attributes
    ----------
    card : PoolCard
        Name and labels.
    before, after : int
        Copies in the pool, different from each other.
    estimate, low, high : float
        Best estimate of the win rate that it brings, and the range that agrees with the
        verdicts.
    chance_below : float
        Probability that its true value lies below the line.
    stays : float
        Share of re-solves, each for one state of things that the games leave possible, in
        which the card moves at least as far.
    reasons : tuple of str
        Why, the telling one first.
    archetype : str or None
        The one that a reason speaks of.
    cost : float or None
        Money for the copies that come in, None if the price is unknown.
    """

    card: PoolCard
    before: int
    after: int
    estimate: float
    low: float
    high: float
    chance_below: float
    stays: float
    reasons: tuple[Why, ...]
    archetype: str | None
    cost: float | None

    @property
    def change(self) -> int:
        """Copies that come in, below 0 for those that go out."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class Swap:
    """Copies of one card in place of another's.

    Attributes
    ----------
    out, into : str
        The card that goes and the one that comes.
    copies : int
        How many.
    chance_stronger : float
        Probability that the one that comes is the stronger of the two.
    shared : tuple of str
        Labels that both carry: of ``"faction"``, ``"role"``, ``"rarity"``, ``"slot"``.
    unlike : tuple of str
        Labels known of both that are not the same.
    """

    out: str
    into: str
    copies: int
    chance_stronger: float
    shared: tuple[str, ...]
    unlike: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Floor:
    """Weak cards that one draft deals, copies counted.

    Attributes
    ----------
    dealt : int
        Cards dealt.
    before, before_low, before_high, after, after_low, after_high : float
        Expected number of weak ones among them, with the range that agrees with the verdicts.
    """

    dealt: int
    before: float
    before_low: float
    before_high: float
    after: float
    after_low: float
    after_high: float


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit that holds the plan back.

    Attributes
    ----------
    name : str
        What is limited.
    amount, bound : float
        How much there is of it, and the bound that it has reached.
    """

    name: str
    amount: float
    bound: float


@dataclass(frozen=True, slots=True)
class Staying:
    """A card called cut of which no copy goes.

    Attributes
    ----------
    card : str
        Name.
    is_protected : bool
        Whether its owner keeps it, whatever it does.
    why : str or None
        ``"no better"`` if no candidate for its place has a higher estimate, ``"better in"`` if
        all that have are in the new pool; ``"restrains"`` if it holds back an overpowered
        archetype; None for a protected card, and if no single reason is known.
    archetype : str or None
        The one that it restrains.
    """

    card: str
    is_protected: bool
    why: WhyStaying | None = None
    archetype: str | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """A new pool, and everything said of how it differs.

    Attributes
    ----------
    moves : tuple of Move
        Cards that go out or lose copies first, the weakest first; then the others, the
        strongest first. Empty if nothing is worth changing.
    swaps : tuple of Swap
        The moves, matched by what the cards have in common.
    outcomes : tuple of Outcome
        Forecasts of archetypes, the weakest first; empty without archetypes.
    floor : Floor
        Weak cards dealt before and after.
    cost : float
        Money for what comes in, as far as prices are known.
    bounds : tuple of Bound
        Limits that the plan has reached, but for those that merely keep a count.
    kept : tuple of str
        Labels whose counts stay as they are, of those that cards carry.
    resolves : int
        Number of re-solves.
    line, sure : float
        Win rate below which a card is weak, and how sure is sure enough.
    unknown, in_pool, elsewhere : tuple of str
        Cards of the pool without games, which stay; candidates in the pool already; cards of
        the table of games that are not in the pool.
    pool : PoolTable
        The new pool.
    staying : tuple of Staying
        Cards called cut of which no copy goes, the weakest first.
    unlabelled : tuple of str
        Labels whose counts were to stay and that no card of the pool carries.
    is_whole : bool
        Whether cards come and go with all their copies.
    """

    moves: tuple[Move, ...]
    swaps: tuple[Swap, ...]
    outcomes: tuple[Outcome, ...]
    floor: Floor
    cost: float
    bounds: tuple[Bound, ...]
    kept: tuple[str, ...]
    resolves: int
    line: float
    sure: float
    unknown: tuple[str, ...]
    in_pool: tuple[str, ...]
    elsewhere: tuple[str, ...]
    pool: PoolTable = field(compare=False, repr=False)
    staying: tuple[Staying, ...] = ()
    unlabelled: tuple[str, ...] = ()
    is_whole: bool = True

    @property
    def gone(self) -> tuple[Move, ...]:
        """Cards that go out or lose copies, the weakest first."""
        return tuple(move for move in self.moves if move.change < 0)

    @property
    def come(self) -> tuple[Move, ...]:
        """Cards that come in or gain copies, the strongest first."""
        return tuple(move for move in self.moves if move.change > 0)
