"""Pools at the far ends: whatever can be counted is judged, soberly and within bounds."""

import tracemalloc
from itertools import pairwise
from time import process_time

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.errors import FitError, SettingError
from winrate_tools.jobs.power import power
from winrate_tools.ranking import Ranking, rank
from winrate_tools.stats.cards import grades as module
from winrate_tools.stats.cards.grades import grades
from winrate_tools.tables import CardTable

HUGE = 1_000_000_000


def table(games, wins, **columns) -> CardTable:
    return CardTable([f"card {i}" for i in range(len(games))], games, wins, **columns)


def expect_sober(ranking: Ranking) -> None:
    """Every number is there, in its bounds and in its order."""
    cards = ranking.verdict.cards
    ends = np.array([(c.low, c.estimate, c.high) for c in cards])
    assert np.all(np.diff(ends, axis=1) > 0)
    assert np.all((ends > 0) & (ends < 1))
    assert all(0 <= c.chance_below <= 1 and 0 <= c.chance_worst <= 1 for c in cards)
    assert all(1 <= c.rank_low <= c.rank_high <= len(cards) for c in cards)
    assert all(a.estimate <= b.estimate for a, b in pairwise(cards))
    assert all(c.verdict == "more games" for c in cards if not c.games)
    assert all(c.games_needed is None or c.games_needed >= 0 for c in cards)
    assert 0 <= ranking.verdict.expected_wrong <= len(ranking.cuts) + 1e-9
    assert 0 <= ranking.verdict.real_share <= 1


