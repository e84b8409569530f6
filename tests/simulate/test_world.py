import numpy as np
import pytest

from winrate_tools.errors import SettingError
from winrate_tools.simulate.world import PAIRS, Rarity, World


def test_every_faction_is_in_three_of_the_nine_pairs():
    uses = np.bincount(np.array(PAIRS).ravel())

    assert len(set(PAIRS)) == 9
    assert uses.tolist() == [3] * 6


def test_cards_fit_the_archetypes_that_hold_their_faction_and_no_other():
    world = World()
    fits = {home: set(np.flatnonzero(world.fits[:, i])) for i, home in enumerate(world.homes)}

    assert fits["North"] == {0, 5, 6}
    assert fits["North-East"] == {0}
    assert fits["any"] == set(range(9))


def test_a_pool_too_small_for_the_packs_is_refused():
    with pytest.raises(SettingError, match="packs need 312 ordinary cards, got a pool of 10"):
        World(rarities=(Rarity("common", 10, 1), Rarity("special", 24, 1, special=True)))


def test_a_pool_without_cards_for_the_special_slots_is_refused():
    with pytest.raises(SettingError, match="packs need 24 special cards, got a pool of 0"):
        World(rarities=(Rarity("common", 400, 1),))


def test_a_deck_larger_than_its_owners_picks_is_refused():
    with pytest.raises(SettingError, match="deck_size must be at most 42, got 43"):
        World(deck_size=43)


def test_bands_must_be_one_more_than_the_cuts_between_them():
    with pytest.raises(SettingError, match="bands must be one more than skill_cuts, got 2"):
        World(bands=("low", "high"))


@pytest.mark.parametrize("tails", [2.0, float("nan")])
def test_tails_without_a_spread_are_refused(tails: float):
    with pytest.raises(SettingError, match="tails must be above 2, got"):
        World(tails=tails)
