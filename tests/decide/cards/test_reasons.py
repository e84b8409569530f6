"""Why a card got its verdict."""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.cards.reasons import (
    Signs,
    _drags,
    _newcomer_traps,
    _seen_below,
    reasons,
    signs,
    unplayed,
    waiting,
)
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.strength import strength
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
    assert (
        reasons(
            sign(**raised),
            1,
            verdict,
            chance,
            games=100.0,
            needed=1000 if settles else None,
            is_luck=False,
            is_close=True,
        )
        == expected
    )


@pytest.mark.parametrize(
    ("chance", "games", "needed", "expected"),
    [
        (0.8, 100.0, 2000, "few games"),
        (0.8, 100.0, 2001, "on the line"),
        (0.7, 100.0, None, "on the line"),
        (0.3, 100.0, None, "on the line"),
        (0.71, 100.0, None, "hidden company"),
        (0.29, 100.0, None, "hidden company"),
        (0.8, 0.0, None, "few games"),
        (0.8, float("nan"), None, "few games"),
    ],
)
def test_a_verdict_waits_for_a_reason(chance, games, needed, expected):
    assert waiting(chance, games, needed, is_luck=False, is_close=True) == expected


@pytest.mark.parametrize(
    ("chance", "needed", "is_luck", "is_close", "expected"),
    [
        (0.35, None, True, False, "few games"),
        (0.2, None, True, False, "few games"),
        (0.2, None, True, True, "few games"),
        (0.35, None, True, True, "on the line"),
        (0.35, None, False, False, "hidden company"),
        (0.8, 2001, False, False, "few games"),
        (0.5, 2000, True, True, "few games"),
    ],
)
def test_luck_waits_for_games_and_only_a_narrow_range_lies_on_the_line(
    chance, needed, is_luck, is_close, expected
):
    assert waiting(chance, 100.0, needed, is_luck=is_luck, is_close=is_close) == expected


def test_reasons_are_read_at_the_cards_own_place():
    raised = sign(unplayed=True)

    said = reasons(raised, 0, "keep", 0.0, games=100.0, needed=0, is_luck=False, is_close=False)

    assert said == ()


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


def test_one_drafted_copy_of_each_card_is_asked_and_not_the_games():
    # One copy says too little of any card; by games the last would be called unplayed.
    cards = table([400, 380, 420, 90], drafted=[1] * 4, played=[1, 0, 1, 0])

    assert unplayed(cards).tolist() == [False] * 4


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


def test_a_card_whose_own_record_is_fine_does_not_look_weak():
    # Twenty games say little: its faction's loss is expected of it, though it won 12 of them.
    rng = np.random.default_rng(4)
    faction = np.repeat(["Cog", "Ferry", "Hearth", "Petal", "Quill", "Wick"], 20)
    company = np.where(faction == "Cog", -0.25, 0.05)
    games = np.array([20, 20, *[4000] * 118])
    wins = rng.binomial(games, expit(company + rng.normal(0, 0.06, size=120)))
    wins[:2] = 12, 8
    cards = table(games, wins, faction=faction)
    fitted = strength(cards, AS_RECORDED)

    below = (fitted.record().below(-0.1) >= 0.5) & (fitted.own().below(-0.1) < 0.5)
    found = signs(cards, fitted, -0.1).weak_home

    assert below[:2].all()
    assert found[:2].tolist() == [False, True]


def test_without_factions_no_home_is_weak():
    # Half of the record is not the card's own, yet nothing says that it is its home's.
    cards = table([4000] * 40, np.linspace(1700, 2300, 40).round())
    fitted = strength(cards, Settings(allowance=0.3))

    below = (fitted.record().below(-0.1) >= 0.5) & (fitted.own().below(-0.1) < 0.5)
    found = signs(cards, fitted, -0.1)

    assert below.any()
    assert not found.weak_home.any()


LINE = -0.08


def signs_of(cards: CardTable, line: float = LINE, **choices) -> Signs:
    settings = Settings(**{"design_effect": 1.0, **choices})
    return signs(cards.totals(), strength(cards, settings), line)


def placed(
    own: np.ndarray, level: dict[str, float], games: dict[str, np.ndarray], stratum: str
):
    """A table of cards in places; a card wins there as the place and its own effect say."""
    rows = [
        (f"card {i}", count, round(count * expit(0.1 + level[place] + own[i])), place)
        for place in level
        for i, count in enumerate(games[place])
        if count
    ]
    card, counts, wins, labels = zip(*rows, strict=True)
    order = sorted(range(len(rows)), key=lambda row: int(card[row].split()[1]))
    columns = [[column[row] for row in order] for column in (card, counts, wins, labels)]
    return CardTable(*columns[:3], **{stratum: columns[3]})


def company(stratum: str, *, first: float = 0.1, share: float = 1.0) -> CardTable:
    """Half of the cards have most of their games where players or decks win less."""
    own = np.random.default_rng(2).normal(0, 0.02, 40)
    own -= own.mean()
    own[0] = first
    low = np.where(np.arange(40) < 20, 9000.0 * share, 9000.0 * (1 - share)).round()
    places = {"low": low, "high": 9000 - low}
    return placed(own, {"low": -0.3, "high": 0.3}, places, stratum)


@pytest.mark.parametrize(
    ("stratum", "reason", "other"),
    [("archetype", "weak_home", "weak_hands"), ("skill_band", "weak_hands", "weak_home")],
)
def test_a_sound_card_looks_weak_for_its_archetype_or_its_players(stratum, reason, other):
    found = signs_of(company(stratum), allowance=1.0)

    assert getattr(found, reason)[:20].all()
    assert not getattr(found, reason)[20:].any()
    assert not getattr(found, other).any()