POOLS = [
    pytest.param(table([1, 1], [0, 1]), {}, id="one game each"),
    pytest.param(
        table([1] + [0] * 39, [1] + [0] * 39), {"baseline": 0.5}, id="one game in all"
    ),
    pytest.param(table([400] * 40, [400] * 40), {}, id="all wins"),
    pytest.param(table([400] * 40, [0] * 40), {"baseline": 0.5}, id="no wins"),
    pytest.param(table([400] * 40, [210] * 40), {}, id="all equal"),
    pytest.param(table([HUGE] * 40, np.linspace(4.5e8, 5.5e8, 40).round()), {}, id="1e9 games"),
    pytest.param(table([HUGE, 1], [HUGE // 2, 1]), {}, id="1e9 games and one"),
    pytest.param(table([HUGE] * 40, [HUGE] * 40), {}, id="1e9 wins"),
    pytest.param(table([HUGE, HUGE], [0, HUGE]), {}, id="1e9 wins and 1e9 losses"),
    pytest.param(table([400], [210]), {"baseline": 0.5}, id="one card"),
    pytest.param(table([1], [0]), {"baseline": 0.5}, id="one card and one game"),
]


@pytest.mark.parametrize("measure", ["held", "deck"])
@pytest.mark.parametrize(("cards", "choices"), POOLS)
def test_a_pool_at_the_far_end_is_judged_soberly(cards: CardTable, choices, measure: str):
    ranking = rank(cards, measure=measure, **choices)

    assert len(ranking.verdict.cards) == len(cards)
    expect_sober(ranking)


BEYOND = table([10**15, 10**15], [5 * 10**14, 6 * 10**14])


@pytest.mark.parametrize(
    ("cards", "choices"),
    [*POOLS, pytest.param(BEYOND, {}, id="more games than can be counted")],
)
def test_games_are_planned_soberly_for_a_pool_at_the_far_end(cards: CardTable, choices):
    needed = power(ranking=rank(cards, **choices), gaps=[0.001, 0.01])

    chances = np.array(needed.found.told)
    below = np.array(needed.found.pool.below)
    assert np.all((chances >= 0) & (chances <= 1))
    assert np.all((below >= 0) & (below <= len(cards)))
    assert all(gap is None or gap < 1 for gap in needed.found.smallest)
    assert "How many games it takes" in [part.title for part in needed.document.sections]


@pytest.mark.parametrize("won", [1, 200, 399, 400])
def test_of_cards_all_alike_none_is_cut_for_lying_below_the_others(won: int):
    ranking = rank(table([400] * 40, [won] * 40), margin=0.0001)

    cards = ranking.verdict.cards
    assert ranking.cuts == ()
    assert {c.group for c in cards} == {1}
    assert cards[0].estimate == pytest.approx(cards[-1].estimate, abs=1e-9)


def test_a_thousand_million_games_leave_the_order_of_the_raw_rates():
    rates = np.random.default_rng(2).uniform(0.4, 0.6, 40)
    games = np.full(40, HUGE)

    ranking = rank(table(games, (games * rates).round()), allowance=1)

    assert [int(c.card[5:]) for c in ranking.verdict.cards] == rates.argsort().tolist()
    assert [c.estimate for c in ranking.verdict.cards] == pytest.approx(
        np.sort(rates), abs=1e-4
    )
    waiting = [c for c in ranking.verdict.cards if c.verdict == "more games"]
    assert all(c.estimate == pytest.approx(ranking.verdict.line, abs=1e-3) for c in waiting)
    assert len(waiting) < 3


def test_one_game_settles_nothing():
    won, lost = (rank(table([1], [wins]), baseline=0.5).verdict.cards[0] for wins in (1, 0))

    assert won.verdict == lost.verdict == "more games"
    assert lost.estimate < 0.5 < won.estimate
    assert won.reasons == lost.reasons == ("few games",)
    assert 0.3 < won.chance_below < lost.chance_below < 0.7


@pytest.mark.parametrize("last", [0, np.nan])
def test_a_table_without_a_win_is_asked_whether_that_is_its_column_of_wins(last: float):
    with pytest.raises(FitError, match="no game of this table was won: are the wins taken"):
        rank(table([400] * 40, [*[0] * 39, last]))


def test_a_table_with_hardly_a_win_has_no_mean_to_lie_below():
    with pytest.raises(SettingError, match=r"margin must be below the baseline \(0\.0101"):
        rank(table([400] * 40, [4, 4, 4, *[4] * 36, 5]))


def test_a_lone_card_is_not_held_against_itself():
    with pytest.raises(FitError, match="only one card has games"):
        rank(table([400], [210]))


def many_archetypes(count: int = 200, cards: int = 80) -> CardTable:
    """Every card in eight of many archetypes, whose games tell them apart."""
    rng = np.random.default_rng(5)
    card, place = np.repeat(np.arange(cards), 8), np.arange(8 * cards)
    home = (7 * place) % count
    level, own = rng.normal(0, 0.2, count), rng.normal(0, 0.1, cards)
    games = rng.integers(50, 900, 8 * cards)
    return CardTable(
        [f"card {i}" for i in card],
        games,
        rng.binomial(games, expit(0.1 + level[home] + own[card])),
        archetype=[f"plan {k}" for k in home],
    )


def test_two_hundred_archetypes_are_judged_beside_their_cards():
    ranking = rank(many_archetypes())

    expect_sober(ranking)
    assert len(ranking.archetypes.archetypes) == 200
    ends = np.array([(a.low, a.estimate, a.high) for a in ranking.archetypes.archetypes])
    assert np.all(np.diff(ends, axis=1) > 0)


def crowd(cards: int) -> CardTable:
    rng = np.random.default_rng(1)
    games = rng.integers(100, 3000, cards)
    return table(games, rng.binomial(games, expit(rng.normal(0.1, 0.15, cards))))


def test_two_thousand_cards_are_judged_soberly():
    ranking = rank(crowd(2000))

    expect_sober(ranking)
    assert 0 < len(ranking.cuts) < 400


@pytest.mark.slow
def test_ten_thousand_cards_are_judged_soberly_within_a_minute():
    start = process_time()

    ranking = rank(crowd(10_000))

    assert process_time() - start < 60
    expect_sober(ranking)


def test_grades_of_ten_thousand_cards_need_no_table_of_pairs(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(module, "FEWEST_DRAWS", 5)
    draws = 0.01 * np.arange(10_000.0) + np.random.default_rng(3).standard_normal((5, 10_000))
    tracemalloc.start()

    graded = grades(draws)

    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 20_000_000
    assert graded.grade.max() > 50
