"""Cards that might come to Lantern Fair: records from other markets, or a guess."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import expit, logit

from winrate_tools.simulate.lantern_names import TRADES, fair_name, lantern_name
from winrate_tools.simulate.lantern_world import FAILING, SEED, WORLD, Fair

FIRST_PLACE = 60
"""Place in a home's names from which no card of the pool has taken one."""
MARKETS = (0.515, 0.548)
"""Win rate of an average card in the two markets where the records were made."""
PROMISE, HELP, SPREAD = 0.03, 0.10, 0.09
"""Mean effect of the candidates, what those for the failing archetype add, and the spread."""
COMPANY_SD = 0.05
"""How far a record strays with the decks that the card was in; in log-odds, as all effects."""
GUESS_SD = 0.06
"""How far a guess strays from the truth."""
EVERY_GUESS = 5
"""One candidate in so many has no record."""
RARITIES = ("common", "uncommon", "common", "rare", "uncommon")
SPECIAL = 4
"""Candidates that are lanterns."""


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A candidate with its truth.

    Attributes
    ----------
    card, home, rarity, role : str
        Name and labels.
    effect : float
        Log-odds that a copy adds to a game in which it is held.
    games, wins : int
        Its record; 0 games where there is only a guess.
    baseline : float
        Win rate of an average card where the record was made.
    guess : str
        Blank where there is a record.
    """

    card: str
    home: str
    rarity: str
    role: str
    effect: float
    games: int
    wins: int
    baseline: float
    guess: str


def newcomers() -> list[Newcomer]:
    """Make the candidates; the same at every call.

    Returns
    -------
    list of Newcomer
        40 cards, six of them for the failing archetype alone.

    Examples
    --------
    >>> made = newcomers()
    >>> len(made), sum(one.home == "Petal-Ferry" for one in made)
    (40, 6)
    """
    rng = np.random.default_rng([SEED, 1])
    return [_newcomer(n, *labels, rng) for n, labels in enumerate(_labels())]


def candidate_rows(prices: dict[str, float], copies: dict[str, int]) -> list[Sequence[object]]:
    """List the candidates as a table would, heading first.

    Parameters
    ----------
    prices : dict of str to float
        Usual price by rarity.
    copies : dict of str to int
        Most copies to be had by rarity.

    Returns
    -------
    list of sequence
        Rows of a CSV file.
    """
    heading = (
        *("card", "copies", "faction", "rarity", "role", "price", "slot", "archetypes"),
        *("games", "wins", "baseline", "guess", "spread"),
    )
    rows = (
        (
            one.card,
            copies[one.rarity],
            one.home,
            one.rarity,
            one.role,
            f"{prices[one.rarity] * (1 + (5 * n % 9) / 8):.2f}",
            "lantern" if one.rarity == "lantern" else "main",
            "; ".join(_archetypes(one.home)),
            *_evidence(n, one),
        )
        for n, one in enumerate(newcomers())
    )
    return [heading, *rows]


def candidate_truth(fair: Fair) -> list[Sequence[object]]:
    """List each candidate's own effect in points on the scale of the fair's cards."""
    play = fair.simulation.play
    baseline = play.held.expected.sum() / play.held.games.sum()
    rows = (
        (one.card, f"{100 * (expit(logit(baseline) + play.fade * one.effect) - baseline):+.2f}")
        for one in newcomers()
    )
    return [("card", "own_effect_points"), *rows]


def _labels() -> Iterator[tuple[str, str, str, str]]:
    """Give each candidate a name, home, rarity and role."""
    helped = home_of(FAILING)
    pairs = [home for home in WORLD.homes if "-" in home and home != helped]
    homes = [*(3 * TRADES), *pairs, *(6 * [helped]), *(4 * ["any"])]
    for n, home in enumerate(homes):
        place = FIRST_PLACE + 3 * WORLD.homes.index(home) + homes[:n].count(home)
        name, role = fair_name(home, place)
        yield name, home, RARITIES[n % len(RARITIES)], role
    for home in TRADES[:SPECIAL]:
        yield lantern_name(home, 9), home, "lantern", "lantern"


def home_of(archetype: str) -> str:
    """Name the home of the cards that only one archetype plays.

    Examples
    --------
    >>> home_of("Floating Flowers")
    'Petal-Ferry'
    """
    place = [one.name for one in WORLD.archetypes].index(archetype)
    return WORLD.homes[len(TRADES) + place]


def _archetypes(home: str) -> list[str]:
    fits = WORLD.fits[:, WORLD.homes.index(home)]
    return [one.name for one, fit in zip(WORLD.archetypes, fits, strict=True) if fit]


def _newcomer(
    n: int, card: str, home: str, rarity: str, role: str, rng: np.random.Generator
) -> Newcomer:
    helps = HELP if home == home_of(FAILING) else 0.0
    effect = PROMISE + helps + SPREAD * rng.standard_normal()
    baseline = MARKETS[n % len(MARKETS)]
    games = round(float(np.exp(rng.uniform(np.log(150), np.log(6000)))))
    company = COMPANY_SD * rng.standard_normal()
    wins = int(rng.binomial(games, expit(logit(baseline) + effect + company)))
    looks = effect - PROMISE + GUESS_SD * rng.standard_normal()
    guess = "stronger" if looks > SPREAD / 2 else "weaker" if looks < -SPREAD / 2 else "like"
    if n % EVERY_GUESS == EVERY_GUESS - 1:
        return Newcomer(card, home, rarity, role, effect, 0, 0, baseline, guess)
    return Newcomer(card, home, rarity, role, effect, games, wins, baseline, "")


def _evidence(n: int, one: Newcomer) -> tuple[object, ...]:
    if one.guess:
        return "", "", "", one.guess, "0.03" if n % 2 else ""
    return one.games, one.wins, one.baseline, "", ""
