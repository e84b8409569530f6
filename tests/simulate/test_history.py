from dataclasses import replace

import numpy as np
import pytest
from scipy.special import logit

from winrate_tools.errors import SettingError
from winrate_tools.simulate.draft import draft
from winrate_tools.simulate.games import play
from winrate_tools.simulate.history import (
    card_table,
    design_effect,
    simulate,
    true_effects,
    true_records,
)
from winrate_tools.simulate.random_world import random_world
from winrate_tools.simulate.truth import draw_truth
from winrate_tools.simulate.world import RARITIES, Rarity, World

SINGLES = (Rarity("common", cards=320, copies=1), RARITIES[3])
MEASURES = ("held", "opening", "deck")


@pytest.fixture(scope="module")
def simulation():
    return simulate(World(drafts=1500), seed=1)


def games_of(simulation, measure):
    return simulation.play.record(measure).games.sum(axis=(1, 2))


def test_the_same_seed_plays_the_same_history():
    first, again = (simulate(World(drafts=60), seed=4) for _ in range(2))

    np.testing.assert_array_equal(first.play.held.wins, again.play.held.wins)
    np.testing.assert_array_equal(first.drafted, again.drafted)
    np.testing.assert_array_equal(first.truth.effect, again.truth.effect)


def test_another_seed_plays_another_history():
    first, other = (simulate(World(drafts=60), seed=seed) for seed in (4, 5))

    assert np.any(first.play.held.wins != other.play.held.wins)
    assert np.any(first.truth.effect != other.truth.effect)


def test_a_given_truth_is_used_and_meets_the_same_luck():
    drawn = simulate(World(drafts=60), seed=4)
    given = simulate(World(drafts=60), seed=4, truth=drawn.truth)

    assert given.truth is drawn.truth
    np.testing.assert_array_equal(given.play.held.wins, drawn.play.held.wins)


def test_all_cards_dealt_are_drafted_and_deck_cards_played(simulation):
    world = simulation.world

    assert simulation.drafted.sum() == world.players * 42
    assert simulation.played.sum() == world.players * 22
    assert np.all(simulation.played <= simulation.drafted)


def test_mean_picks_average_to_the_middle_of_the_pack(simulation):
    drafted = simulation.drafted.sum(axis=(1, 2))

    assert np.average(simulation.mean_pick, weights=drafted) == pytest.approx(7.5)
    assert simulation.mean_pick.min() >= 1
    assert simulation.mean_pick.max() <= 14


@pytest.mark.parametrize("measure", MEASURES)
def test_the_average_game_has_a_card_of_no_own_effect(simulation, measure):
    games = games_of(simulation, measure)

    assert games @ true_effects(simulation, measure) == pytest.approx(0, abs=1e-8 * games.sum())


def test_own_effects_when_held_are_the_truth_on_another_scale(simulation):
    effects = true_effects(simulation, "held")
    slope, _ = np.polyfit(simulation.truth.effect, effects, 1)

    assert slope == pytest.approx(simulation.play.fade)
    assert np.corrcoef(simulation.truth.effect, effects)[0, 1] == pytest.approx(1)


def test_own_effects_in_decks_shrink_by_the_fraction_of_games_seen(simulation):
    held, deck = (true_effects(simulation, measure) for measure in ("held", "deck"))
    slope, _ = np.polyfit(held, deck, 1)
    seen = games_of(simulation, "held").sum() / games_of(simulation, "deck").sum()

    assert slope == pytest.approx(seen, rel=0.05)


@pytest.fixture(scope="module")
def interventions():
    """The same decks and luck played again with one card better, for one card after another."""
    world = World(drafts=600, rarities=SINGLES)
    before = simulate(world, seed=7)
    decks = draft(world, before.truth, np.random.default_rng([7, 1]))

    def again(card):
        effect = before.truth.effect.copy()
        effect[card] += 0.1
        truth = replace(before.truth, effect=effect)
        played = play(world, truth, decks, np.random.default_rng([7, 2]))
        return replace(before, truth=truth, play=played)

    return before, {card: again(card) for card in range(5, 320, 40)}


@pytest.mark.parametrize("measure", MEASURES)
def test_own_effects_are_what_a_better_card_changes(interventions, measure):
    before, after = interventions
    moved, promised = [], []
    for card, changed in after.items():
        gain = logit(true_records(changed, measure)) - logit(true_records(before, measure))
        moved.append(gain[card] - (changed.play.start - before.play.start))
        own = true_effects(changed, measure) - true_effects(before, measure)
        promised.append(own[card] - np.median(own))

    assert np.mean(moved) == pytest.approx(np.mean(promised), rel=0.03)
    np.testing.assert_allclose(moved, promised, rtol=0.2)


UNEVEN = World(drafts=600, rarities=SINGLES, slope_sd=0.2, narrow_share=0.2)
BANDS = UNEVEN.bands


@pytest.fixture(scope="module")
def uneven():
    return simulate(UNEVEN, seed=7)


