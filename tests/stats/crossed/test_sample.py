"""A table of cards as a sample."""

import numpy as np
import pytest
from scipy.special import expit, logit

from winrate_tools.errors import FitError, SettingError
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.contrast import contrast
from winrate_tools.stats.cards.skill import USUAL_SLOPE_SD
from winrate_tools.stats.crossed.sample import MOST_GAMES, Sample, sample
from winrate_tools.stats.records.overdispersion import DEFAULT_DESIGN_EFFECT
from winrate_tools.tables import CardTable

UNKNOWN = np.nan
CARDS = ["Ash Vine", "Ash Vine", "Tin Moth", "Tin Moth", "Elm Bell"]
GAMES, WINS = np.array([100, 50, 200, 40, 10]), np.array([60, 20, 110, 10, 4])
HOMES = ["Kites", "Toads", "Kites", "Toads", "Toads"]
BANDS = ["old", "new", "old", "new", "new"]
REST = {"unheld_games": GAMES + 20, "unheld_wins": WINS + 5}


def table(card=CARDS, games=GAMES, wins=WINS, **columns) -> CardTable:
    return CardTable(card, games, wins, **columns)


def sampled(cards: CardTable, **choices) -> Sample:
    return sample(cards, Settings(**{"design_effect": 1.0, **choices}))


@pytest.mark.parametrize("stratum", [{"archetype": HOMES}, {"skill_band": HOMES}])
def test_wins_are_held_against_what_the_strata_win(stratum):
    mean = 204 / 400
    kites, toads = (170 + 20 * mean) / 320, (34 + 20 * mean) / 120

    found = sampled(table(**stratum)).evidence

    assert found.offset == pytest.approx(
        logit([(100 * kites + 50 * toads) / 150, (200 * kites + 40 * toads) / 240, toads])
    )
    assert found.wins / found.games == pytest.approx([80 / 150, 120 / 240, 4 / 10])


def test_by_archetype_and_band_each_pair_is_a_stratum():
    bands = ["old", "new", "new", "new", "old"]
    mean = 204 / 400
    old_kites, new_toads = (60 + 20 * mean) / 120, (30 + 20 * mean) / 110

    found = sampled(table(archetype=HOMES, skill_band=bands)).evidence

    assert found.offset[0] == pytest.approx(logit((100 * old_kites + 50 * new_toads) / 150))


def test_a_card_counts_less_in_a_stratum_that_it_fills():
    found = sampled(table(archetype=HOMES)).evidence

    shared = np.array(
        [
            (100**2 / 300 + 50**2 / 100) / 150,
            (200**2 / 300 + 40**2 / 100) / 240,
            10**2 / 100 / 10,
        ]
    )
    assert found.games == pytest.approx(np.array([150, 240, 10]) / (1 - shared))


def test_a_card_that_fills_its_stratum_is_capped():
    found = sampled(table(archetype=["Kites", "Kites", "Toads", "Toads", "Toads"])).evidence

    assert found.games[0] == pytest.approx(150 / 0.1)


def test_a_card_of_unlabelled_games_is_held_against_the_whole_sample():
    cards = table(archetype=[*HOMES[:4], None])

    found = sampled(cards).evidence

    assert found.offset[2] == pytest.approx(logit(204 / 400))
    assert found.games[2] == pytest.approx(10 / (1 - 10 / 400))


def test_counts_are_divided_by_the_design_effect():
    cards = table(archetype=HOMES)
    one = sampled(cards).evidence

    usual, double = (sampled(cards, design_effect=value) for value in (None, 2.0))

    assert usual.design_effect == DEFAULT_DESIGN_EFFECT
    assert usual.evidence.games == pytest.approx(one.games / DEFAULT_DESIGN_EFFECT)
    assert double.evidence.wins == pytest.approx(one.wins / 2)


@pytest.mark.parametrize("games", [2e7, 1e9])
def test_more_games_than_anybody_needs_are_capped_and_keep_their_rate(games: float):
    found = sampled(table(["a", "b"], [games, 2e7], [0.6 * games, 1e7])).evidence

    assert found.games[0] == pytest.approx(MOST_GAMES)
    assert found.wins[0] / found.games[0] == pytest.approx(0.6)


def test_without_strata_the_level_is_the_samples():
    found = sampled(table())

    assert found.evidence.offset == pytest.approx(np.full(3, logit(204 / 400)))
    assert (found.strata, found.bands, found.homes, found.seen) == ((), {}, None, 1.0)
    assert not found.home.any()
    assert not found.hands.any()


