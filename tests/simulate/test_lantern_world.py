import numpy as np
import pytest

from winrate_tools.simulate.history import true_records
from winrate_tools.simulate.lantern_names import TRADES
from winrate_tools.simulate.lantern_world import (
    AGAINST_THE_GRAIN,
    ARCHETYPES,
    FAILING,
    LINE,
    TOO_STRONG,
    WORLD,
    lantern_fair,
)

NAMES = [archetype.name for archetype in ARCHETYPES]


@pytest.fixture(scope="module")
def fair():
    return lantern_fair()


@pytest.fixture(scope="module")
def ordinary(fair):
    return ~fair.simulation.truth.is_trap & ~fair.simulation.truth.is_unplayed


def of_pair(fair, name):
    """Ordinary cards that only one archetype can play."""
    truth = fair.simulation.truth
    own = truth.home == len(TRADES) + NAMES.index(name)
    return own & ~truth.is_trap & ~truth.is_unplayed


def held_games(fair):
    return fair.simulation.play.held.games.sum(axis=(1, 2))


def test_the_fair_has_240_cards_and_about_120_thousand_games(fair):
    assert len(set(fair.simulation.truth.card)) == 240
    assert fair.simulation.play.games.sum() == pytest.approx(120_000, rel=0.01)


def test_the_fair_is_held_once_only():
    assert lantern_fair() is lantern_fair()


def test_the_failing_archetype_wins_least_and_is_itself_the_reason(fair):
    play = fair.simulation.play
    rates = play.wins.sum(axis=1) / play.games.sum(axis=1)

    assert NAMES[int(np.argmin(rates))] == FAILING
    assert NAMES[int(np.argmin(fair.simulation.truth.archetype_effect))] == FAILING


def test_the_strong_archetype_wins_most_and_is_itself_the_reason(fair):
    play = fair.simulation.play
    rates = play.wins.sum(axis=1) / play.games.sum(axis=1)

    assert NAMES[int(np.argmax(rates))] == TOO_STRONG
    assert NAMES[int(np.argmax(fair.simulation.truth.archetype_effect))] == TOO_STRONG


def test_every_archetype_is_played(fair):
    games = fair.simulation.play.games.sum(axis=1)

    assert games.min() > 0.04 * games.sum()


def test_traps_are_taken_early_and_are_weak(fair, ordinary):
    traps = fair.simulation.truth.is_trap
    pick = fair.simulation.mean_pick

    assert traps.sum() == 10
    assert np.all(fair.points[traps] < -2)
    assert np.median(pick[traps]) < np.quantile(pick[ordinary], 0.35)


def test_unplayed_cards_are_taken_last_and_hardly_played(fair, ordinary):
    unplayed, games = fair.simulation.truth.is_unplayed, held_games(fair)

    assert unplayed.sum() == 12
    assert fair.simulation.mean_pick[unplayed].min() > 11
    assert np.median(games[unplayed]) < np.median(games[ordinary]) / 4


def test_weak_cards_of_the_strong_archetype_look_fine(fair):
    carried = of_pair(fair, TOO_STRONG)
    record = true_records(fair.simulation)
    played = fair.simulation.play.held
    baseline = played.wins.sum() / played.games.sum()

    assert carried.sum() >= 3
    assert np.all(fair.points[carried] < -2)
    assert np.all(record[carried] > baseline - 0.02)
    assert np.all(fair.carried_up[carried])


def test_good_cards_of_the_failing_archetype_look_weak(fair):
    dragged = of_pair(fair, FAILING)
    played = fair.simulation.play.held
    baseline = played.wins.sum() / played.games.sum()

    assert dragged.sum() >= 3
    assert np.all(fair.points[dragged] > 1)
    assert np.mean(true_records(fair.simulation)[dragged]) < baseline - 0.01
    assert np.any(fair.carried_down[dragged])


def test_no_card_is_carried_both_ways(fair):
    assert fair.carried_up.any()
    assert fair.carried_down.any()
    assert not np.any(fair.carried_up & fair.carried_down)
    assert np.all(fair.points[fair.carried_up] < -2)
    assert np.all(fair.points[fair.carried_down] > -2)


def test_carried_cards_have_records_on_the_other_side_of_the_line(fair):
    held, record = fair.simulation.play.held, true_records(fair.simulation)
    line = held.expected.sum() / held.games.sum() + LINE

    assert record[fair.carried_up].min() > line
    assert record[fair.carried_down].max() < line


def test_cards_against_the_grain_have_about_the_effect_set(fair):
    effect = fair.simulation.truth.effect

    for name in (TOO_STRONG, FAILING):
        ratio = effect[of_pair(fair, name)] / AGAINST_THE_GRAIN[name]
        assert np.all((ratio >= 0.9) & (ratio <= 1.2))


def test_points_are_the_mean_gain_over_all_games(fair):
    games = held_games(fair)

    assert games @ fair.points / games.sum() == pytest.approx(0, abs=0.05)
    assert 2 < fair.points.std() < 3


def test_some_cards_are_clear_and_some_are_not(fair):
    games = held_games(fair)
    error = 50 / np.sqrt(games)
    clear = np.abs(fair.points + 2) > 2 * error

    assert 60 < clear.sum() < 200


def test_every_lantern_and_no_other_card_is_called_one(fair):
    special = WORLD.rarity == 3
    called = np.array([name.endswith(" Lantern") for name in fair.simulation.truth.card])

    np.testing.assert_array_equal(called, special)
    assert {fair.role[i] for i in np.flatnonzero(special)} == {"lantern"}