def test_slopes_and_narrow_cards_leave_the_drafts_and_the_shuffling_alone(uneven):
    even = simulate(replace(UNEVEN, slope_sd=0.0, narrow_share=0.0), seed=7)

    np.testing.assert_array_equal(even.drafted, uneven.drafted)
    np.testing.assert_array_equal(even.play.held.games, uneven.play.held.games)
    assert np.any(even.play.held.wins != uneven.play.held.wins)


@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize("band", BANDS)
def test_without_slopes_every_band_has_the_samples_effects(simulation, measure, band):
    np.testing.assert_array_equal(
        true_effects(simulation, measure, band), true_effects(simulation, measure)
    )


@pytest.mark.parametrize("measure", MEASURES)
def test_the_bands_effects_average_to_the_samples(uneven, measure):
    games = uneven.play.games.sum(axis=0)
    by_band = [true_effects(uneven, measure, band) for band in BANDS]
    average = np.average(by_band, axis=0, weights=games)

    np.testing.assert_allclose(average, true_effects(uneven, measure), atol=1e-12)
    for effects in by_band:
        assert games_of(uneven, measure) @ effects == pytest.approx(0, abs=1e-6)


def test_bands_differ_by_slope_times_skill(uneven):
    gap = true_effects(uneven, "held", "expert") - true_effects(uneven, "held", "new")
    skill = np.ptp(uneven.play.band_skill)
    slope, _ = np.polyfit(uneven.truth.slope, gap, 1)

    assert skill > 0.6
    assert slope == pytest.approx(uneven.play.fade * skill)
    assert np.corrcoef(uneven.truth.slope, gap)[0, 1] == pytest.approx(1)


def test_a_band_that_the_world_does_not_know_is_refused(uneven):
    with pytest.raises(
        SettingError, match="band must be one of new, steady, expert, got 'old'"
    ):
        true_effects(uneven, "held", "old")


def replayed(before, **changes):
    """The same decks and luck played again with another truth."""
    decks = draft(before.world, before.truth, np.random.default_rng([7, 1]))
    truth = replace(before.truth, **changes)
    played = play(before.world, truth, decks, np.random.default_rng([7, 2]))
    return replace(before, truth=truth, play=played)


@pytest.fixture(scope="module")
def in_one_archetype(uneven):
    """One card after another made better in the first archetype that it fits."""

    def again(card):
        extra = uneven.truth.extra.copy()
        extra[card, np.argmax(uneven.world.fits[:, uneven.truth.home[card]])] += 0.2
        return replayed(uneven, extra=extra)

    return {card: again(card) for card in range(5, 320, 40)}


@pytest.fixture(scope="module")
def in_good_hands(uneven):
    """One card after another made to depend more on skill."""

    def again(card):
        return replayed(
            uneven, slope=uneven.truth.slope + 0.5 * (np.arange(UNEVEN.cards) == card)
        )

    return {card: again(card) for card in range(5, 320, 40)}


def gains_and_promises(before, after, measure, band=None):
    """What each card's chances gained in log-odds, and what its own effect did."""
    bands = slice(None) if band is None else BANDS.index(band)

    def odds(simulation, card):
        record = simulation.play.record(measure)
        return logit(record.expected[card, :, bands].sum() / record.games[card, :, bands].sum())

    gains, promises = [], []
    for card, changed in after.items():
        start = changed.play.start - before.play.start
        gains.append(odds(changed, card) - odds(before, card) - start)
        own = true_effects(changed, measure, band) - true_effects(before, measure, band)
        promises.append(own[card] - np.median(own))
    return np.array(gains), np.array(promises)


@pytest.mark.parametrize("measure", MEASURES)
def test_extras_count_as_much_as_the_card_is_played_where_it_has_them(
    uneven, in_one_archetype, measure
):
    gains, promises = gains_and_promises(uneven, in_one_archetype, measure)

    assert promises.min() > 0.01
    assert gains.mean() == pytest.approx(promises.mean(), rel=0.05)
    np.testing.assert_allclose(gains, promises, rtol=0.25)


@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize(("band", "sign"), [("new", -1), ("expert", 1)])
def test_slopes_count_in_a_band_by_its_mean_skill(uneven, in_good_hands, measure, band, sign):
    gains, promises = gains_and_promises(uneven, in_good_hands, measure, band)

    assert np.all(sign * promises > 0.05)
    assert gains.mean() == pytest.approx(promises.mean(), rel=0.06)
    np.testing.assert_allclose(gains, promises, rtol=0.25)


def test_a_band_without_games_has_no_effects():
    world = World(drafts=3, skill_cuts=(-9.0, 9.0))
    simulation = simulate(world, seed=1)

    assert np.all(np.isnan(true_effects(simulation, "held", "new")))
    assert np.all(np.isfinite(true_effects(simulation, "held", "steady")))


def test_records_without_luck_are_near_the_records(simulation):
    games = games_of(simulation, "held")
    wins = simulation.play.held.wins.sum(axis=(1, 2))
    surprise = (wins / games - true_records(simulation)) / np.sqrt(0.25 / games)

    assert surprise.std() == pytest.approx(1.0, abs=0.15)


