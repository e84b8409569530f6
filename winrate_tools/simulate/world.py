"""A draft world's parameters: who drafts what, how well, and what nobody's table will show."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import SettingError


@dataclass(frozen=True, slots=True)
class Rarity:
    """One group of cards that are dealt equally often.

    Attributes
    ----------
    name : str
        Label.
    cards : int
        Different cards, at least 1.
    copies : int
        Copies of each card in the pool, at least 1.
    spread : float
        Spread of the cards' effects against `World.effect_sd`, at least 0.
    special : bool
        Whether the cards are dealt into the packs' special slots only.
    """

    name: str
    cards: int
    copies: int
    spread: float = 1.0
    special: bool = False


@dataclass(frozen=True, slots=True)
class Archetype:
    """A pair of factions that drafters may build on.

    Attributes
    ----------
    name : str
        Label.
    factions : tuple of int
        Places of its two factions in `World.factions`.
    effect : float
        What it adds to a deck's log-odds, before the random part (`World.archetype_sd`).
    seen : float
        Fraction of its games in which a copy in the deck comes to hand, in (0, 1): slow
        archetypes see more of their decks.
    tempo : float
        Log-odds gained in a game that sees the whole deck against one that sees none of it.
    appeal : float
        How drafters like it at the outset; 0 is as well as any other.
    """

    name: str
    factions: tuple[int, int]
    effect: float = 0.0
    seen: float = 0.42
    tempo: float = 0.0
    appeal: float = 0.0


FACTIONS = ("North", "East", "South", "West", "Upper", "Lower")
PAIRS = ((0, 1), (1, 2), (2, 3), (3, 4), (4, 5), (0, 5), (0, 3), (1, 4), (2, 5))
"""Nine of the fifteen pairs of six factions, every faction in three of them."""

RARITIES = (
    Rarity("common", cards=112, copies=2, spread=0.85),
    Rarity("uncommon", cards=66, copies=1),
    Rarity("rare", cards=34, copies=1, spread=1.3),
    Rarity("special", cards=28, copies=1, spread=1.3, special=True),
)


def pairs_of(factions: tuple[str, ...]) -> tuple[Archetype, ...]:
    """Name the nine supported pairs of six factions after their factions."""
    return tuple(Archetype(f"{factions[a]}-{factions[b]}", (a, b)) for a, b in PAIRS)


@dataclass(frozen=True)
class World:
    """Every parameter of a simulated draft world; effects and spreads are on the log-odds.

    Attributes
    ----------
    factions : tuple of str
        Names of the factions.
    archetypes : tuple of Archetype
        The supported pairs.
    rarities : tuple of Rarity
        The pool.
    two_faction_share, open_share : float
        Shares of cards that belong to one archetype's pair together, or to no faction.
    drafts, seats, packs, pack_size : int
        Drafts played, drafters in each, packs for each drafter, cards in each pack.
    special_slots : int
        Cards of each pack that come from the special rarities.
    deck_size : int
        Cards of each deck that come from the draft.
    games_per_deck : float
        Mean number of games of a deck, at least 1; the number is 1 plus a Poisson count.
    mean_rate : float
        Win rate of the whole sample in expectation; above 0.5 where the recorded players are
        better than those they meet.
    skill_sd : float
        Spread of the players.
    skill_cuts : tuple of float
        Where skill bands part, in standard deviations of skill, ascending.
    bands : tuple of str
        Names of the skill bands, the weakest first; one more than cuts.
    effect_sd : float
        Spread of the cards' effects when held.
    balance : float
        How far each faction's and pair's mean effect was levelled by the designer, from 0 to 1.
    trap_share, trap_effect, trap_look : float
        Share of cards that are traps, their mean effect, and how they look in standard
        deviations of perceived strength.
    unplayed_share, unplayed_effect, unplayed_look : float
        The same for cards that nobody wants.
    foresight : float
        Correlation of perceived with true strength among all other cards.
    noise, noise_by_skill : float
        Spread of a drafter's own opinion about common opinion, and how fast it shrinks with
        skill: ``noise * exp(-noise_by_skill * skill)``, skill in standard deviations.
    insight : float
        How far common opinion is mended towards the truth by each standard deviation of skill.
    lean_sd : float
        Spread of how much better players favour a card or an archetype, whatever its strength.
    commitment : float
        What fitting the drafter's leading archetype is worth by the last pick, in standard
        deviations of perceived strength.
    taste_sd : float
        Spread of the drafters' own liking for archetypes.
    archetype_sd, seen_sd, tempo_sd : float
        Random parts of the archetypes' effects, speeds and tempo.
    deck_sd : float
        What a deck has beyond its player, archetype and cards: it makes games cluster.
    length_sd : float
        Spread of the fraction of the deck seen, from game to game.
    opening_share : float
        Fraction of games with a copy in the opening hand, in (0, 1).
    slope_sd : float
        Spread of how much a card gains with the skill of the player who holds it: log-odds of
        effect for each log-odds of skill, so that a standard deviation of skill moves the
        effects by ``slope_sd * skill_sd``.
    narrow_share : float
        Share of cards that are good in one of their archetypes only, all of them cards that
        fit several and are neither traps nor unplayed.
    narrow_effect : float
        What such a card adds in that archetype beyond its effect; it lacks as much in its
        other archetypes together.
    tails : float
        Degrees of freedom of the Student distribution of the cards' effects, above 2; infinite
        for normal effects. Their spread stays `effect_sd`.

    Raises
    ------
    SettingError
        If the pool is too small for the packs, or the packs for the decks.

    Examples
    --------
    >>> world = World(drafts=100)
    >>> world.cards, world.players, round(world.games)
    (240, 800, 4000)
    """

    factions: tuple[str, ...] = FACTIONS
    archetypes: tuple[Archetype, ...] = pairs_of(FACTIONS)
    rarities: tuple[Rarity, ...] = RARITIES
    two_faction_share: float = 0.15
    open_share: float = 0.05
    drafts: int = 2000
    seats: int = 8
    packs: int = 3
    pack_size: int = 14
    special_slots: int = 1
    deck_size: int = 22
    games_per_deck: float = 5.0
    mean_rate: float = 0.55
    skill_sd: float = 0.3
    skill_cuts: tuple[float, ...] = (-0.6, 0.6)
    bands: tuple[str, ...] = ("new", "steady", "expert")
    effect_sd: float = 0.09
    balance: float = 0.7
    trap_share: float = 0.06
    trap_effect: float = -0.2
    trap_look: float = 1.0
    unplayed_share: float = 0.06
    unplayed_effect: float = -0.05
    unplayed_look: float = -1.8
    foresight: float = 0.75
    noise: float = 0.7
    noise_by_skill: float = 0.2
    insight: float = 0.1
    lean_sd: float = 0.1
    commitment: float = 2.5
    taste_sd: float = 2.0
    archetype_sd: float = 0.1
    seen_sd: float = 0.06
    tempo_sd: float = 1.0
    deck_sd: float = 0.3
    length_sd: float = 0.1
    opening_share: float = 0.17
    slope_sd: float = 0.0
    narrow_share: float = 0.0
    narrow_effect: float = 0.2
    tails: float = np.inf

    def __post_init__(self) -> None:
        dealt = self.packs * self.seats
        for special, slots in ((True, self.special_slots), (False, self.main_slots)):
            have = sum(r.cards * r.copies for r in self.rarities if r.special is special)
            if have < dealt * slots:
                kind = "special" if special else "ordinary"
                msg = f"packs need {dealt * slots} {kind} cards, got a pool of {have}"
                raise SettingError(msg)
        if self.deck_size > self.packs * self.pack_size:
            msg = (
                f"deck_size must be at most {self.packs * self.pack_size}, got {self.deck_size}"
            )
            raise SettingError(msg)
        if len(self.bands) != len(self.skill_cuts) + 1:
            msg = f"bands must be one more than skill_cuts, got {len(self.bands)}"
            raise SettingError(msg)
        if not self.tails > 2:
            msg = f"tails must be above 2, got {self.tails}"
            raise SettingError(msg)

    @property
    def main_slots(self) -> int:
        """Cards of each pack that come from the ordinary rarities."""
        return self.pack_size - self.special_slots

    @property
    def cards(self) -> int:
        """Number of different cards."""
        return sum(rarity.cards for rarity in self.rarities)

    @property
    def players(self) -> int:
        """Number of drafters, each with one deck."""
        return self.drafts * self.seats

    @property
    def games(self) -> float:
        """Expected number of games."""
        return self.players * self.games_per_deck

    @cached_property
    def rarity(self) -> npt.NDArray[np.intp]:
        """Each card's place in `rarities`."""
        return np.repeat(np.arange(len(self.rarities)), [r.cards for r in self.rarities])

    @cached_property
    def copies(self) -> npt.NDArray[np.intp]:
        """Each card's copies in the pool."""
        return np.array([rarity.copies for rarity in self.rarities])[self.rarity]

    @property
    def homes(self) -> tuple[str, ...]:
        """Labels of what a card can belong to: a faction, an archetype's pair, or none."""
        pairs = [
            f"{self.factions[a]}-{self.factions[b]}"
            for a, b in (archetype.factions for archetype in self.archetypes)
        ]
        return (*self.factions, *pairs, "any")

    @cached_property
    def fits(self) -> npt.NDArray[np.bool_]:
        """Whether each home's cards fit each archetype, shape (archetypes, homes)."""
        archetypes, factions = len(self.archetypes), len(self.factions)
        fits = np.zeros((archetypes, len(self.homes)), dtype=bool)
        for k, archetype in enumerate(self.archetypes):
            fits[k, list(archetype.factions)] = True
            fits[k, factions + k] = True
        fits[:, -1] = True
        return fits