def test_the_usual_rate_of_players_takes_the_place_of_strata():
    rates = [0.6, 0.6, 0.4, 0.4, 0.5]

    found = sampled(table(archetype=HOMES, player_rate=rates), baseline="player_rate")

    assert found.strata == ()
    assert found.evidence.offset[0] - found.evidence.offset[1] == pytest.approx(
        logit(0.6) - logit(0.4)
    )
    assert found.evidence.offset == pytest.approx(found.level.offset)


@pytest.mark.parametrize("baseline", ["sample", "player_rate"])
def test_a_level_of_whole_decks_is_held_against_whole_decks(baseline: str):
    # In hand 55 % are won and in the deck 45 %; no card is better than another.
    cards = table(
        ["a", "b"], [1000, 400], [550, 220], player_rate=[0.5, 0.5],
        unheld_games=[1000, 400], unheld_wins=[450, 180],
    )  # fmt: skip

    found = sampled(cards, baseline=baseline)

    assert found.level.sample_mean == pytest.approx(0.55)
    assert found.evidence.offset == pytest.approx([0, 0], abs=1e-9)
    assert found.evidence.wins / found.evidence.games == pytest.approx([0.5, 0.5])


def test_bands_are_ordered_from_the_weakest():
    found = sampled(table(skill_band=BANDS)).bands

    mean = logit(204 / 400)
    assert list(found) == ["new", "old"]
    assert list(found.values()) == pytest.approx(
        [logit(34.5 / 101) - mean, logit(170.5 / 301) - mean]
    )


def test_bands_that_win_alike_are_ordered_by_name():
    cards = table(["a"] * 3, [100] * 3, [50] * 3, skill_band=["c", "a", "b"])

    assert list(sampled(cards).bands) == ["a", "b", "c"]


def test_the_user_may_order_the_bands():
    cards = table(skill_band=BANDS)
    by_rate, by_user = sampled(cards).bands, sampled(cards, bands=" old,new ").bands

    assert list(by_user) == ["old", "new"]
    assert by_user == by_rate


@pytest.mark.parametrize("order", ["new", "new, older", "new, old, old"])
def test_an_order_of_bands_names_each_of_them_once(order: str):
    with pytest.raises(SettingError, match=r"each skill band once \(new, old\), got "):
        sampled(table(skill_band=BANDS), bands=order)


def test_an_order_of_bands_does_not_matter_where_there_are_none():
    assert sampled(table(), bands="new, old").bands == {}


@pytest.mark.parametrize("columns", [{}, {"skill_band": ["new"] * 5}, {"archetype": HOMES}])
def test_without_two_bands_slopes_are_unknown(columns):
    found = sampled(table(**columns)).slopes

    assert found.mean.tolist() == found.centre.tolist() == [0, 0, 0]
    assert found.variance == pytest.approx(np.full(3, USUAL_SLOPE_SD**2))


def test_the_skill_behind_a_card_is_that_of_its_games():
    cards = table(
        ["a", "a", "b", "b"], [1000] * 4, [600, 400] * 2, skill_band=["old", "new"] * 2
    )
    more = table(
        ["a", "b", "b"], [1000, 500, 500], [600, 300, 200], skill_band=["old", "old", "new"]
    )

    assert sampled(cards).slopes.centre == pytest.approx([0, 0], abs=0.01)
    assert sampled(more).slopes.centre[0] == pytest.approx(sampled(more).bands["old"])


def test_the_record_of_each_home():
    found = sampled(table(archetype=HOMES), design_effect=2.0).homes

    mean = 204 / 400
    kites, toads = (170 + 20 * mean) / 320, (34 + 20 * mean) / 120
    assert found.names == ("Kites", "Toads")
    assert found.games.tolist() == [[100, 50], [200, 40], [0, 10]]
    assert found.surprise[0] == pytest.approx([(60 - 100 * kites) / 2, (20 - 50 * toads) / 2])
    assert found.information[1] == pytest.approx(
        [200 * kites * (1 - kites) / 2, 40 * toads * (1 - toads) / 2]
    )
    assert found.information[2, 0] == found.surprise[2, 0] == 0


def test_bands_of_one_home_are_added_up():
    bands = ["old", "new", "new", "new", "old"]

    found = sampled(table(["a"] * 5, archetype=["Kites"] * 3 + ["Toads"] * 2, skill_band=bands))

    assert found.homes.games.tolist() == [[350, 50]]


