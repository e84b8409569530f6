"""Why a card got its verdict."""

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.reasons import Signs, reasons, signs, unplayed
from winrate_tools.settings import Settings
from winrate_tools.stats.strength import strength
from winrate_tools.tables import CardTable

AS_RECORDED = Settings(allowance=1.0, design_effect=1.0)
UNKNOWN = np.nan


def table(games, wins=None, **columns) -> CardTable:
    wins = np.zeros(len(games)) if wins is None else wins
    return CardTable([f"card {i}" for i in range(len(games))], games, wins, **columns)


def sign(**raised: bool) -> Signs:
    return Signs(*(np.array([False, raised.get(name, False)]) for name in Signs._fields))


@pytest.mark.parametrize(
    ("raised", "verdict", "chance", "settles", "expected"),
    [
        ({}, "keep", 0.02, True, ()),
        ({}, "cut", 0.95, True, ("weak",)),
        ({}, "more games", 0.4, True, ("few games",)),
        ({}, "more games", 0.4, False, ("on the line",)),
        ({"liked": True, "surprising": True}, "cut", 0.95, True, ("weak", "trap")),
        ({"liked": True, "surprising": True}, "more games", 0.5, True, ("trap", "few games")),
        ({"liked": True, "surprising": True}, "more games", 0.49, True, ("few games",)),
        ({"liked": True}, "cut", 0.95, True, ("weak",)),
        ({"surprising": True}, "cut", 0.95, True, ("weak",)),
        ({"unplayed": True}, "keep", 0.02, True, ("unplayed",)),
        ({"weak_home": True}, "keep", 0.1, True, ("weak home",)),
        ({"weak_hands": True}, "keep", 0.1, True, ("weak hands",)),
        ({"narrow": True}, "keep", 0.02, True, ("narrow",)),
        ({"newcomer_trap": True}, "cut", 0.95, True, ("weak", "newcomer trap")),
        ({"weak_hands": True, "narrow": True}, "keep", 0.1, True, ("narrow", "weak hands")),
        (
            {"liked": True, "surprising": True, "weak_home": True, "unplayed": True},
            "more games",
            0.6,
            False,
            ("trap", "weak home", "unplayed", "on the line"),
        ),
    ],
)
def test_every_reason_that_applies_is_named(raised, verdict, chance, settles, expected):
    assert reasons(sign(**raised), 1, verdict, chance, settles=settles) == expected


def test_reasons_are_read_at_the_cards_own_place():
    raised = sign(unplayed=True)

    assert reasons(raised, 0, "keep", 0.0, settles=True) == ()


def test_a_card_is_unplayed_if_few_of_its_drafted_copies_are_played():
    # The pool plays 6 in 10; 2 in 10 is under half of that, and nearly 4 in 10 is not.
    drafted = np.full(12, 300)
    played = np.array([210] * 9 + [225, 60, 115])

    found = unplayed(table([500] * 12, drafted=drafted, played=played))

    assert np.flatnonzero(found).tolist() == [10]


def test_a_few_copies_are_not_enough_to_call_a_card_unplayed():
    drafted, played = np.array([100] * 11 + [6]), np.array([70] * 6 + [90, 50, 80, 60, 10, 0])

    found = unplayed(table([500] * 12, drafted=drafted, played=played))

    assert np.flatnonzero(found).tolist() == [10]


def test_copies_that_nobody_counted_say_nothing():
    drafted = np.array([100.0] * 8 + [100, 0, UNKNOWN, UNKNOWN])
    played = np.array([70.0] * 5 + [90, 50, 80, 5, 0, UNKNOWN, UNKNOWN])

    found = unplayed(table([500] * 11 + [0], drafted=drafted, played=played))

    assert np.flatnonzero(found).tolist() == [8, 11]


def test_a_card_that_nobody_drafted_is_not_judged_by_the_others():
    # All others but one are drafted and never played.
    cards = table([500] * 21, drafted=[100] * 20 + [0], played=[0] * 19 + [100, 0])

    assert unplayed(cards).tolist() == [True] * 19 + [False, False]


def test_if_every_copy_is_played_no_card_is_unplayed():
    found = unplayed(table([500, 1], drafted=[10, 10], played=[10, 10]))

    assert not found.any()