def test_a_card_never_played_has_no_record():
    simulation = simulate(World(drafts=1), seed=1)
    unplayed = games_of(simulation, "deck") == 0

    assert unplayed.any()
    assert np.all(np.isnan(true_records(simulation, "deck")[unplayed]))
    assert np.all(np.isfinite(true_effects(simulation, "deck")))


def test_decks_cluster_more_where_they_differ_more():
    alike = simulate(replace(World(drafts=800), deck_sd=0.0, skill_sd=0.0, effect_sd=0.01), 1)
    varied = simulate(replace(World(drafts=800), deck_sd=0.8), 1)

    assert design_effect(alike) == pytest.approx(1.0, abs=0.05)
    assert design_effect(varied) > 1.4


def test_usage_is_informative_within_rarities(simulation):
    games, world = games_of(simulation, "held"), simulation.world
    ordinary = ~simulation.truth.is_trap
    found = [
        np.corrcoef(simulation.truth.effect[group], np.log(games[group]))[0, 1]
        for rarity in range(4)
        for group in [ordinary & (world.rarity == rarity)]
    ]

    assert 0.25 < np.mean(found) < 0.7


def test_traps_go_early_and_unplayed_cards_late(simulation):
    truth, pick = simulation.truth, simulation.mean_pick
    ordinary = ~truth.is_trap & ~truth.is_unplayed

    assert pick[truth.is_trap].mean() < pick[ordinary].mean() - 1.5
    assert pick[truth.is_unplayed].mean() > pick[ordinary].mean() + 3


def test_unplayed_cards_have_few_games(simulation):
    games, truth = games_of(simulation, "held"), simulation.truth
    ordinary = ~truth.is_trap & ~truth.is_unplayed

    assert np.median(games[truth.is_unplayed]) < np.median(games[ordinary]) / 2


def test_records_mislead_more_than_luck_alone_explains(simulation):
    error = logit(true_records(simulation)) - true_effects(simulation)

    assert 0.04 < error.std() < 0.3


@pytest.mark.parametrize("measure", MEASURES)
def test_tables_without_detail_have_one_row_a_card(simulation, measure):
    table = card_table(simulation, measure)

    assert table.card == simulation.truth.card
    assert table.strata == ()
    np.testing.assert_array_equal(table.games, games_of(simulation, measure))


@pytest.mark.parametrize(
    "detail", [("archetype",), ("skill_band",), ("archetype", "skill_band")]
)
def test_detailed_tables_add_up_to_the_plain_one(simulation, detail):
    plain = card_table(simulation, unheld=True)
    totals = card_table(simulation, detail=detail, unheld=True).totals()

    assert totals.card == plain.card
    for name in ("games", "wins", "unheld_games", "unheld_wins", "drafted", "played"):
        np.testing.assert_array_equal(getattr(totals, name), getattr(plain, name))
    np.testing.assert_allclose(totals.mean_pick, plain.mean_pick)


def test_detailed_tables_name_the_strata_they_are_asked_for(simulation):
    by_band = card_table(simulation, detail=["skill_band"])

    assert by_band.strata == ("skill_band",)
    assert set(by_band.skill_band) == {"new", "steady", "expert"}


def test_rows_hold_the_counts_of_their_own_stratum(simulation):
    table = card_table(simulation, detail=("archetype", "skill_band"))
    row = 1000
    card = simulation.truth.card.index(table.card[row])
    names = [archetype.name for archetype in simulation.world.archetypes]
    place = (
        card,
        names.index(table.archetype[row]),
        simulation.world.bands.index(table.skill_band[row]),
    )

    assert table.games[row] == simulation.play.held.games[place]
    assert table.wins[row] == simulation.play.held.wins[place]
    assert table.drafted[row] == simulation.drafted[place]


def test_held_and_unheld_games_make_deck_games(simulation):
    held = card_table(simulation, "held", unheld=True)
    deck = card_table(simulation, "deck")

    np.testing.assert_array_equal(held.games + held.unheld_games, deck.games)
    np.testing.assert_array_equal(held.wins + held.unheld_wins, deck.wins)


def test_usage_columns_can_be_left_out(simulation):
    table = card_table(simulation, usage=False)

    assert (table.mean_pick, table.drafted, table.played) == (None, None, None)


def test_every_card_has_a_row_even_if_nobody_took_it():
    simulation = simulate(World(drafts=1), seed=1)
    table = card_table(simulation, detail=("archetype",))

    assert (simulation.drafted.sum(axis=(1, 2)) == 0).any()
    assert set(table.card) == set(simulation.truth.card)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_random_worlds_have_own_effects_of_two_to_three_points(seed):
    world = random_world(np.random.default_rng(seed), games=25_000)
    simulation = simulate(world, seed)

    assert 1.7 < 24.75 * true_effects(simulation, "held").std() < 3.3
    assert 0.7 < 24.75 * true_effects(simulation, "deck").std() < 1.5


def test_truth_is_drawn_from_a_stream_of_its_own():
    world = World(drafts=10)

    drawn = draw_truth(world, np.random.default_rng([4, 0]))
    np.testing.assert_array_equal(simulate(world, 4).truth.effect, drawn.effect)
