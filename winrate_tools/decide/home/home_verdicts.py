"""What a table's own games say, as plain values.

Rates are win rates at an even table: the mean of all games is one half, and the players of both
decks are equally good.
"""

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from winrate_tools.decide.archetypes.archetype_verdicts import Call
from winrate_tools.decide.cards.rules import Verdict
from winrate_tools.stats.home.home import Discrepancy

Answer = Literal["yes", "no, too weak", "no, too strong", "cannot tell yet"]
Agreement = Literal["no games", "as expected", "better", "worse"]
Aim = Literal["up", "down"]
Never = Literal["nobody plays it", "one hand", "too slow"]
HomeCaution = Literal[
    "no archetypes", "no dates", "no seats", "unknown cards", "few games", "never met"
]


@dataclass(frozen=True, slots=True)
class PlayerStrength:
    """How good one player is against the table's average one.

    Attributes
    ----------
    player : str
        Name.
    games : int
        Games played.
    wins : float
        Games won; a draw is half of one.
    estimate, low, high : float
        Win rate against the table's average player with decks as strong, and its range.
    """

    player: str
    games: int
    wins: float
    estimate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class HomeArchetype:
    """What strangers and the table itself say of one archetype.

    Attributes
    ----------
    archetype : str
        Name.
    is_changed : bool
        Whether it is another archetype than the one strangers played.
    games : int
        Games of its decks at this table, since the change where it was changed.
    wins, expected : float
        Of these, won and expected to be won by what strangers say and by who played.
    strangers, strangers_low, strangers_high : float or None
        What strangers' games say, at an even table; None where they never met it.
    strangers_verdict : str or None
        Their verdict.
    start, start_verdict : float and str
        Best estimate for this table before its games, and the verdict.
    alone, alone_low, alone_high : float or None
        What home games alone say; None without any.
    estimate, low, high : float
        Best estimate for this table now, and the central range that agrees with the verdict.
    chance_below, chance_above : float
        Probabilities that it lies below the lower and above the upper line.
    verdict : str
        ``"underpowered"``, ``"overpowered"``, ``"balanced"`` or ``"unsettled"``, here.
    weight : float
        Share of the say that home games have in the estimate, from 0 to 1.
    chance_stray : float
        Probability that strangers' estimate is far off here.
    agreement : str
        ``"no games"``, ``"as expected"``, ``"better"`` or ``"worse"`` than expected, by more
        than the usual luck.
    games_needed : int or None
        Further games of the whole table that would settle the verdict with 4 in 5; 0 if it is
        settled, None if it never will be here.
    nights_needed : int or None
        The same in nights; None where dates are unknown too.
    never : str or None
        Why the table will never know, None if it will.
    mirrors : int
        Games between two decks of it; they count for both sides in `games`.
    """

    archetype: str
    is_changed: bool
    games: int
    wins: float
    expected: float
    strangers: float | None
    strangers_low: float | None
    strangers_high: float | None
    strangers_verdict: Call | None
    start: float
    start_verdict: Call
    alone: float | None
    alone_low: float | None
    alone_high: float | None
    estimate: float
    low: float
    high: float
    chance_below: float
    chance_above: float
    verdict: Call
    weight: float
    chance_stray: float
    agreement: Agreement
    games_needed: int | None
    nights_needed: int | None
    never: Never | None
    mirrors: int = 0

    @property
    def chance_between(self) -> float:
        """Probability that it lies between the lines."""
        return max(0.0, 1 - self.chance_below - self.chance_above)


@dataclass(frozen=True, slots=True)
class Milestone:
    """What a number of further nights is worth.

    Attributes
    ----------
    nights : int or None
        Further nights, None where dates are unknown.
    games : int
        Further games of the whole table.
    chance_answer : float
        Probability that the table will then know whether the change has worked.
    chance_direction : float or None
        Probability that it will then know whether the archetype got stronger or weaker; None
        where nothing is known of what was before, or it is known now.
    """

    nights: int | None
    games: int
    chance_answer: float
    chance_direction: float | None


