"""Packs dealt, cards picked, decks built: all drafts of a world at once."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.simulate.truth import Truth
from winrate_tools.simulate.world import World
from winrate_tools.tables import Numbers

Cards = npt.NDArray[np.int16]
Opinions = npt.NDArray[np.float32]

BLOCK = 250
"""Drafts worked at once: few enough that their opinions stay in the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class Decks:
    """What came out of the drafts, one entry a player.

    Attributes
    ----------
    skill : ndarray of float, shape (players,)
        Skill in standard deviations.
    archetype : ndarray of int, shape (players,)
        Place of the deck's archetype in `World.archetypes`.
    picks : ndarray of int, shape (players, packs * pack_size)
        Cards in the order they were taken, pack after pack.
    cards : ndarray of int, shape (players, deck_size)
        Cards of the deck; a card with two copies stands there twice.
    """

    skill: Numbers
    archetype: npt.NDArray[np.intp]
    picks: Cards
    cards: Cards


def draft(world: World, truth: Truth, rng: np.random.Generator) -> Decks:
    """Play every draft of a world and build every deck.

    Drafters take the card that they like best: common opinion, mended by skill and blurred by
    their own (`World.noise`, `World.insight`), plus what fitting their leading archetype is
    worth, which grows from nothing at the first pick to `World.commitment` at the last.

    Parameters
    ----------
    world : World
        Parameters.
    truth : Truth
        The cards and archetypes.
    rng : numpy.random.Generator
        Source of the draws.

    Returns
    -------
    Decks
        ``world.drafts * world.seats`` players, neighbours at a table next to each other.

    Examples
    --------
    >>> from winrate_tools.simulate.truth import draw_truth
    >>> rng = np.random.default_rng(1)
    >>> world = World(drafts=10)
    >>> draft(world, draw_truth(world, rng), rng).cards.shape
    (80, 22)
    """
    blocks = [_draft_block(world, truth, drafts, rng) for drafts in _blocks(world.drafts)]
    return Decks(
        skill=np.concatenate([block.skill for block in blocks]),
        archetype=np.concatenate([block.archetype for block in blocks]),
        picks=np.concatenate([block.picks for block in blocks]),
        cards=np.concatenate([block.cards for block in blocks]),
    )


def deal(world: World, drafts: int, rng: np.random.Generator) -> Cards:
    """Deal the packs of some drafts, each from a whole pool and without putting back.

    Parameters
    ----------
    world : World
        Parameters.
    drafts : int
        Number of drafts, at least 1.
    rng : numpy.random.Generator
        Source of the draws.

    Returns
    -------
    ndarray of int, shape (drafts, packs, seats, pack_size)
        Cards; the special slots come last in a pack.

    Examples
    --------
    >>> deal(World(), 2, np.random.default_rng(1)).shape
    (2, 3, 8, 14)
    """
    special = np.array([rarity.special for rarity in world.rarities])[world.rarity]
    shape = (drafts, world.packs, world.seats)
    parts = []
    for chosen, slots in ((~special, world.main_slots), (special, world.special_slots)):
        cards = np.flatnonzero(chosen).astype(np.int16)
        pool = np.repeat(cards, world.copies[chosen])
        shuffled = rng.permuted(np.tile(pool, (drafts, 1)), axis=1)
        dealt = shuffled[:, : world.packs * world.seats * slots]
        parts.append(dealt.reshape(*shape, slots))
    return np.concatenate(parts, axis=-1)


def _blocks(drafts: int) -> Iterator[int]:
    for start in range(0, drafts, BLOCK):
        yield min(BLOCK, drafts - start)


def _draft_block(world: World, truth: Truth, drafts: int, rng: np.random.Generator) -> Decks:
    packs = deal(world, drafts, rng)
    skill = rng.standard_normal(drafts * world.seats)
    opinions = _opinions(world, truth, skill, rng)
    liking = _liking(world, truth, skill, rng)
    picks = _pick(world, truth, packs, opinions, liking)
    archetype, cards = _build(world, truth, picks, opinions)
    return Decks(skill, archetype, picks, cards)


