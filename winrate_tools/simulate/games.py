"""Every deck's games against the field, and the counts that come of them."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import expit, logit

from winrate_tools.settings import Measure
from winrate_tools.simulate.draft import Decks
from winrate_tools.simulate.truth import Truth
from winrate_tools.simulate.world import World
from winrate_tools.tables import Numbers

Counts = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Record:
    """Games of one measure, by card, archetype and skill band.

    A card with two copies in a deck counts once for each copy.

    Attributes
    ----------
    games, wins : ndarray of int, shape (cards, archetypes, bands)
        Counts.
    expected : ndarray of float, shape (cards, archetypes, bands)
        Sum of the games' true chances of winning: wins without the luck of the games.
    """

    games: Counts
    wins: Counts
    expected: Numbers


@dataclass(frozen=True, slots=True, eq=False)
class Play:
    """What was counted in all games of a world.

    Attributes
    ----------
    deck, held, opening : Record
        Copies in the deck, at some time in hand, in the opening hand.
    games, wins : ndarray of int, shape (archetypes, bands)
        Games of decks.
    deck_games, deck_wins : ndarray of int, shape (players,)
        Each deck's games.
    band : ndarray of int, shape (players,)
        Each player's place in `World.bands`.
    band_skill : ndarray of float, shape (bands,)
        Mean skill of each band's games in log-odds, as seen from the mean of all games; NaN
        for a band that played none.
    start : float
        Log-odds of an average player's deck of effectless cards, chosen so that the sample's
        win rate is `World.mean_rate` in expectation.
    fade : float
        What one unit of log-odds in every game is worth in the sample's log-odds: below 1,
        because games differ in their chances (see `true_effects`).
    """

    deck: Record
    held: Record
    opening: Record
    games: Counts
    wins: Counts
    deck_games: Counts
    deck_wins: Counts
    band: npt.NDArray[np.intp]
    band_skill: Numbers
    start: float
    fade: float

    def record(self, measure: Measure) -> Record:
        """Return the counts of a measure."""
        records = {"deck": self.deck, "held": self.held, "opening": self.opening}
        return records[measure]


@dataclass(frozen=True, slots=True, eq=False)
class Games:
    """Games one by one, those of a deck next to each other.

    Attributes
    ----------
    deck : ndarray of int, shape (games,)
        Place of each game's deck.
    deck_games : ndarray of int, shape (players,)
        How many games each deck played.
    held, opening : ndarray of bool, shape (games, deck_size)
        Which copies came to hand, and which of them in the opening hand.
    won : ndarray of bool, shape (games,)
        What came of it.
    chance : ndarray of float, shape (games,)
        The true chance of winning.
    skill : ndarray of float, shape (players,)
        In log-odds, as seen from the mean of all games.
    start : float
        As in `Play`.
    """

    deck: npt.NDArray[np.intp]
    deck_games: Counts
    held: npt.NDArray[np.bool_]
    opening: npt.NDArray[np.bool_]
    won: npt.NDArray[np.bool_]
    chance: Numbers
    skill: Numbers
    start: float


def play(world: World, truth: Truth, decks: Decks, rng: np.random.Generator) -> Play:
    """Play every deck's games against the field.

    In each game a random part of the deck comes to hand, a share of it in the opening hand;
    the log-odds of winning are those of the player, the archetype (and its tempo), the deck's
    own noise and the effects of the copies held, as they are in this player's hands and this
    archetype.

    Parameters
    ----------
    world : World
        Parameters.
    truth : Truth
        The cards and archetypes.
    decks : Decks
        What to play with.
    rng : numpy.random.Generator
        Source of the draws.

    Returns
    -------
    Play
        The counts.

    Examples
    --------
    >>> from winrate_tools.simulate.draft import draft
    >>> from winrate_tools.simulate.truth import draw_truth
    >>> rng = np.random.default_rng(1)
    >>> world = World(drafts=10)
    >>> truth = draw_truth(world, rng)
    >>> played = play(world, truth, draft(world, truth, rng), rng)
    >>> played.games.shape, bool(played.games.sum() == played.deck_games.sum())
    ((9, 3), True)
    """
    games = play_games(world, truth, decks, rng)
    chance = games.chance
    tally = _Tally(world, decks, games.deck_games, games.won, chance)
    return Play(
        deck=tally.record(None),
        held=tally.record(games.held),
        opening=tally.record(games.opening),
        games=tally.by_stratum(games.deck_games),
        wins=tally.by_stratum(tally.deck_wins),
        deck_games=games.deck_games,
        deck_wins=tally.deck_wins,
        band=tally.band,
        band_skill=tally.by_band(games.skill),
        start=games.start,
        fade=float(np.mean(chance * (1 - chance)) / (chance.mean() * (1 - chance.mean()))),
    )


def play_games(world: World, truth: Truth, decks: Decks, rng: np.random.Generator) -> Games:
    """Play as `play` does, with the same draws, and keep every game."""
    players = len(decks.skill)
    deck_games = 1 + rng.poisson(world.games_per_deck - 1, players)
    deck = np.repeat(np.arange(players), deck_games)
    seen = _seen(world, truth, decks, deck, rng)
    place = rng.random((len(deck), world.deck_size), dtype=np.float32)
    held, opening = place < seen[:, None], place < world.opening_share
    odds = _deck_odds(world, truth, decks, rng)[deck]
    odds += truth.tempo[decks.archetype][deck] * (seen - truth.seen[decks.archetype][deck])
    skill = _skill(world, decks, deck_games)
    effect = _effects_in_hand(truth, decks, skill)[deck]
    odds += np.einsum("ij,ij->i", effect, held, dtype=np.float64)
    start = _start(odds, world.mean_rate)
    chance = expit(start + odds)
    won = rng.random(len(deck)) < chance
    return Games(deck, deck_games, held, opening, won, chance, skill, start)


def _seen(
    world: World,
    truth: Truth,
    decks: Decks,
    deck: npt.NDArray[np.intp],
    rng: np.random.Generator,
) -> npt.NDArray[np.float32]:
    """Fraction of the deck seen in each game."""
    seen = truth.seen[decks.archetype][deck]
    seen += world.length_sd * rng.standard_normal(len(deck))
    return seen.clip(world.opening_share, 0.98).astype(np.float32)


def _deck_odds(world: World, truth: Truth, decks: Decks, rng: np.random.Generator) -> Numbers:
    noise = world.deck_sd * rng.standard_normal(len(decks.skill))
    odds: Numbers = (
        world.skill_sd * decks.skill + truth.archetype_effect[decks.archetype] + noise
    )
    return odds


def _skill(world: World, decks: Decks, deck_games: Counts) -> Numbers:
    """Each player's skill in log-odds, as seen from the mean of all games."""
    skill: Numbers = world.skill_sd * (
        decks.skill - np.average(decks.skill, weights=deck_games)
    )
    return skill


