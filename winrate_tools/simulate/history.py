"""A world played through: its truth, its counts, and the tables anybody would have of it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from winrate_tools.errors import SettingError
from winrate_tools.settings import Measure
from winrate_tools.simulate.draft import Cards, Decks, draft
from winrate_tools.simulate.games import Counts, Play, Record, play
from winrate_tools.simulate.truth import Truth, draw_truth
from winrate_tools.simulate.world import World
from winrate_tools.tables import STRATA, CardTable, Numbers


@dataclass(frozen=True, slots=True, eq=False)
class Simulation:
    """One world, played.

    Attributes
    ----------
    world : World
        Its parameters.
    truth : Truth
        Its cards and archetypes as they really are.
    play : Play
        Counts of games.
    drafted, played : ndarray of int, shape (cards, archetypes, bands)
        Copies taken, and those of them that made the deck, by the taker's deck and band.
    stratum : ndarray of int, shape (players,)
        Each deck's place among archetypes x bands.
    mean_pick : ndarray of float, shape (cards,)
        Mean place in its pack's picks at which a copy went, from 1; NaN if none was dealt.
    """

    world: World
    truth: Truth
    play: Play
    drafted: Counts
    played: Counts
    stratum: npt.NDArray[np.intp]
    mean_pick: Numbers


def simulate(world: World, seed: int, *, truth: Truth | None = None) -> Simulation:
    """Draft, build and play a whole world.

    Parameters
    ----------
    world : World
        Parameters.
    seed : int
        Seed, at least 0. Truth, drafts and games draw from streams of their own, so that a
        changed truth meets the same luck.
    truth : Truth, optional
        Cards and archetypes to use in place of drawn ones.

    Returns
    -------
    Simulation
        The same for the same arguments.

    Examples
    --------
    >>> simulation = simulate(World(drafts=100), seed=1)
    >>> games = simulation.play.games.sum()
    >>> bool(abs(simulation.play.wins.sum() / games - 0.55) < 0.03)
    True
    """
    streams = [np.random.default_rng([seed, stream]) for stream in range(3)]
    truth = truth or draw_truth(world, streams[0])
    decks = draft(world, truth, streams[1])
    played = play(world, truth, decks, streams[2])
    stratum = decks.archetype * len(world.bands) + played.band
    return Simulation(
        world=world,
        truth=truth,
        play=played,
        drafted=_copies(world, stratum, decks.picks),
        played=_copies(world, stratum, decks.cards),
        stratum=stratum,
        mean_pick=_mean_pick(world, decks),
    )


def _copies(world: World, stratum: npt.NDArray[np.intp], cards: Cards) -> Counts:
    """Count copies by card, archetype and band."""
    shape = (world.cards, len(world.archetypes), len(world.bands))
    cell = cards.astype(np.intp) * (shape[1] * shape[2]) + stratum[:, None]
    return np.bincount(cell.ravel(), minlength=int(np.prod(shape))).reshape(shape)


def _mean_pick(world: World, decks: Decks) -> Numbers:
    place = np.tile(np.arange(1, world.pack_size + 1), world.packs)
    taken = decks.picks.ravel()
    copies = np.bincount(taken, minlength=world.cards)
    places = np.bincount(taken, np.broadcast_to(place, decks.picks.shape).ravel(), world.cards)
    return _ratio(places, copies, np.nan)


def true_effects(
    simulation: Simulation, measure: Measure = "held", band: str | None = None
) -> Numbers:
    r"""Each card's own effect on the win rate: what an honest interval should cover.

    The world adds :math:`\theta_i` to the log-odds of each game in which a copy is held:
    `Truth.effect`, what skill adds to it (below), and the mean of `Truth.extra` over the card's
    own play. What a card is worth to a table of win rates is the difference that it makes in
    place of the average card, all else (player, archetype, deck, luck) unchanged:

    .. math::

        \delta_i = \kappa f_i (\theta_i - \bar\theta), \qquad
        \bar\theta = \sum_j n_j f_j \theta_j \big/ \sum_j n_j f_j

    with :math:`n_j` the card's games of the measure; :math:`f_i = 1` where only games with
    the card in hand count (held, opening), and for decks the fraction of games in which a copy
    is seen, that of the archetypes that play it; :math:`\kappa` is `Play.fade`. It turns an
    effect in single games into one on the sample's log-odds: as games differ in their chances,
    a shift of all of them by a little moves their mean by
    :math:`\overline{p(1-p)} / \bar p(1-\bar p)` as much.

    Skill adds `Truth.slope` times a skill in log-odds: 0, the mean over all of the sample's
    games, if no band is asked for, whoever holds the card; else `Play.band_skill`, the mean
    over the band's games. Nothing but skill changes with the band: its effects are those of
    the sample's play (:math:`n, f, \kappa` and shares of archetypes) in hands of that skill.
    So without slopes all bands have the sample's effects, and with slopes the bands' effects,
    weighted by the bands' games, average to the sample's.

    Whatever else sets the card's record apart is no part of it: the players who choose it, the
    archetypes that play it, the cards beside it, further copies of itself in the same deck.

    Parameters
    ----------
    simulation : Simulation
        A world, played.
    measure : str, optional
        Which games count.
    band : str, optional
        One of `World.bands`, for effects in hands of its mean skill. By default, hands of the
        sample's mean skill.

    Returns
    -------
    ndarray of float, shape (cards,)
        Log-odds; the mean over all games of the measure is 0. NaN for a band without games.

    Raises
    ------
    SettingError
        If the world has no such band.

    Examples
    --------
    >>> simulation = simulate(World(drafts=100), seed=1)
    >>> effects = true_effects(simulation, "deck")
    >>> games = simulation.play.deck.games.sum(axis=(1, 2))
    >>> bool(abs(games @ effects) < 1e-6)
    True
    """
    truth, games = simulation.truth, simulation.play.record(measure).games.sum(axis=2)
    weight = games * truth.seen if measure == "deck" else games
    effect = truth.effect + truth.slope * _skill_of(simulation, band)
    effect += _ratio(np.sum(weight * truth.extra, axis=1), weight.sum(axis=1), 0.0)
    games = games.sum(axis=1)
    counted = _fraction_seen(simulation) if measure == "deck" else np.ones(len(effect))
    average = (games * counted) @ effect / (games @ counted)
    own: Numbers = simulation.play.fade * counted * (effect - average)
    return own


def _skill_of(simulation: Simulation, band: str | None) -> float:
    """Mean skill of a band in log-odds, as seen from the mean of all games."""
    bands = simulation.world.bands
    if band is None:
        return 0.0
    if band not in bands:
        msg = f"band must be one of {', '.join(bands)}, got {band!r}"
        raise SettingError(msg)
    return float(simulation.play.band_skill[bands.index(band)])


def _fraction_seen(simulation: Simulation) -> Numbers:
    """Fraction of games in which a copy in the deck comes to hand, by archetypes' speeds."""
    games, seen = simulation.play.deck.games.sum(axis=2), simulation.truth.seen
    overall = games.sum(axis=0) @ seen / games.sum()
    return _ratio(games @ seen, games.sum(axis=1), overall)


