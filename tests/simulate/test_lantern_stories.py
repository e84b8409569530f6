import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.simulate.history import true_effects
from winrate_tools.simulate.lantern_stories import FLATTERED, NARROW, NEWCOMER_TRAPS
from winrate_tools.simulate.lantern_world import ARCHETYPES, WORLD, lantern_fair

NAMES = [archetype.name for archetype in ARCHETYPES]
NEW, EXPERT = 0, 2


@pytest.fixture(scope="module")
def fair():
    return lantern_fair()


@pytest.fixture(scope="module")
def held(fair):
    return fair.simulation.play.held


def place_of(fair, card):
    return fair.simulation.truth.card.index(card)


def ahead(record, card, axis):
    """Points of a card's win rate over that of all cards, by band (1) or archetype (2)."""
    games, wins = record.games.sum(axis=axis), record.wins.sum(axis=axis)
    return 100 * (
        wins[card] / np.maximum(games[card], 1) - wins.sum(axis=0) / games.sum(axis=0)
    )


def points_in_band(fair, band):
    held = fair.simulation.play.held
    baseline = held.expected.sum() / held.games.sum()
    own = true_effects(fair.simulation, "held", band)
    return 100 * (expit(logit(baseline) + own) - baseline)


def test_every_story_is_told_of_cards_of_the_pool_and_of_one_only(fair):
    told = [*NEWCOMER_TRAPS, *FLATTERED, *NARROW]
    odd = fair.simulation.truth.is_trap | fair.simulation.truth.is_unplayed

    assert len(set(told)) == len(told) == 7
    assert not odd[[place_of(fair, card) for card in told]].any()


@pytest.mark.parametrize("card", NEWCOMER_TRAPS)
def test_newcomer_traps_are_weak_in_new_hands_and_fine_with_experts(fair, card):
    i = place_of(fair, card)

    assert -1 < fair.points[i] <= 0
    assert points_in_band(fair, "new")[i] < -4
    assert points_in_band(fair, "expert")[i] > 2


@pytest.mark.parametrize("card", NEWCOMER_TRAPS)
def test_newcomer_traps_lose_with_new_players_and_win_with_experts(fair, held, card):
    by_band = ahead(held, place_of(fair, card), axis=1)

    assert by_band[NEW] < -3
    assert by_band[EXPERT] > 1
    assert by_band[NEW] < by_band[1] < by_band[EXPERT]


@pytest.mark.parametrize("card", NEWCOMER_TRAPS)
def test_newcomer_traps_are_taken_early_and_look_harmless_in_total(fair, held, card):
    i = place_of(fair, card)
    total = held.wins[i].sum() / held.games[i].sum() - held.wins.sum() / held.games.sum()

    assert fair.simulation.mean_pick[i] < 5
    assert 100 * total > -2.5


@pytest.mark.parametrize("card", FLATTERED)
def test_the_flattered_are_average_cards_with_fine_records(fair, held, card):
    i = place_of(fair, card)
    total = held.wins[i].sum() / held.games[i].sum() - held.wins.sum() / held.games.sum()

    assert abs(fair.points[i]) < 0.5
    assert 100 * total > 6
    assert total > 1.3 * ahead(held, i, axis=1).max() / 100


@pytest.mark.parametrize("card", FLATTERED)
def test_the_flattered_are_in_the_hands_of_experts_and_hardly_of_new_players(fair, held, card):
    games, everybody = held.games[place_of(fair, card)].sum(axis=0), held.games.sum(axis=(0, 1))
    share = games / games.sum() / (everybody / everybody.sum())

    assert share[NEW] < 0.35
    assert share[EXPERT] > 2


@pytest.mark.parametrize("card", NARROW)
def test_narrow_cards_are_good_in_one_archetype_and_weak_in_their_others(fair, held, card):
    i = place_of(fair, card)
    by_archetype = ahead(held, i, axis=2)
    fits = np.flatnonzero(WORLD.fits[:, fair.simulation.truth.home[i]])
    best = NAMES.index(NARROW[card][1])

    assert best in fits
    assert by_archetype[best] > 3
    assert np.all(by_archetype[fits[fits != best]] < -2.5)


@pytest.mark.parametrize("card", NARROW)
def test_narrow_cards_are_played_in_all_archetypes_that_they_fit(fair, held, card):
    i = place_of(fair, card)
    fits = WORLD.fits[:, fair.simulation.truth.home[i]]
    games = held.games[i].sum(axis=1)

    assert fits.sum() == 3
    assert games[fits].min() > 0.2 * games.sum()
    assert abs(fair.points[i] - 100 * 0.247 * NARROW[card][0]) < 0.5


def test_no_other_card_depends_on_skill_or_on_the_archetype(fair):
    truth = fair.simulation.truth
    names = np.array(truth.card)

    assert set(names[truth.slope != 0]) == set(NEWCOMER_TRAPS)
    assert set(names[truth.is_narrow]) == set(NARROW)