def _effects_in_hand(truth: Truth, decks: Decks, skill: Numbers) -> npt.NDArray[np.float32]:
    """Log-odds that each copy of each deck adds when held, shape (players, deck_size)."""
    effect = truth.effect[decks.cards]
    effect += truth.slope[decks.cards] * skill[:, None]
    effect += truth.extra[decks.cards, decks.archetype[:, None]]
    return effect.astype(np.float32)


def _start(odds: Numbers, mean_rate: float) -> float:
    """Solve for the log-odds to add to all games so that their mean chance is as wanted."""
    start = float(logit(mean_rate) - odds.mean())
    for _ in range(6):
        chance = expit(start + odds)
        start += float((mean_rate - chance.mean()) / np.mean(chance * (1 - chance)))
    return start


class _Tally:
    """Adds games up by deck, and decks by card, archetype and band."""

    def __init__(
        self,
        world: World,
        decks: Decks,
        deck_games: Counts,
        won: npt.NDArray[np.bool_],
        chance: Numbers,
    ) -> None:
        self.first = np.concatenate([[0], np.cumsum(deck_games)[:-1]])
        self.won, self.chance = won, chance
        self.deck_games = deck_games
        self.deck_wins = self._by_deck(won).astype(np.int64)
        self.deck_expected = self._by_deck(chance)
        self.band = np.searchsorted(world.skill_cuts, decks.skill)
        self.shape = (len(world.archetypes), len(world.bands))
        self.stratum = decks.archetype * len(world.bands) + self.band
        self.cell = decks.cards.astype(np.intp) * (self.shape[0] * self.shape[1])
        self.cell += self.stratum[:, None]
        self.cards = world.cards

    def record(self, counted: npt.NDArray[np.bool_] | None) -> Record:
        """Count the games in which a copy was where it counts; None counts every game."""
        if counted is None:
            games, wins, expected = (
                np.broadcast_to(total[:, None], self.cell.shape)
                for total in (1.0 * self.deck_games, 1.0 * self.deck_wins, self.deck_expected)
            )
        else:
            games = self._by_deck(counted)
            wins = self._by_deck(counted & self.won[:, None])
            expected = self._by_deck(counted * self.chance[:, None])
        return Record(
            games=self._by_cell(games).round().astype(np.int64),
            wins=self._by_cell(wins).round().astype(np.int64),
            expected=self._by_cell(expected),
        )

    def by_stratum(self, counts: Counts) -> Counts:
        """Add decks' counts up by archetype and band."""
        total = np.bincount(self.stratum, counts, self.shape[0] * self.shape[1])
        return total.round().astype(np.int64).reshape(self.shape)

    def by_band(self, measured: Numbers) -> Numbers:
        """Average something measured on decks over the games of each band."""
        bands = self.shape[1]
        games = np.bincount(self.band, self.deck_games, bands)
        mean = np.full(bands, np.nan)
        total = np.bincount(self.band, self.deck_games * measured, bands)
        np.divide(total, games, out=mean, where=games > 0)
        return mean

    def _by_deck(self, games: npt.NDArray[np.generic]) -> Numbers:
        total: Numbers = np.add.reduceat(games, self.first, axis=0, dtype=np.float64)
        return total

    def _by_cell(self, counts: Numbers) -> Numbers:
        cells = self.cards * self.shape[0] * self.shape[1]
        total = np.bincount(self.cell.ravel(), counts.ravel(), cells).astype(np.float64)
        return total.reshape(self.cards, *self.shape)