@pytest.mark.parametrize("stratum", ["archetype", "skill_band"])
def test_a_card_that_looks_sound_in_weak_company_has_no_such_excuse(stratum):
    # Its own effect lifts its record above the line all the same.
    found = signs_of(company(stratum, first=0.28), allowance=1.0)

    assert not found.weak_home[0]
    assert not found.weak_hands[0]
    assert found.weak_home[1] or found.weak_hands[1]


@pytest.mark.parametrize("stratum", ["archetype", "skill_band"])
def test_a_card_that_is_weak_itself_has_no_such_excuse(stratum):
    found = signs_of(company(stratum, first=-0.2), allowance=1.0)

    assert not found.weak_home[0]
    assert not found.weak_hands[0]


def skilled(new: float, expert: float) -> CardTable:
    """Forty cards in two bands; the first is worth something else in each."""
    level, own = {"new": -0.3, "expert": 0.3}, np.zeros(40)
    tables = [
        placed(np.concatenate([[first], own[1:]]), {band: level[band]},
               {band: np.full(40, 40_000)}, "skill_band")
        for band, first in (("new", new), ("expert", expert))
    ]  # fmt: skip
    columns = [
        [*getattr(tables[0], name), *getattr(tables[1], name)]
        for name in ("card", "games", "wins", "skill_band")
    ]
    return CardTable(*columns[:3], skill_band=columns[3])


def test_a_newcomer_trap_is_weak_in_the_weakest_hands_only():
    assert signs_of(skilled(-0.25, 0.1), allowance=1.0).newcomer_trap.nonzero()[0].tolist() == [
        0
    ]


@pytest.mark.parametrize(
    ("new", "expert"), [(-0.25, -0.15), (-0.07, 0.1), (0.1, -0.25), (0.0, 0.0)],
    ids=["weak for all", "hardly weak", "weak for experts", "sound"],
)  # fmt: skip
def test_a_card_that_just_misses_is_no_newcomer_trap(new: float, expert: float):
    assert not signs_of(skilled(new, expert), allowance=1.0).newcomer_trap.any()


def test_a_newcomer_trap_is_surely_weak_in_the_weakest_hands():
    cards = skilled(-0.08, 0.1)
    fitted = strength(cards, Settings(allowance=1.0, design_effect=1.0))

    low, high = (
        fitted.own(level=level).below(LINE)[0] for level in fitted.sample.bands.values()
    )
    assert 0.5 < low < 0.8
    assert high < 0.5
    assert not signs(cards.totals(), fitted, LINE).newcomer_trap[0]


@pytest.mark.parametrize(
    ("part", "other", "drags"),
    [
        (-0.02, 0.0, True),
        (-0.02, -0.3, False),
        (-0.04, -0.3, True),
        (0.0, 0.1, False),
        (0.1, 0.2, False),
    ],
)
def test_the_lower_part_of_company_drags_and_so_does_half_a_margin(part, other, drags):
    assert _drags(np.array([part]), np.array([other]), LINE).tolist() == [drags]


def test_without_two_bands_there_is_no_newcomer_trap():
    cards = company("archetype")
    one = CardTable(cards.card, cards.games, cards.wins, skill_band=["new"] * len(cards))

    assert not signs_of(one, allowance=1.0).newcomer_trap.any()


def at_home(*first: float) -> CardTable:
    """Forty cards in three archetypes; the first is worth something else in each."""
    rng = np.random.default_rng(4)
    effect = rng.normal(0, 0.03, (40, 3))
    effect[0] = first
    games = np.full((40, 3), 30_000)
    wins = np.round(games * expit(0.1 + effect))
    card, home = np.nonzero(games)
    return CardTable(
        [f"card {i}" for i in card],
        games[card, home],
        wins[card, home],
        archetype=[("Kites", "Lamps", "Toads")[k] for k in home],
    )


def test_a_narrow_card_is_good_in_one_archetype_and_weak_in_its_others():
    found = signs_of(at_home(0.2, -0.25, -0.25), allowance=1.0)

    assert found.narrow.nonzero()[0].tolist() == [0]


@pytest.mark.parametrize(
    "first",
    [(0.2, 0.2, 0.2), (-0.25, -0.25, -0.25), (0.2, -0.04, -0.04), (-0.07, -0.3, -0.3)],
    ids=["good everywhere", "weak everywhere", "sound elsewhere", "good nowhere"],
)
def test_a_card_that_just_misses_is_not_narrow(first):
    assert not signs_of(at_home(*first), allowance=1.0).narrow[0]


def test_without_archetypes_no_card_is_narrow():
    cards = at_home(0.2, -0.25, -0.25)

    assert not signs_of(cards.totals(), allowance=1.0).narrow.any()


def test_an_average_card_is_not_seen_below_the_line():
    games, wins = np.full(40, 4000), np.full(40, 2000)
    wins[0] = 1700
    fitted = strength(table(games, wins), AS_RECORDED)

    assert _seen_below(fitted, -0.1).nonzero()[0].tolist() == [0]


@pytest.mark.parametrize(
    ("chances", "is_trap"), [((0.9, 0.9, 0.3), True), ((0.9, 0.3, 0.9), False)]
)
def test_of_several_bands_the_weakest_and_the_strongest_count(chances, is_trap):
    levels = (-0.4, 0.0, 0.4)
    below = dict(zip(levels, chances, strict=True))
    fitted = SimpleNamespace(
        sample=SimpleNamespace(
            bands=dict(zip(("new", "usual", "expert"), levels, strict=True))
        ),
        own=lambda level: SimpleNamespace(below=lambda _line: np.array([below[level]])),
    )

    assert _newcomer_traps(fitted, -0.1).tolist() == [is_trap]
