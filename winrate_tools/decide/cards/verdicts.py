"""What the data say about each card and about the pool, as plain values."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypePool
    from winrate_tools.decide.cards.beliefs import Beliefs
    from winrate_tools.decide.cards.homes import HomeRecord
    from winrate_tools.decide.cards.outlook import Outlook
    from winrate_tools.decide.cards.reasons import Reason
    from winrate_tools.decide.cards.rules import Verdict

Caution = Literal[
    "few cards",
    "baseline too low",
    "baseline too high",
    "no usage",
    "no factions",
    "no skill bands",
    "usage tells little",
    "scattered records",
    "records too alike",
    "far records",
    "clashing looks",
    "uneven pace",
]
Flip = Literal["without usage", "without odd cards", "without the comparison"]


@dataclass(frozen=True, slots=True)
class CardVerdict:
    """What the data say about one card, all on the scale of win rates.

    Attributes
    ----------
    card : str
        Name.
    faction, rarity, role : str or None
        The card's labels, None where unknown.
    games, wins : int or None
        Counts, None where unknown.
    win_rate : float or None
        Wins divided by games, None without games.
    estimate, low, high : float
        Best estimate and the central range that agrees with the verdict.
    chance_below : float
        Probability that the true value lies below the line.
    rank_low, rank_high : int
        Plausible ranks, 1 the weakest; 9 in 10.
    chance_worst : float
        Probability of being among the `shortlist` weakest.
    group : int
        Group of cards that the data can hardly tell apart, 1 the weakest.
    verdict : str
        ``"cut"``, ``"keep"`` or ``"more games"``.
    reasons : tuple of str
        Every reason that applies, the telling one first.
    games_needed : int or None
        Further games that would settle the verdict with 4 in 5; 0 if it is settled, None if
        no number of games would.
    usage : float or None
        How drafters treat the card, in standard deviations from their usual card (above 0:
        taken earlier or played more); None where the table does not say.
    flips_at : float or None
        The allowance at which the verdict would change to or from ``"cut"``; None if none
        does.
    homes : tuple of HomeRecord
        The card's record in each archetype, where the table tells them apart.
    flips_if : tuple of str
        What would change the verdict to or from ``"cut"``: ``"without usage"`` (how drafters
        treat cards told nothing), ``"without odd cards"`` (no card were expected to lie far
        from its like), ``"without the comparison"`` (held games were not compared with
        unheld ones).
    expected_rate : float or None
        What an average card would have won in its games, that is in the same archetypes,
        factions and hands; None without games.
    games_worth : int or None
        Where no number of games would settle the verdict with 4 in 5: further games that do
        most of what games can, None if that is hardly anything.
    chance_worth : float or None
        Probability that so many settle it.
    """

    card: str
    faction: str | None
    rarity: str | None
    role: str | None
    games: int | None
    wins: int | None
    win_rate: float | None
    estimate: float
    low: float
    high: float
    chance_below: float
    rank_low: int
    rank_high: int
    chance_worst: float
    group: int
    verdict: "Verdict"
    reasons: "tuple[Reason, ...]"
    games_needed: int | None
    usage: float | None
    flips_at: float | None
    homes: "tuple[HomeRecord, ...]"
    flips_if: tuple[Flip, ...] = ()
    expected_rate: float | None = None
    games_worth: int | None = None
    chance_worth: float | None = None


@dataclass(frozen=True, slots=True)
class PoolVerdict:
    """What the data say about a whole pool.

    Attributes
    ----------
    cards : tuple of CardVerdict
        Weakest estimate first.
    baseline : float
        Win rate of an average card of this sample.
    baseline_origin : str
        ``"sample"``, ``"given"``, ``"player_rate"`` or ``"target"``.
    sample_mean : float
        Win rate of the whole sample, whatever the baseline.
    target : str
        Whose games the estimates are for: ``"sample"``, ``"even"``, skill bands.
    margin, line : float
        ``line = baseline - margin``.
    sure : float
        How sure is sure enough; the ranges hold the central ``2 * sure - 1``.
    measure : str
        Which games count.
    shortlist : int
        Length of the list that `chance_worst` speaks of.
    expected_wrong : float
        Expected number of cards among the cuts that do not lie below the line.
    tolerable : int
        Length of the longest list of cards, the surest first, of which one in ten at most is
        expected not to lie below the line.
    spread : float
        Standard deviation of the cards' own values, as a fraction of games.
    real_share : float
        Share of the variance between raw win rates that is real, from 0 to 1.
    allowance : float
        Share of a record that is put down to the card.
    has_unheld : bool
        Whether held games were compared with unheld ones.
    is_learnt : bool
        Whether that share was learnt from held against unheld games, not assumed.
    design_effect : float
        Variance of a count against that of independent games.
    usage_columns : tuple of str
        Columns from which usage was taken, () for none.
    factions : tuple of str
        Factions whose shared part was set apart, () where they are unknown.
    strata : tuple of str
        By what games are told apart: ``"archetype"``, ``"skill_band"``.
    bands : tuple of str
        Skill bands, the weakest first.
    archetypes : ArchetypePool or None
        Verdicts on the archetypes, where the table tells them apart.
    outlook : tuple of Outlook
        How many verdicts multiples of the games so far would settle, from now on up.
    seed : int
        Seed of the draws.
    warnings : tuple of str
        What limits these verdicts: what the table lacks, and where it does not fit the model;
        see `winrate_tools.decide.cards.doubts`.
    beliefs : Beliefs
        What is believed of the cards, in the same order, for other lines and for plans.
    far_cards : tuple of str
        Cards whose records lie too far from what is expected of cards like them.
    clashing_cards : tuple of str
        Cards whose held games against unheld ones tell another story than their records.
    face_value : tuple of (int, int) or None
        How many cards would be called cut, and how many keep, if records were taken at face
        value, that is at an allowance of 1; None where the allowance was not assumed.
    use_known : tuple of str
        Columns that tell how drafters use the cards, whether estimates lean on them or not.
    """

    cards: tuple[CardVerdict, ...]
    baseline: float
    baseline_origin: Literal["sample", "given", "player_rate", "target"]
    sample_mean: float
    target: str
    margin: float
    line: float
    sure: float
    measure: str
    shortlist: int
    expected_wrong: float
    tolerable: int
    spread: float
    real_share: float
    allowance: float
    has_unheld: bool
    is_learnt: bool
    design_effect: float
    usage_columns: tuple[str, ...]
    factions: tuple[str, ...]
    strata: tuple[str, ...]
    bands: tuple[str, ...]
    archetypes: "ArchetypePool | None"
    outlook: "tuple[Outlook, ...]"
    seed: int
    warnings: tuple[Caution, ...]
    beliefs: "Beliefs" = field(compare=False, repr=False)
    far_cards: tuple[str, ...] = ()
    clashing_cards: tuple[str, ...] = ()
    face_value: tuple[int, int] | None = None
    use_known: tuple[str, ...] = ()

    @property
    def shows_use(self) -> bool:
        """Whether more than the number of games tells how drafters use the cards."""
        return bool(set(self.use_known) - {"games"})

    def called(self, verdict: "Verdict") -> list[CardVerdict]:
        """Cards with a verdict, the weakest first."""
        return [card for card in self.cards if card.verdict == verdict]

    def because(self, *reasons: "Reason") -> list[CardVerdict]:
        """Cards that have any of some reasons, the weakest first."""
        return [card for card in self.cards if set(reasons) & set(card.reasons)]
