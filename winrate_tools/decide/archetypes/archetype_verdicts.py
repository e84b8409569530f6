"""What the data say about each archetype and about all of them, as plain values."""

from dataclasses import dataclass
from typing import Literal

from winrate_tools.settings import Measure

Call = Literal["underpowered", "overpowered", "balanced", "unsettled"]
ArchetypeCaution = Literal[
    "estimated games", "unlabelled", "other games", "unmatched", "no cards", "no skill bands"
]


@dataclass(frozen=True, slots=True)
class CardPull:
    """What one card does to an archetype, against the average archetype.

    Attributes
    ----------
    card : str
        Name.
    pull : float
        Win rate that the card adds, below 0 for a card that drags the archetype down.
    low, high : float
        Ends of its range, as wide as the archetype's.
    chance : float
        Probability that it pulls the way it is said to.
    """

    card: str
    pull: float
    low: float
    high: float
    chance: float


@dataclass(frozen=True, slots=True)
class ArchetypeVerdict:
    """What the data say about one archetype, all on the scale of win rates.

    Attributes
    ----------
    archetype : str
        Name.
    factions : str or None
        The factions that it joins, None where unknown.
    games, wins : int
        Games of decks; rounded where they had to be worked out from cards' games.
    win_rate : float or None
        Wins divided by games, None without games.
    play_share : float
        Share of all games.
    estimate, low, high : float
        Best estimate of the win rate at the sample's mix of players, and the central range
        that agrees with the verdict.
    chance_below, chance_above : float
        Probabilities that the true value lies below the lower and above the upper line.
    verdict : str
        ``"underpowered"``, ``"overpowered"``, ``"balanced"`` or ``"unsettled"``.
    cards_part, cards_low, cards_high : float or None
        Win rate that its cards add against the average archetype's, with the range; None
        where its cards are unknown.
    own_part, own_low, own_high : float or None
        What is left for its plan and for how its cards work together; with the cards' part
        it makes the estimate less the mean.
    games_needed : int or None
        Further games that would settle the verdict with 4 in 5; 0 if it is settled, None if
        a million would not do.
    drags, carries : tuple of CardPull
        Of the cards that it has more of than the average archetype, those that drag it down
        and those that carry it most, the strongest pull first.
    """

    archetype: str
    factions: str | None
    games: int
    wins: int
    win_rate: float | None
    play_share: float
    estimate: float
    low: float
    high: float
    chance_below: float
    chance_above: float
    verdict: Call
    cards_part: float | None
    cards_low: float | None
    cards_high: float | None
    own_part: float | None
    own_low: float | None
    own_high: float | None
    games_needed: int | None
    drags: tuple[CardPull, ...]
    carries: tuple[CardPull, ...]

    @property
    def chance_between(self) -> float:
        """Probability that the true value lies between the lines."""
        return max(0.0, 1 - self.chance_below - self.chance_above)


@dataclass(frozen=True, slots=True)
class ArchetypePool:
    """What the data say about all archetypes of a pool.

    Attributes
    ----------
    archetypes : tuple of ArchetypeVerdict
        Weakest estimate first.
    mean : float
        Win rate of all games, which strengths are counted from.
    margin, low_line, high_line : float
        ``low_line = mean - margin`` and ``high_line = mean + margin``.
    sure : float
        How sure is sure enough of a strength beyond a line; the ranges hold the central
        ``2 * sure - 1``.
    balanced : float
        How sure is sure enough of a strength between the lines.
    spread : float
        Standard deviation between archetypes, as a fraction of games.
    measure : str
        Which games the cards' counts are of.
    counted : float or None
        Cards counted in a game, where archetypes' games had to be worked out by it; None
        where games of whole decks were given.
    skill_bands : tuple of str
        Skill bands allowed for, () for none.
    design_effect : float
        How many games count as one independent game.
    seed : int
        Seed of the draws.
    warnings : tuple of str
        What limits these verdicts.
    """

    archetypes: tuple[ArchetypeVerdict, ...]
    mean: float
    margin: float
    low_line: float
    high_line: float
    sure: float
    balanced: float
    spread: float
    measure: Measure
    counted: float | None
    skill_bands: tuple[str, ...]
    design_effect: float
    seed: int
    warnings: tuple[ArchetypeCaution, ...]
