"""What must happen to the numbers when the table or the question changes, and what must not."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import expit

from winrate_tools.ranking import Ranking, rank
from winrate_tools.settings import Settings
from winrate_tools.stats.cards.logit_normal import Evidence, posterior
from winrate_tools.stats.cards.strength import strength
from winrate_tools.tables import CardTable

CARDS = 60
COUNTED = ["games", "wins"]
DRAWN = ["rank_low", "rank_high"]
"""Read off draws that go to the cards in the order of the table."""
WORDS = ["verdict", "reasons", "faction", "rarity"]
MEASURED = ["win_rate", "estimate", "low", "high", "chance_below"]


def pool(*, detailed: bool = False) -> CardTable:
    """Cards of three factions; some without games, some alike, some traps."""
    rng = np.random.default_rng(8)
    rows = CARDS * (6 if detailed else 1)
    games = rng.integers(300, 4000, rows) * (rng.random(rows) > 0.05)
    place = np.arange(rows)
    odds = 0.1 + np.tile(rng.normal(0, 0.15, CARDS), rows // CARDS)
    odds += 0.2 * (place // CARDS % 2) if detailed else 0.0
    strata = {
        "archetype": [f"plan {i // CARDS % 3}" for i in place],
        "skill_band": ["new" if i // CARDS % 2 else "old" for i in place],
    }
    return CardTable(
        [f"card {i % CARDS}" for i in place],
        games,
        rng.binomial(games, expit(odds)),
        faction=[("Cog", "Wick", "Petal")[i % CARDS % 3] for i in place],
        rarity=[("common", "rare")[i % CARDS // 40] for i in place],
        **(strata if detailed else {}),
    )


COLUMNS = ("faction", "rarity", "archetype", "skill_band")


def rebuilt(cards: CardTable, order: list[int], games, wins, name=str) -> CardTable:
    labels = {each: getattr(cards, each) for each in COLUMNS}
    return CardTable(
        [name(cards.card[i]) for i in order],
        games,
        wins,
        **{key: [said[i] for i in order] for key, said in labels.items() if said is not None},
    )


def shuffled(cards: CardTable) -> CardTable:
    order = np.random.default_rng(4).permutation(len(cards)).tolist()
    return rebuilt(cards, order, cards.games[order], cards.wins[order])


def renamed(cards: CardTable) -> CardTable:
    order = list(range(len(cards)))
    return rebuilt(cards, order, cards.games, cards.wins, lambda card: f"Ünlike {card}")


def split(cards: CardTable) -> CardTable:
    """Every row in three, of which one may be empty."""
    order = list(range(len(cards))) * 3
    parts = [np.floor(cards.wins / 3), np.floor(cards.wins / 4)]
    lost = [np.zeros(len(cards)), np.floor((cards.games - cards.wins) / 2)]
    wins = np.concatenate([*parts, cards.wins - sum(parts)])
    losses = np.concatenate([*lost, cards.games - cards.wins - sum(lost)])
    return rebuilt(cards, order, wins + losses, wins)


def judged(ranking: Ranking):
    frame = ranking.frame
    return frame.assign(card=frame.card.str.removeprefix("Ünlike ")).set_index("card")


@pytest.mark.parametrize("detailed", [False, True], ids=["totals", "strata"])
@pytest.mark.parametrize("change", [shuffled, renamed, split])
def test_the_same_games_told_otherwise_are_judged_the_same(change, detailed: bool):
    cards = pool(detailed=detailed)

    plain, other = judged(rank(cards)), judged(rank(change(cards)))

    other = other.loc[plain.index]
    assert other[COUNTED].equals(plain[COUNTED])
    assert other[WORDS].equals(plain[WORDS])
    assert other[DRAWN].equals(plain[DRAWN])
    assert other.chance_worst.equals(plain.chance_worst)
    assert np.allclose(other[MEASURED], plain[MEASURED], rtol=0, atol=2e-7, equal_nan=True)
    assert np.allclose(
        other["games_needed"].astype(float),
        plain["games_needed"].astype(float),
        rtol=1e-4,
        atol=1,
        equal_nan=True,
    )


# Wins out of games under a normal prior on the log-odds: log marginal likelihood over the best
# that a rate could reach, posterior mean and standard deviation. Worked out by quadrature in
# 50-digit arithmetic; offset, prior mean and prior standard deviation stand before them.
TO_MANY_DIGITS = [
    ((0, 1, 0.0, 0.0, 0.5), (-0.69314718055994531, -0.11802221121993983, 0.48587113276953994)),
    ((40, 40, -0.2, 0.0, 0.3), (-20.636018307118578, 1.070401126373916, 0.22724238605033055)),
    ((230, 400, 0.0, -0.1, 0.15),
     (-3.0628399292248743, 0.17745571031985457, 0.083480982149271179)),
    ((52_000, 100_000, 0.0, 0.0, 0.15),
     (-3.3084058376921512, 0.079901232242554164, 0.0063240068739156817)),
    ((520_000_000, 1_000_000_000, 0.05, 0.0, 0.15),
     (-7.7906221817571138, 0.030042702404180566, 6.3296204832361033e-5)),
    ((0, 1_000_000_000, 0.0, 0.0, 0.3),
     (-1521.2039641100065, -15.572528888001405, 0.073781491597315804)),
    ((1_000_000_000, 1_000_000_000, 0.0, 0.0, 0.3),
     (-1521.2039641100065, 15.572528888001405, 0.073781491597315804)),
]  # fmt: skip


@pytest.mark.parametrize(("given_numbers", "known"), TO_MANY_DIGITS, ids=str)
def test_posteriors_agree_with_50_digit_arithmetic(given_numbers, known):
    wins, games, offset, mean, sd = given_numbers
    evidence = Evidence(*np.array([[wins], [games], [offset]], dtype=float))

    found = posterior(evidence, mean, sd, nodes=61)

    # The level of the likelihood at a thousand million games is rounded at about 1e-6.
    assert found.log_marginal[0] == pytest.approx(known[0], rel=1e-11, abs=2e-15 * games)
    assert found.mean[0] == pytest.approx(known[1], rel=1e-10)
    assert found.sd[0] == pytest.approx(known[2], rel=1e-8)


def of_one(wins: float, games: float) -> Evidence:
    return Evidence(*np.array([[wins], [games], [0.1]], dtype=float))


@pytest.mark.parametrize("detailed", [False, True], ids=["totals", "strata"])
@pytest.mark.parametrize("card", [0, 13, 27, 44])
def test_one_more_win_never_lowers_a_card_or_brings_it_nearer_to_a_cut(
    card: int, detailed: bool
):
    cards, line = pool(detailed=detailed), -0.08
    row = next(i for i in range(card, len(cards), CARDS) if cards.games[i] > cards.wins[i] + 40)
    centres, chances = [], []
    for more in (0, 1, 2, 5, 10, 20, 40):
        wins = cards.wins.copy()
        wins[row] += more
        order = list(range(len(cards)))
        own = strength(rebuilt(cards, order, cards.games, wins)).own()
        centres.append(own.centre[card])
        chances.append(own.below(line)[card])

    assert np.all(np.diff(centres) > 0)
    assert np.all(np.diff(chances) < 0)


def test_a_higher_line_never_lowers_a_chance():
    frames = [
        judged(rank(pool(), baseline=baseline)).sort_index()
        for baseline in (0.45, 0.5, 0.52, 0.55, 0.6)
    ]

    chances = np.array([frame.chance_below for frame in frames])
    assert np.all(np.diff(chances, axis=0) >= 0)
    assert np.all(chances[-1] > chances[0])
    for lower, higher in pairwise(frames):
        assert set(lower.index[lower.verdict == "cut"]) <= set(
            higher.index[higher.verdict == "cut"]
        )
        assert set(higher.index[higher.verdict == "keep"]) <= set(
            lower.index[lower.verdict == "keep"]
        )


def test_a_surer_user_never_gets_more_verdicts_or_narrower_ranges():
    frames = [
        judged(rank(pool(), sure=sure)).sort_index() for sure in (0.6, 0.75, 0.9, 0.95, 0.99)
    ]

    for verdict in ("cut", "keep"):
        given_to = [set(frame.index[frame.verdict == verdict]) for frame in frames]
        assert all(surer <= less_sure for less_sure, surer in pairwise(given_to))
        assert len(given_to[-1]) < len(given_to[0])
    low, high = (np.array([frame[end] for frame in frames]) for end in ("low", "high"))
    assert np.all(np.diff(low, axis=0) < 0)
    assert np.all(np.diff(high, axis=0) > 0)
    assert np.array_equal(frames[0].estimate, frames[-1].estimate)


@given(
    games=st.integers(1, 100_000),
    rate=st.floats(0, 1),
    factor=st.floats(1, 50),
    mean=st.floats(-1, 1),
    sd=st.floats(0.01, 1),
)
def test_more_games_at_one_rate_never_widen_what_is_known_of_a_record(
    games, rate, factor, mean, sd
):
    """With the prior held: a prior learnt from the same games may itself become wider."""
    few = posterior(of_one(rate * games, games), mean, sd, nodes=31)
    many = posterior(of_one(rate * games * factor, games * factor), mean, sd, nodes=31)

    assert many.sd[0] <= few.sd[0] * (1 + 1e-6)


@pytest.mark.parametrize("factor", [2, 4, 20])
def test_more_games_at_the_same_rates_narrow_the_ranges_of_cards_that_had_some(factor: int):
    """On the whole: one card's range may grow with the spread that the pool teaches."""
    cards = pool()
    more = rebuilt(cards, list(range(CARDS)), factor * cards.games, factor * cards.wins)
    few, many = (strength(each, Settings(allowance=1.0)).own() for each in (cards, more))

    some = cards.games > 0
    assert many.scale[some].mean() < few.scale[some].mean()
    assert (many.scale[some] < few.scale[some]).mean() > 0.9
