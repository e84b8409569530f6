"""What is really so in a simulated world: the part that no table shows."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.simulate.world import World
from winrate_tools.tables import Flags, Numbers


@dataclass(frozen=True, slots=True, eq=False)
class Truth:
    """The drawn truth of a world; arrays have one entry a card unless said otherwise.

    Attributes
    ----------
    card : tuple of str
        Names.
    home : ndarray of int
        What the card belongs to, a place in `World.homes`.
    effect : ndarray of float
        Log-odds that a copy adds to a game in which it is held, in the hands of a player of
        the sample's mean skill and in an average one of the card's archetypes.
    slope : ndarray of float
        Log-odds that a copy adds for each log-odds of its holder's skill above that mean.
    extra : ndarray of float, shape (cards, archetypes)
        Log-odds that a copy adds in a deck of the archetype beyond its effect: 0 but for
        narrow cards, and 0 on average over the archetypes that a card fits.
    perceived : ndarray of float
        Common opinion of the card, in standard deviations.
    lean : ndarray of float
        How much more the card is liked with each standard deviation of skill.
    is_trap, is_unplayed : ndarray of bool
        Looks strong and is weak; looks so weak that nobody plays it.
    archetype_effect, archetype_lean, seen, tempo : ndarray of float
        One entry an archetype: log-odds added, liking by skill, fraction of the deck seen in
        a game, log-odds gained by seeing all of it.
    """

    card: tuple[str, ...]
    home: npt.NDArray[np.intp]
    effect: Numbers
    slope: Numbers
    extra: Numbers
    perceived: Numbers
    lean: Numbers
    is_trap: Flags
    is_unplayed: Flags
    archetype_effect: Numbers
    archetype_lean: Numbers
    seen: Numbers
    tempo: Numbers

    @property
    def is_narrow(self) -> Flags:
        """Which cards are good in one of their archetypes only."""
        narrow: Flags = np.count_nonzero(self.extra, axis=1) > 0
        return narrow


def draw_truth(world: World, rng: np.random.Generator) -> Truth:
    """Draw the cards and archetypes of a world.

    Parameters
    ----------
    world : World
        Parameters.
    rng : numpy.random.Generator
        Source of the draws. Slopes, narrow cards and tails draw from children of it, so that
        having them or not leaves all else as it is.

    Returns
    -------
    Truth
        Cards in the order of the world's rarities, ``card 001`` onwards.

    Examples
    --------
    >>> truth = draw_truth(World(), np.random.default_rng(1))
    >>> truth.card[0], int(truth.is_trap.sum())
    ('card 001', 14)
    """
    slopes, narrow, tails = rng.spawn(3)
    strength = rng.standard_normal(world.cards) * _stretch(world, tails)
    spread = np.array([rarity.spread for rarity in world.rarities])[world.rarity]
    effect = world.effect_sd * spread * strength
    perceived = world.foresight * strength
    perceived += np.sqrt(1 - world.foresight**2) * rng.standard_normal(world.cards)
    is_trap, is_unplayed = _odd_cards(world, rng)
    surprise = rng.standard_normal(world.cards)
    effect[is_trap] = world.trap_effect * (1 + 0.25 * strength[is_trap])
    perceived[is_trap] = world.trap_look + 0.4 * surprise[is_trap]
    effect[is_unplayed] += world.unplayed_effect
    perceived[is_unplayed] = world.unplayed_look + 0.3 * surprise[is_unplayed]
    home = _homes(world, rng)
    effect -= world.balance * _mean_by(home, effect)
    plain = world.archetypes
    return Truth(
        card=tuple(f"card {i:03}" for i in range(1, world.cards + 1)),
        home=home,
        effect=effect,
        slope=world.slope_sd * slopes.standard_normal(world.cards),
        extra=_extra(world, home, ~is_trap & ~is_unplayed, narrow),
        perceived=perceived,
        lean=world.lean_sd * rng.standard_normal(world.cards),
        is_trap=is_trap,
        is_unplayed=is_unplayed,
        archetype_effect=_around(rng, [k.effect for k in plain], world.archetype_sd),
        archetype_lean=4 * world.lean_sd * rng.standard_normal(len(plain)),
        seen=_around(rng, [k.seen for k in plain], world.seen_sd).clip(0.2, 0.8),
        tempo=_around(rng, [k.tempo for k in plain], world.tempo_sd),
    )


def _stretch(world: World, rng: np.random.Generator) -> Numbers:
    """Return what turns standard normals into Student's, of the same spread."""
    if np.isinf(world.tails):
        return np.ones(world.cards)
    return np.asarray(np.sqrt((world.tails - 2) / rng.chisquare(world.tails, world.cards)))


def _odd_cards(world: World, rng: np.random.Generator) -> tuple[Flags, Flags]:
    order = rng.permutation(world.cards)
    traps = round(world.trap_share * world.cards)
    unplayed = round(world.unplayed_share * world.cards)
    place = np.argsort(order)
    return place < traps, (place >= traps) & (place < traps + unplayed)


def _homes(world: World, rng: np.random.Generator) -> npt.NDArray[np.intp]:
    """Spread the factions evenly, then hand some cards to pairs and some to no faction."""
    factions, archetypes = len(world.factions), len(world.archetypes)
    home = np.arange(world.cards) % factions
    order = rng.permutation(world.cards)
    pairs = round(world.two_faction_share * world.cards)
    home[order[:pairs]] = factions + np.arange(pairs) % archetypes
    home[order[pairs:][: round(world.open_share * world.cards)]] = factions + archetypes
    return home


def _extra(
    world: World, home: npt.NDArray[np.intp], usual: Flags, rng: np.random.Generator
) -> Numbers:
    """Give some of the usual cards that fit several archetypes one in which they shine."""
    fits = world.fits.T[home]
    able = np.flatnonzero(usual & (fits.sum(axis=1) > 1))
    extra = np.zeros(fits.shape)
    for card in rng.permutation(able)[: round(world.narrow_share * world.cards)]:
        best = int(rng.choice(np.flatnonzero(fits[card])))
        extra[card] = narrow_extra(fits[card], best, world.narrow_effect)
    return extra


def narrow_extra(fits: Flags, best: int, effect: float) -> Numbers:
    """Spread a narrow card's extra effects over the archetypes.

    Parameters
    ----------
    fits : ndarray of bool, shape (archetypes,)
        The archetypes that the card fits, at least two.
    best : int
        The one of them in which it is good.
    effect : float
        Log-odds that it adds there.

    Returns
    -------
    ndarray of float, shape (archetypes,)
        Log-odds, 0 on average over the archetypes that fit; elsewhere as in the worse of them.

    Examples
    --------
    >>> narrow_extra(np.array([True, True, False, True]), 1, 0.2)
    array([-0.1,  0.2, -0.1, -0.1])
    """
    extra = np.full(len(fits), effect / (1 - np.count_nonzero(fits)))
    extra[best] = effect
    return extra


def _mean_by(home: npt.NDArray[np.intp], effect: Numbers) -> Numbers:
    """Mean effect of the cards of each card's home."""
    return (np.bincount(home, effect) / np.maximum(np.bincount(home), 1))[home]


def _around(rng: np.random.Generator, centre: list[float], spread: float) -> Numbers:
    return np.array(centre) + spread * rng.standard_normal(len(centre))