def true_records(simulation: Simulation, measure: Measure = "held") -> Numbers:
    """Return each card's win rate without the luck of the games, NaN where none was played."""
    record = simulation.play.record(measure)
    games, expected = record.games.sum(axis=(1, 2)), record.expected.sum(axis=(1, 2))
    return _ratio(expected, games, np.nan)


def _ratio(part: Numbers | Counts, whole: Counts, otherwise: float) -> Numbers:
    """Divide, with a stand-in where there is nothing to divide by."""
    ratio = np.full(len(whole), otherwise)
    np.divide(part, whole, out=ratio, where=whole > 0)
    return ratio


def design_effect(simulation: Simulation) -> float:
    """Variance of decks' wins against that of independent games, at least 1.

    Wins are compared with those expected from archetype and skill band, so that only what a
    table by archetype and band leaves unexplained counts as clustering.

    Examples
    --------
    >>> 1 <= design_effect(simulate(World(drafts=200), seed=1)) < 1.5
    True
    """
    played, decks = simulation.play, simulation.stratum
    rate = (played.wins.ravel() / np.maximum(played.games.ravel(), 1))[decks]
    games, wins = played.deck_games, played.deck_wins
    surprise = np.sum((wins - games * rate) ** 2)
    return max(1.0, float(surprise / np.sum(games * rate * (1 - rate))))


def card_table(
    simulation: Simulation,
    measure: Measure = "held",
    detail: Sequence[str] = (),
    *,
    usage: bool = True,
    unheld: bool = False,
) -> CardTable:
    """Lay out the counts as a table of cards, as a user would have it.

    Parameters
    ----------
    simulation : Simulation
        A world, played.
    measure : str, optional
        Which games count.
    detail : sequence of str, optional
        ``"archetype"``, ``"skill_band"`` or both: one row for each in which the card was
        drafted (without `usage`: played). By default, one row a card.
    usage : bool, optional
        Whether the table has `mean_pick` (the card's own in every row), `drafted`, `played`.
    unheld : bool, optional
        Whether it has the games in which a copy stayed in the deck.

    Returns
    -------
    CardTable
        Cards in the world's order, with faction and rarity. Every card has at least one row.

    Examples
    --------
    >>> simulation = simulate(World(drafts=100), seed=1)
    >>> len(card_table(simulation))
    240
    >>> table = card_table(simulation, "deck", ["archetype"])
    >>> bool(table.games.sum() == card_table(simulation, "deck").games.sum())
    True
    """
    world, truth = simulation.world, simulation.truth
    drop = tuple(axis for axis, name in enumerate(STRATA, start=1) if name not in detail)
    asked = simulation.drafted if usage else simulation.play.deck.games
    rows = asked.sum(axis=drop, keepdims=True) > 0
    rows[~rows.any(axis=(1, 2)), 0, 0] = True
    card, archetype, band = np.nonzero(rows)

    def column(counts: Counts) -> Counts:
        kept: Counts = counts.sum(axis=drop, keepdims=True)[rows]
        return kept

    columns: dict[str, object] = {
        "faction": [world.homes[home] for home in truth.home[card]],
        "rarity": [world.rarities[place].name for place in world.rarity[card]],
    }
    if "archetype" in detail:
        columns["archetype"] = [world.archetypes[k].name for k in archetype]
    if "skill_band" in detail:
        columns["skill_band"] = [world.bands[b] for b in band]
    if usage:
        columns["mean_pick"] = simulation.mean_pick[card]
        columns |= {"drafted": column(simulation.drafted), "played": column(simulation.played)}
    if unheld:
        rest = _unheld(simulation.play)
        columns |= {"unheld_games": column(rest.games), "unheld_wins": column(rest.wins)}
    record = simulation.play.record(measure)
    return CardTable(
        [truth.card[i] for i in card],
        column(record.games),
        column(record.wins),
        **columns,  # type: ignore[arg-type]
    )


def _unheld(played: Play) -> Record:
    deck, held = played.deck, played.held
    return Record(deck.games - held.games, deck.wins - held.wins, deck.expected - held.expected)
