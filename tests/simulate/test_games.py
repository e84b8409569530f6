from dataclasses import replace

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.simulate.draft import Decks, draft
from winrate_tools.simulate.games import play
from winrate_tools.simulate.truth import draw_truth
from winrate_tools.simulate.world import RARITIES, Rarity, World

SINGLES = (Rarity("common", cards=320, copies=1), RARITIES[3])
WORLD = World(drafts=400, rarities=SINGLES)


@pytest.fixture(scope="module")
def truth():
    return draw_truth(WORLD, np.random.default_rng(1))


@pytest.fixture(scope="module")
def decks(truth):
    return draft(WORLD, truth, np.random.default_rng(2))


@pytest.fixture(scope="module")
def played(truth, decks):
    return play(WORLD, truth, decks, np.random.default_rng(3))


@pytest.mark.parametrize("measure", ["deck", "held", "opening"])
def test_wins_and_chances_stay_within_games(played, measure):
    record = played.record(measure)

    assert record.games.sum() > 0
    assert np.all((record.wins >= 0) & (record.wins <= record.games))
    assert np.all((record.expected >= 0) & (record.expected <= record.games))


def test_opening_games_are_held_games_and_held_games_deck_games(played):
    assert np.all(played.opening.games <= played.held.games)
    assert np.all(played.opening.wins <= played.held.wins)
    assert np.all(played.held.games <= played.deck.games)
    assert np.all(played.held.wins <= played.deck.wins)


def test_every_deck_game_counts_once_for_each_card_of_the_deck(played, decks):
    games = np.zeros((WORLD.cards, 9, 3), dtype=int)
    wins = np.zeros((WORLD.cards, 9, 3), dtype=int)
    for player, cards in enumerate(decks.cards):
        place = (cards, decks.archetype[player], played.band[player])
        np.add.at(games, place, played.deck_games[player])
        np.add.at(wins, place, played.deck_wins[player])

    np.testing.assert_array_equal(played.deck.games, games)
    np.testing.assert_array_equal(played.deck.wins, wins)


def test_strata_add_up_to_all_decks_games(played, decks):
    for k in range(9):
        mine = decks.archetype == k
        assert played.games[k].sum() == played.deck_games[mine].sum()
        assert played.wins[k].sum() == played.deck_wins[mine].sum()


def test_deck_counts_are_deck_size_times_the_strata(played):
    np.testing.assert_array_equal(played.deck.games.sum(axis=0), 22 * played.games)
    np.testing.assert_array_equal(played.deck.wins.sum(axis=0), 22 * played.wins)


def test_the_sample_wins_as_often_as_the_world_says(played):
    assert played.wins.sum() / played.games.sum() == pytest.approx(0.55, abs=0.012)
    assert played.deck.expected.sum() / played.deck.games.sum() == pytest.approx(0.55, abs=1e-9)


def test_decks_play_one_game_and_on_average_five(played):
    assert played.deck_games.min() == 1
    assert played.deck_games.mean() == pytest.approx(5.0, abs=0.15)
    assert played.deck_games.var() == pytest.approx(4.0, rel=0.1)


def test_bands_are_cut_at_the_given_skills(played, decks):
    low, middle, high = (decks.skill[played.band == band] for band in range(3))

    assert low.max() <= -0.6 <= middle.min()
    assert middle.max() <= 0.6 <= high.min()


def test_better_bands_win_more(played):
    rates = played.wins.sum(axis=0) / played.games.sum(axis=0)

    assert np.all(np.diff(rates) > 0.05)


def test_copies_come_to_hand_as_often_as_the_archetype_sees_its_deck(played, truth):
    games = played.deck.games.sum(axis=(0, 2))
    held = played.held.games.sum(axis=(0, 2)) / games
    opening = played.opening.games.sum(axis=(0, 2)) / games

    np.testing.assert_allclose(held, truth.seen, atol=0.02)
    np.testing.assert_allclose(opening, WORLD.opening_share, atol=0.01)


def plain_world(**changes):
    """A world where nothing but what the changes say tells games apart."""
    quiet = {"skill_sd": 0.0, "archetype_sd": 0.0, "deck_sd": 0.0, "tempo_sd": 0.0}
    return replace(WORLD, **(quiet | changes))


def one_card_apart(truth, effect):
    effects = np.zeros(WORLD.cards)
    effects[7] = effect
    return replace(truth, effect=effects, archetype_effect=np.zeros(9), tempo=np.zeros(9))