@dataclass(frozen=True, slots=True)
class ChangeOutlook:
    """Whether one change has worked, and when the table will know.

    Attributes
    ----------
    archetype : HomeArchetype
        What was changed.
    date : datetime.date or None
        Since when, None for all matches.
    answer : str
        ``"yes"`` where it is balanced now, ``"no, too weak"``, ``"no, too strong"`` or
        ``"cannot tell yet"``.
    forecast : float or None
        What was forecast, at an even table.
    chance_up : float or None
        Probability that the archetype is stronger than it was; None where nothing is known of
        what it was.
    ahead : tuple of Milestone
        What further nights are worth; () where it has been answered.
    wider : float or None
        Smallest margin, in whole points and as a fraction, with which `soon` further games
        would answer with 4 in 5; None where 10 points are too few, or it has been answered.
    soon : int
        Games of 50 nights.
    """

    archetype: HomeArchetype
    date: dt.date | None
    answer: Answer
    forecast: float | None
    chance_up: float | None
    ahead: tuple[Milestone, ...]
    wider: float | None
    soon: int

    @property
    def aim(self) -> Aim | None:
        """Where the archetype was to go, by strangers' verdict; None where they had none."""
        aims: dict[Call | None, Aim] = {"underpowered": "up", "overpowered": "down"}
        return aims.get(self.archetype.strangers_verdict)


@dataclass(frozen=True, slots=True)
class HomeCard:
    """What strangers and the table itself say of one card, on the scale of the card's pool.

    Attributes
    ----------
    card : str
        Name.
    games : int
        Games of matches that list it.
    before, before_low, before_high : float
        By strangers' games.
    before_verdict : str
        The verdict on that.
    start_chance, start_verdict : float and str
        For this table before its games: the chance of lying below the line, and the verdict.
    estimate, low, high : float
        For this table now.
    chance_below : float
        Probability that its true value here lies below the line.
    verdict : str
        ``"cut"``, ``"keep"`` or ``"more games"``, here.
    """

    card: str
    games: int
    before: float
    before_low: float
    before_high: float
    before_verdict: Verdict
    start_chance: float
    start_verdict: Verdict
    estimate: float
    low: float
    high: float
    chance_below: float
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class HomeUpdate:
    """What a table's own games say, and what becomes of strangers' word.

    Attributes
    ----------
    players : tuple of PlayerStrength
        The strongest first.
    archetypes : tuple of HomeArchetype
        The weakest here first; () where neither strangers nor matches name any.
    changes : tuple of ChangeOutlook
        One a change.
    cards : tuple of HomeCard
        Those listed with matches, the one that moved most first.
    matches, games : int
        Counts.
    nights : int or None
        Days on which they were played, None where dates are missing.
    longest : int
        Games after which nobody waits any longer.
    first, last : datetime.date or None
        The first and the last of them.
    margin, low_line, high_line : float
        Between the lines an archetype is fine; ``0.5 - margin`` and ``0.5 + margin``.
    line : float
        Below it a card is weak, on the scale of the card's pool.
    sure, balanced : float
        How sure is sure enough of a strength beyond a line, and of one between them; ranges
        hold the central ``2 * sure - 1``.
    seat, seat_low, seat_high : float or None
        Win rate of the first seat in an even match, None where seats are unknown.
    doubt : float
        How far strangers' word on an archetype is usually off here: a standard deviation of
        win rates.
    usual : Discrepancy
        How far cards here differ from what strangers saw.
    design_effect : float
        How many games count as one independent game.
    unknown_cards : tuple of str
        Cards of matches that the table of cards does not have.
    warnings : tuple of str
        What limits all this.
    """

    players: tuple[PlayerStrength, ...]
    archetypes: tuple[HomeArchetype, ...]
    changes: tuple[ChangeOutlook, ...]
    cards: tuple[HomeCard, ...]
    matches: int
    games: int
    nights: int | None
    longest: int
    first: dt.date | None
    last: dt.date | None
    margin: float
    low_line: float
    high_line: float
    line: float
    sure: float
    balanced: float
    seat: float | None
    seat_low: float | None
    seat_high: float | None
    doubt: float
    usual: Discrepancy
    design_effect: float
    unknown_cards: tuple[str, ...]
    warnings: tuple[HomeCaution, ...]