def test_by_games_each_rarity_has_its_own_usual():
    games = [400, 380, 420, 99, 100, 40, 38, 42, 9, 11]
    rarity = ["common"] * 5 + ["rare"] * 5

    found = unplayed(table(games, rarity=rarity))

    # A quarter of the medians 380 and 38.
    assert np.flatnonzero(found).tolist() == [8]
    assert np.flatnonzero(
        unplayed(table([*games[:3], 94, 96], rarity=rarity[:5]))
    ).tolist() == [3]


def test_without_rarities_the_whole_pool_is_one():
    assert unplayed(table([400, 380, 420, 90])).tolist() == [False, False, False, True]


def test_unknown_games_are_not_unplayed():
    cards = table([400, UNKNOWN, 0], [200, UNKNOWN, 0], rarity=["common", "rare", "common"])

    assert unplayed(cards).tolist() == [False, False, True]


def test_copies_of_which_none_is_known_leave_it_to_the_games():
    cards = table([400, 390, 20], drafted=[UNKNOWN] * 3, played=[UNKNOWN] * 3)

    assert unplayed(cards).tolist() == [False, False, True]


def trap_pool(weak: float = -0.4) -> CardTable:
    """Early picks win more, but for the very first one."""
    rng = np.random.default_rng(6)
    pick = np.linspace(1, 12, 60)
    effect = 0.3 * (6.5 - pick) / 5.5 + rng.normal(0, 0.05, size=60)
    effect[0] = weak
    return table([3000] * 60, rng.binomial(3000, expit(effect)), mean_pick=pick)


def test_the_liked_are_the_two_fifths_that_drafters_treat_best():
    cards = trap_pool()

    found = signs(cards, strength(cards, AS_RECORDED), -0.08)

    assert np.flatnonzero(found.liked).tolist() == list(range(24))


def test_without_usage_nobody_is_liked():
    cards = table([50] * 3, [20, 25, 30])

    assert not signs(cards, strength(cards, AS_RECORDED), -0.08).liked.any()


def test_a_card_of_unknown_usage_is_not_liked():
    # Most of the known lie below the mean, where an unknown card is put.
    cards = table([50] * 20 + [0], [25] * 20 + [0], mean_pick=[1.0, *[9.0] * 19, UNKNOWN])

    found = signs(cards, strength(cards, AS_RECORDED), -0.08)

    assert found.liked.tolist() == [True] + [False] * 20


def test_a_trap_is_weaker_than_its_usage_promised():
    cards = trap_pool()

    found = signs(cards, strength(cards, AS_RECORDED), -0.08)

    assert found.surprising[0]
    assert found.surprising.sum() <= 3
    assert not found.surprising[-1]


def test_a_first_pick_that_falls_short_by_less_than_the_margin_is_no_surprise():
    cards = trap_pool(weak=0.25)

    assert not signs(cards, strength(cards, AS_RECORDED), -0.16).surprising[0]


def test_a_sound_card_among_the_weak_has_a_weak_home():
    # The cards of one faction share a loss; its first ten are as good as others on their own.
    rng = np.random.default_rng(4)
    faction = np.repeat(["Cog", "Ferry", "Hearth", "Petal", "Quill", "Wick"], 20)
    company = np.where(faction == "Cog", -0.25, 0.05)
    own = rng.normal(0, 0.06, size=120)
    own[:10], own[10:20] = 0.06, -0.06
    wins = rng.binomial(4000, expit(company + own))
    cards = table([4000] * 120, wins, faction=faction)
    fitted = strength(cards, AS_RECORDED)

    found = signs(cards, fitted, -0.1).weak_home

    assert found[:10].sum() >= 8
    assert not found[20:].any()
    assert np.array_equal(
        found, (fitted.record().below(-0.1) >= 0.5) & (fitted.own().below(-0.1) < 0.5)
    )


def test_without_factions_no_home_is_weak():
    # Half of the record is not the card's own, yet nothing says that it is its home's.
    cards = table([4000] * 40, np.linspace(1700, 2300, 40).round())
    fitted = strength(cards, Settings(allowance=0.3))

    below = (fitted.record().below(-0.1) >= 0.5) & (fitted.own().below(-0.1) < 0.5)
    found = signs(cards, fitted, -0.1)

    assert below.any()
    assert not found.weak_home.any()