def test_factions_are_company_where_archetypes_tell_nothing():
    faction = ["Cog", "Cog", "Wick", "Wick", "Cog"]

    assert sampled(table(faction=faction)).company.names == ("Cog", "Wick")
    assert sampled(table(faction=faction, skill_band=BANDS)).company.names == ("Cog", "Wick")
    assert sampled(table(faction=faction, archetype=HOMES)).company.names == ()


def test_the_contrast_is_that_of_held_and_unheld_games_within_strata():
    found = sampled(table(archetype=HOMES, **REST))

    expected = contrast(GAMES, WINS, GAMES + 20, WINS + 5, [0, 0, 1, 1, 2], [0, 1, 0, 1, 1])
    assert found.contrast.estimate == pytest.approx(expected.estimate)
    assert found.contrast.variance == pytest.approx(expected.variance)
    assert found.seen == pytest.approx(400 / 900)
    assert found.evidence.wins / found.evidence.games == pytest.approx(
        [170 / 340, 250 / 520, 13 / 40]
    )


def test_decks_and_held_games_give_the_same_contrast():
    held = sampled(table(archetype=HOMES, **REST))
    decks = sampled(
        table(games=2 * GAMES + 20, wins=2 * WINS + 5, archetype=HOMES, **REST), measure="deck"
    )

    assert decks.contrast.estimate == pytest.approx(held.contrast.estimate)
    assert decks.seen == pytest.approx(held.seen)
    assert decks.evidence.games == pytest.approx(held.evidence.games)


def test_homes_are_those_of_held_games():
    alone, beside = (sampled(table(archetype=HOMES, **rest)).homes for rest in ({}, REST))

    assert beside.games.tolist() == alone.games.tolist()
    assert beside.surprise == pytest.approx(alone.surprise)
    assert beside.information == pytest.approx(alone.information)


def test_for_whole_decks_homes_are_those_of_all_their_games():
    rest = {"unheld_games": GAMES // 2, "unheld_wins": WINS // 2}
    alone, beside = (
        sampled(table(archetype=HOMES, **more), measure="deck").homes for more in ({}, rest)
    )

    assert beside.games.tolist() == alone.games.tolist()
    assert beside.surprise == pytest.approx(alone.surprise)


def test_slopes_are_those_of_held_games():
    # In hand the cards tell bands apart by a slope; in the deck they do nothing.
    rng = np.random.default_rng(1)
    slope = np.tile(rng.permutation(np.linspace(-1, 1, 20)), 2)
    level = np.repeat([-0.4, 0.4], 20)
    held, rest = (expit(level + slope * level * part) for part in (1, 0))
    cards = table(
        [f"card {i}" for i in range(20)] * 2,
        [50_000] * 40,
        (50_000 * held).round(),
        skill_band=["new"] * 20 + ["old"] * 20,
        unheld_games=[50_000] * 40,
        unheld_wins=(50_000 * rest).round(),
    )

    found = sampled(cards).slopes.mean

    assert np.polyfit(slope[:20], found, 1)[0] == pytest.approx(1, abs=0.05)


def test_an_allowance_of_the_users_own_leaves_the_contrast_out():
    found = sampled(table(archetype=HOMES, **REST), allowance=0.5)

    assert (found.contrast, found.seen) == (None, 1.0)
    assert found.evidence.wins / found.evidence.games == pytest.approx([80 / 150, 0.5, 0.4])


@pytest.mark.parametrize("columns", [{}, {"archetype": [*HOMES, "Toads"]}])
def test_cards_of_unknown_results_at_the_end_have_a_place(columns):
    rest = {name: [*column, 30] for name, column in REST.items()}

    found = sampled(
        table([*CARDS, "Fog Lamp"], [*GAMES, 30], [*WINS, UNKNOWN], **columns, **rest)
    )

    assert found.evidence.games[3] == found.evidence.wins[3] == 0
    assert np.isfinite(found.evidence.offset).all()
    assert np.isnan(found.contrast.estimate).tolist() == [False, False, False, True]
    assert np.isnan(found.contrast.variance[3])
    assert len(found.slopes.mean) == len(found.home) == len(found.usage.score) == 4
    assert found.homes is None or found.homes.games[3].tolist() == [0, 0]


def test_says_so_if_no_card_has_a_known_result():
    with pytest.raises(FitError, match="no card has a game with a known result"):
        sampled(table(["a", "b"], [10, 0], [UNKNOWN, 0], archetype=["Kites", "Toads"]))