def test_a_held_card_adds_its_effect_to_the_log_odds_and_nothing_unheld(truth, decks):
    played = play(plain_world(), one_card_apart(truth, 0.8), decks, np.random.default_rng(3))
    held = played.held.expected[7].sum() / played.held.games[7].sum()
    rest = (played.deck.expected[7] - played.held.expected[7]).sum()
    rest /= (played.deck.games[7] - played.held.games[7]).sum()

    assert held == pytest.approx(expit(played.start + 0.8), abs=1e-6)
    assert rest == pytest.approx(expit(played.start), abs=1e-6)


def chance_of_card_7(record, archetype=slice(None), band=slice(None)):
    place = (7, archetype, band)
    return record.expected[place].sum() / record.games[place].sum()


def test_a_held_card_adds_its_slope_times_its_holders_skill(truth, decks):
    steep = replace(one_card_apart(truth, 0.1), slope=2.0 * (np.arange(WORLD.cards) == 7))
    decks = replace(decks, skill=np.where(np.arange(len(decks.skill)) % 3, 1.0, -1.0))
    played = play(plain_world(skill_sd=0.3), steep, decks, np.random.default_rng(3))
    mean = 0.3 * np.average(decks.skill, weights=played.deck_games)

    for band, skill in ((0, -0.3), (2, 0.3)):
        wanted = expit(played.start + skill + 0.1 + 2.0 * (skill - mean))
        assert chance_of_card_7(played.held, band=band) == pytest.approx(wanted, abs=1e-6)


def test_a_held_card_adds_its_extra_in_the_archetype_it_is_meant_for(truth, decks):
    extra = np.zeros((WORLD.cards, 9))
    extra[7] = np.linspace(-0.4, 0.4, 9)
    narrow = replace(one_card_apart(truth, 0.1), extra=extra)
    played = play(plain_world(), narrow, decks, np.random.default_rng(3))
    homes = np.flatnonzero(played.held.games[7].sum(axis=1))

    assert len(homes) >= 3
    for k in homes:
        wanted = expit(played.start + 0.1 + extra[7, k])
        assert chance_of_card_7(played.held, archetype=k) == pytest.approx(wanted, abs=1e-6)


def test_the_skill_of_bands_is_that_of_their_games_about_the_mean_of_all(played, decks):
    games, skill = played.deck_games, WORLD.skill_sd * decks.skill
    mean = games @ skill / games.sum()

    for band in range(3):
        mine = played.band == band
        own = games[mine] @ skill[mine] / games[mine].sum()
        assert played.band_skill[band] == pytest.approx(own - mean)
    assert played.games.sum(axis=0) @ played.band_skill == pytest.approx(0, abs=1e-8)


def test_a_band_without_games_has_no_skill(truth, decks):
    alike = replace(decks, skill=np.zeros(len(decks.skill)))
    played = play(WORLD, truth, alike, np.random.default_rng(3))

    np.testing.assert_array_equal(played.band_skill, [np.nan, 0.0, np.nan])


def test_wins_follow_the_chances(truth, decks):
    played = play(plain_world(), one_card_apart(truth, 0.8), decks, np.random.default_rng(3))
    games, wins = played.held.games[7].sum(), played.held.wins[7].sum()
    error = np.sqrt(games * 0.25)

    assert wins == pytest.approx(played.held.expected[7].sum(), abs=3 * error)
    assert abs(wins - 0.55 * games) > 3 * error


def test_an_archetypes_effect_moves_its_own_games(truth, decks):
    strong = replace(one_card_apart(truth, 0.0), archetype_effect=np.eye(9)[2])
    played = play(plain_world(), strong, decks, np.random.default_rng(3))
    expected = played.deck.expected.sum(axis=(0, 2)) / played.deck.games.sum(axis=(0, 2))

    assert logit(expected[2]) - logit(expected[0]) == pytest.approx(1.0, abs=1e-6)


def test_tempo_pays_in_games_that_see_more_of_the_deck(truth, decks):
    brisk = replace(one_card_apart(truth, 0.0), tempo=np.full(9, 2.0))
    played = play(plain_world(), brisk, decks, np.random.default_rng(3))
    held = played.held.expected.sum() / played.held.games.sum()

    assert held > 0.56


def test_fade_is_one_where_all_games_are_alike(truth, decks, played):
    plain = play(plain_world(), one_card_apart(truth, 0.0), decks, np.random.default_rng(3))

    assert plain.fade == pytest.approx(1.0, abs=1e-9)
    assert 0.85 < played.fade < 0.99


def test_play_needs_nothing_of_how_the_decks_came_about(truth):
    decks = Decks(
        skill=np.zeros(2),
        archetype=np.array([0, 1]),
        picks=np.zeros((2, 42), dtype=np.int16),
        cards=np.arange(44, dtype=np.int16).reshape(2, 22),
    )
    played = play(WORLD, truth, decks, np.random.default_rng(1))

    assert played.games.sum() == played.deck_games.sum()
    assert played.deck.games[44:].sum() == 0
