from dataclasses import replace

import numpy as np
import pytest

from winrate_tools.simulate.draft import BLOCK, deal, draft
from winrate_tools.simulate.truth import draw_truth
from winrate_tools.simulate.world import World

WORLD = World(drafts=BLOCK + 50)


@pytest.fixture(scope="module")
def truth():
    return draw_truth(WORLD, np.random.default_rng(1))


@pytest.fixture(scope="module")
def decks(truth):
    return draft(WORLD, truth, np.random.default_rng(2))


def copies_by_row(cards, world=WORLD):
    """Count each card in each row, one row at a time."""
    return np.array([np.bincount(row, minlength=world.cards) for row in cards])


def test_no_card_is_dealt_more_often_than_its_copies():
    packs = deal(WORLD, 200, np.random.default_rng(3))
    dealt = copies_by_row(packs.reshape(200, -1))

    assert np.all(dealt <= WORLD.copies)
    assert np.any(dealt == WORLD.copies)


def test_every_ordinary_copy_is_dealt_equally_often():
    packs = deal(WORLD, 2000, np.random.default_rng(3))
    per_copy = np.bincount(packs.ravel(), minlength=WORLD.cards) / WORLD.copies / 2000
    ordinary = per_copy[: 112 + 66 + 34]

    np.testing.assert_allclose(ordinary, 312 / 324, atol=0.02)


def test_each_pack_ends_in_its_special_card_and_holds_no_other():
    packs = deal(WORLD, 50, np.random.default_rng(3))

    assert packs[..., -1].min() >= 212
    assert packs[..., :-1].max() < 212


def test_a_table_takes_exactly_the_cards_that_were_dealt(decks):
    rng = np.random.default_rng(2)
    dealt = deal(WORLD, BLOCK, rng).reshape(BLOCK, -1)
    taken = decks.picks[: BLOCK * WORLD.seats].reshape(BLOCK, -1)

    np.testing.assert_array_equal(np.sort(taken), np.sort(dealt))


def test_first_picks_of_a_pack_come_from_different_packs(decks):
    packs = deal(WORLD, BLOCK, np.random.default_rng(2))
    first = decks.picks[: BLOCK * WORLD.seats, 0].reshape(BLOCK, WORLD.seats, 1)

    assert np.all(np.any(packs[:, 0] == first, axis=-1))


@pytest.mark.parametrize(("pack", "step"), [(0, 1), (1, -1), (2, 1)])
def test_packs_are_passed_to_a_neighbour_the_other_way_each_time(truth, decks, pack, step):
    packs = deal(WORLD, BLOCK, np.random.default_rng(2))
    picks = decks.picks[: BLOCK * WORLD.seats].reshape(BLOCK, WORLD.seats, 3, 14)
    second = picks[:, :, pack, 1, None]
    passed = np.roll(packs[:, pack], step, axis=1)

    assert np.all(np.any(passed == second, axis=-1))


def test_a_deck_is_part_of_its_owners_picks(decks):
    picked, played = copies_by_row(decks.picks), copies_by_row(decks.cards)

    assert np.all(played <= picked)
    assert np.all(played.sum(axis=1) == WORLD.deck_size)


def test_cards_that_do_not_fit_are_played_only_where_too_few_fit(truth, decks):
    fits = WORLD.fits[decks.archetype[:, None], truth.home[decks.cards]]
    fitting_picks = WORLD.fits[decks.archetype[:, None], truth.home[decks.picks]].sum(axis=1)

    np.testing.assert_array_equal(fits.sum(axis=1), np.minimum(fitting_picks, WORLD.deck_size))
    assert fits.mean() > 0.95


def test_cards_that_look_strong_go_early(truth, decks):
    place = np.tile(np.arange(14), 3)
    totals = np.bincount(decks.picks.ravel(), np.tile(place, len(decks.picks)), WORLD.cards)
    mean_pick = totals / np.bincount(decks.picks.ravel(), minlength=WORLD.cards)

    assert np.corrcoef(mean_pick, truth.perceived)[0, 1] < -0.8


def test_players_without_noise_or_taste_take_the_card_that_looks_best(truth):
    world = replace(WORLD, drafts=20, noise=0.0, insight=0.0, commitment=0.0)
    plain = replace(truth, lean=np.zeros(world.cards))
    picks = draft(world, plain, np.random.default_rng(4)).picks
    packs = deal(world, 20, np.random.default_rng(4))
    best = np.max(plain.perceived[packs[:, 0]], axis=-1)

    np.testing.assert_array_equal(plain.perceived[picks[:, 0]], best.ravel())


def test_committed_drafters_play_more_fitting_cards_than_uncommitted_ones(truth):
    def share(commitment):
        world = replace(WORLD, drafts=50, commitment=commitment)
        decks = draft(world, truth, np.random.default_rng(4))
        return world.fits[decks.archetype[:, None], truth.home[decks.picks]].mean()

    assert share(2.5) > share(0.0) + 0.1


def test_better_players_choose_better_cards(truth, decks):
    strength = truth.effect[decks.cards].sum(axis=1)

    assert np.corrcoef(strength, decks.skill)[0, 1] > 0.1


def test_more_appealing_archetypes_are_drafted_more(truth):
    liked = replace(WORLD.archetypes[0], appeal=8.0)
    world = replace(WORLD, drafts=50, archetypes=(liked, *WORLD.archetypes[1:]))
    before = draft(replace(WORLD, drafts=50), truth, np.random.default_rng(4)).archetype
    after = draft(world, truth, np.random.default_rng(4)).archetype

    assert np.mean(after == 0) > np.mean(before == 0) + 0.1


def test_archetypes_that_better_players_lean_to_are_played_by_better_players(truth):
    world = replace(WORLD, drafts=100)
    leaning = replace(truth, archetype_lean=3.0 * np.eye(9)[4])
    even = replace(truth, archetype_lean=np.zeros(9))
    leant, plain = (draft(world, held, np.random.default_rng(4)) for held in (leaning, even))

    assert leant.skill[leant.archetype == 4].mean() > 0.3
    assert abs(plain.skill[plain.archetype == 4].mean()) < 0.3


def test_each_deck_is_the_best_that_its_owners_picks_allow(truth):
    world = replace(WORLD, drafts=20, noise=0.0, insight=0.0, deck_size=10)
    plain = replace(truth, lean=np.zeros(world.cards))
    decks = draft(world, plain, np.random.default_rng(4))
    worth = np.maximum(plain.perceived + 2, 0)

    def best(picks, archetype):
        fitting = [worth[card] for card in picks if world.fits[archetype, plain.home[card]]]
        return sum(sorted(fitting, reverse=True)[: world.deck_size])

    wanted = [max(range(9), key=lambda k: best(picks, k)) for picks in decks.picks]
    assert decks.archetype.tolist() == wanted