def _opinions(world: World, truth: Truth, skill: Numbers, rng: np.random.Generator) -> Opinions:
    """How each player sees each card, shape (players, cards)."""
    strength = np.clip(truth.effect / world.effect_sd, -2.5, 2.5)
    by_skill = truth.lean + world.insight * (strength - truth.perceived)
    opinions = rng.standard_normal((len(skill), world.cards), dtype=np.float32)
    blur = world.noise * np.exp(-world.noise_by_skill * skill)
    opinions *= blur.astype(np.float32)[:, None]
    opinions += truth.perceived.astype(np.float32)
    opinions += skill.astype(np.float32)[:, None] * by_skill.astype(np.float32)
    return opinions


def _liking(world: World, truth: Truth, skill: Numbers, rng: np.random.Generator) -> Numbers:
    """How each player likes each archetype at the outset, shape (players, archetypes)."""
    appeal = np.array([archetype.appeal for archetype in world.archetypes])
    taste = world.taste_sd * rng.standard_normal((len(skill), len(appeal)))
    liking: Numbers = taste + appeal + skill[:, None] * truth.archetype_lean
    return liking


def _pick(
    world: World, truth: Truth, packs: Cards, opinions: Opinions, liking: Numbers
) -> Cards:
    """Let every player take a card from each pack that comes round, shape (players, picks)."""
    drafts, players = len(packs), len(opinions)
    player = np.arange(players)
    home = truth.home.astype(np.int8)
    fits = world.fits.astype(np.float32)
    weight = np.zeros((players, fits.shape[1]), dtype=np.float32)
    picks = np.empty((players, world.packs * world.pack_size), dtype=np.int16)
    for turn in range(picks.shape[1]):
        pack, place = divmod(turn, world.pack_size)
        if place == 0:
            passing = packs[:, pack]
        offer = passing.reshape(players, -1)[:, : world.pack_size - place]
        lead = np.argmax(liking + weight @ fits.T, axis=1)
        bonus = fits[lead] * np.float32(world.commitment * turn / picks.shape[1])
        score = _look_up(opinions, offer) + _look_up(bonus, home[offer])
        slot = np.argmax(score, axis=1)
        picks[:, turn] = taken = offer[player, slot]
        weight[player, home[taken]] += np.maximum(opinions[player, taken] + 1, 0)
        offer[player, slot] = offer[:, -1]
        passing = np.roll(offer.reshape(drafts, world.seats, -1), 1 - 2 * (pack % 2), axis=1)
    return picks


def _look_up(table: Opinions, columns: npt.NDArray[np.integer]) -> Opinions:
    """Read ``table[row, columns[row]]`` for every row."""
    start = np.arange(len(table), dtype=np.int32) * np.int32(table.shape[1])
    return table.ravel().take(start[:, None] + columns)


def _build(
    world: World, truth: Truth, picks: Cards, opinions: Opinions
) -> tuple[npt.NDArray[np.intp], Cards]:
    """Build each player's best deck: the archetype whose best cards add up to most.

    Cards that do not fit the archetype fill up a deck that has too few that do.
    """
    opinion = _look_up(opinions, picks).astype(np.float64)
    order = np.argsort(-opinion, axis=1, kind="stable")
    picks = np.take_along_axis(picks, order, axis=1)
    opinion = np.take_along_axis(opinion, order, axis=1)
    value = np.empty((len(picks), len(world.archetypes)))
    for k, fits in enumerate(world.fits):
        suits = fits[truth.home[picks]]
        suits &= np.cumsum(suits, axis=1) <= world.deck_size
        value[:, k] = np.sum(np.where(suits, np.maximum(opinion + 2, 0), 0), axis=1)
    archetype = np.argmax(value, axis=1)
    suits = world.fits[archetype[:, None], truth.home[picks]]
    rank = np.argsort(~suits, axis=1, kind="stable")[:, : world.deck_size]
    return archetype, np.take_along_axis(picks, rank, axis=1)
