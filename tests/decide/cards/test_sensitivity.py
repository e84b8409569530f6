"""On what assumptions each cut hangs."""

from collections import Counter
from dataclasses import replace
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.special import expit

from winrate_tools.decide.cards.judgement import judge
from winrate_tools.decide.cards.sensitivity import (
    ALLOWANCES,
    _compared,
    _cuts,
    allowance_flips,
    other_flips,
    without_odd_cards,
    without_usage,
)
from winrate_tools.settings import Settings
from winrate_tools.simulate.history import card_table, simulate
from winrate_tools.simulate.world import World
from winrate_tools.stats.cards.hyperparameters import cards_given, learn
from winrate_tools.stats.cards.prior import Prior
from winrate_tools.stats.cards.strength import Strength, strength
from winrate_tools.tables import CardTable

LINE, SURE = -0.08, 0.9
LINES = np.linspace(-0.3, 0.1, 21).tolist()


@cache
def fitted(kind: str = "totals") -> Strength:
    detail = () if kind == "totals" else ("archetype", "skill_band")
    simulation = simulate(World(drafts=1000), seed=3)
    return strength(card_table(simulation, detail=detail, unheld=kind == "unheld"))


def taken_early(cards: int = 80, *, last: int = 40) -> CardTable:
    """Usage tells nearly all; one card is taken late, and has few games that go well."""
    rng = np.random.default_rng(1)
    pick = np.linspace(1, 14, cards)
    games = np.exp(rng.uniform(np.log(60), np.log(6000), cards)).astype(int)
    games[-1] = last
    wins = rng.binomial(games, expit(0.75 - 0.1 * pick))
    wins[-1] = last // 2
    names = [f"card {i}" for i in range(cards)]
    return CardTable(names, games, wins, mean_pick=pick)


def refitted(found: Strength, prior: Prior) -> np.ndarray:
    """Centres of the records, less their company, under another prior, learnt anew."""
    evidence = found.sample.evidence
    hyper = learn(evidence, prior, seed=1)
    cards = cards_given(evidence, prior, hyper.draws)
    own = cards.mean - prior.shared(hyper.draws)
    return np.einsum("h,chn,chn->n", hyper.weight, cards.share, own)


def test_without_usage_estimates_are_about_those_of_a_fit_that_knows_none():
    found = fitted()
    counts = found.sample
    none = np.zeros((240, 0))
    prior = Prior(none, counts.company.member, counts.company.sd, np.zeros(240), False)

    own = without_usage(found)

    with_usage, record = found.own().centre, refitted(found, prior)
    assert np.corrcoef(own.centre, record)[0, 1] > 0.97
    assert np.corrcoef(own.centre, record)[0, 1] > np.corrcoef(with_usage, record)[0, 1]


def test_a_card_called_weak_by_its_usage_alone_is_no_cut_without_it():
    found = strength(taken_early(), Settings(allowance=1.0))

    flips = other_flips(found, LINE, SURE)

    assert found.own().below(LINE)[-1] >= SURE > without_usage(found).below(LINE)[-1]
    assert "without usage" in flips[-1]
    assert flips[40] == ()


def test_what_usage_explained_is_left_for_the_cards_to_differ_by():
    found = strength(taken_early(), Settings(allowance=1.0))

    own = without_usage(found)

    explained = np.var(found.draw_weight @ found.expected[: len(found.draw_weight)])
    games = found.sample.evidence.games[-1]
    assert explained > 0.1
    assert own.scale[-1] == pytest.approx((1 / explained + games / 4) ** -0.5, rel=0.1)


def test_half_a_record_has_half_its_doubt_beside_what_is_left():
    whole, half = (strength(taken_early(), Settings(allowance=share)) for share in (1.0, 0.5))
    draws = len(half.draw_weight)
    by_usage = half.expected[:draws] - half.company[:draws]
    spread = half.between[:draws] + by_usage.var(axis=1, keepdims=True)

    full, part = without_usage(whole).sd, without_usage(half).sd

    left = half.allowance.left * spread
    assert part**2 - left == pytest.approx(0.25 * full**2)


def test_usage_that_tells_nothing_may_be_left_out():
    rng = np.random.default_rng(2)
    games = np.full(100, 2000)
    wins = rng.binomial(games, expit(rng.normal(0, 0.2, 100)))
    cards = CardTable(
        [f"card {i}" for i in range(100)], games, wins, mean_pick=rng.uniform(1, 14, 100)
    )
    found = strength(cards)

    own, off = found.own(), without_usage(found)

    assert off.centre == pytest.approx(own.centre, abs=0.02)
    assert off.scale == pytest.approx(own.scale, rel=0.1)


@pytest.mark.parametrize("kind", ["totals", "unheld"])
def test_without_odd_cards_those_that_lie_far_are_drawn_in_to_their_like(kind: str):
    found = fitted(kind)
    draws, usage = len(found.draw_weight), found.expected - found.company
    usual = without_odd_cards(found)

    like = (found.weight * found.own_share * usage).sum(axis=0)
    oddest = np.argsort(-found.weight[draws:].sum(axis=0))[:8]
    nearer = np.abs(usual.centre - like) < np.abs(found.own().centre - like)
    assert nearer[oddest].sum() >= 7
    assert np.abs(usual.centre - like)[oddest].mean() < 0.9 * (
        np.abs(found.own().centre - like)[oddest].mean()
    )


def test_without_odd_cards_the_second_class_has_no_say():
    found = fitted()
    first = found.weight[: len(found.draw_weight)]

    usual = without_odd_cards(found)

    assert usual.weight == pytest.approx(first / first.sum(axis=0))


def test_odd_cards_on_both_sides_are_drawn_in_from_either():
    rng = np.random.default_rng(4)
    games, pick = np.full(90, 1500), rng.uniform(1, 14, 90)
    odd = np.array([0.5, 0.6, -0.5, -0.6, 0.4, -0.4, 0.7, -0.7])
    effect = 0.05 * (7.5 - pick) / 6 + rng.normal(0, 0.03, 90) + np.r_[odd, np.zeros(82)]
    names = [f"card {i}" for i in range(90)]
    wins = rng.binomial(games, expit(effect))
    found = strength(CardTable(names, games, wins, mean_pick=pick), Settings(allowance=1.0))

    moved = without_odd_cards(found).centre - found.own().centre

    assert (np.sign(odd) * moved[:8] < -0.1).all()
    assert np.abs(moved[8:]).max() < 0.05


@pytest.mark.parametrize("kind", ["totals", "unheld"])
def test_what_turns_a_verdict_is_what_crosses_the_bar(kind: str):
    found = fitted(kind)
    now = found.own().below(LINE) >= SURE
    others = {
        "without usage": without_usage(found),
        "without odd cards": without_odd_cards(found),
    }
    if kind == "unheld":
        others["without the comparison"] = found.looks()[0]

    flips = other_flips(found, LINE, SURE)

    told = {name: {i for i, each in enumerate(flips) if name in each} for name in others}
    assert told == {
        name: set(np.flatnonzero((own.below(LINE) >= SURE) != now))
        for name, own in others.items()
    }
    assert sum(map(len, told.values())) > 1
    assert {name for each in flips for name in each} <= set(others)


def test_the_comparison_still_counts_where_usage_does_not():
    found = fitted("unheld")
    _, contrast, _ = found.looks()

    own = without_usage(found)

    seen = ~np.isnan(contrast)
    alone = replace(found, sample=found.sample._replace(contrast=None))
    assert own.scale[seen].mean() < 0.95 * without_usage(alone).scale[seen].mean()
    assert np.corrcoef(own.centre[seen], contrast[seen])[0, 1] > 0.5
    moved = found.sample.contrast._replace(estimate=found.sample.contrast.estimate + 0.4)
    higher = replace(found, sample=found.sample._replace(contrast=moved))
    assert without_usage(higher).centre == pytest.approx(own.centre)
    assert without_usage(higher).centre != pytest.approx(found.looks()[0].centre, abs=0.05)
    assert (own.scale < found.looks()[0].scale * 1.5).all()


def test_a_card_without_games_hangs_on_nothing():
    found = strength(taken_early(last=0), Settings(allowance=1.0))

    turned = found.own().below(LINE)[-1] >= SURE > without_usage(found).below(LINE)[-1]
    assert turned
    assert other_flips(found, LINE, SURE)[-1] == ()
    assert allowance_flips(found, LINE, SURE)[-1] is None


def test_a_small_pool_knows_neither_usage_nor_odd_cards():
    found = strength(CardTable(["Ash", "Bee"], [900, 900], [300, 600], mean_pick=[1, 9]))

    assert other_flips(found, LINE, SURE) == [(), ()]
    assert other_flips(found, 0.0, 0.99) == [(), ()]


def test_allowances_that_flip_are_on_the_grid_and_nearest():
    found = fitted()
    now = found.own().below(LINE) >= SURE

    flips = allowance_flips(found, LINE, SURE)

    turned = [i for i, at in enumerate(flips) if at is not None]
    assert turned
    for i in turned[:5]:
        others = [at for at in ALLOWANCES if (found.own(at).below(LINE)[i] >= SURE) != now[i]]
        nearest = min(others, key=lambda at: abs(at - found.allowance.share))
        assert flips[i] == round(nearest, 2)


def flips_at_length(found: Strength, line: float, sure: float) -> list[float | None]:
    """Try every card at every allowance."""
    now = found.own().below(line) >= sure
    cut = np.array([found.own(share).below(line) >= sure for share in ALLOWANCES])
    away = np.where(cut != now, np.abs(ALLOWANCES - found.allowance.share)[:, None], np.inf)
    turns = np.isfinite(away.min(axis=0)) & (found.sample.evidence.games > 0)
    nearest = ALLOWANCES[away.argmin(axis=0)]
    return [
        round(float(at), 2) if turn else None for at, turn in zip(nearest, turns, strict=True)
    ]


@pytest.mark.parametrize("target", ["sample", "even"])
@pytest.mark.parametrize(
    ("line", "sure"), [(-0.2, 0.6), (-0.08, 0.9), (0.05, 0.8), (-0.02, 0.99)]
)
def test_cards_that_are_not_looked_at_would_not_turn(target: str, line: float, sure: float):
    found = in_bands(target)

    assert allowance_flips(found, line, sure) == flips_at_length(found, line, sure)


@cache
def in_bands(target: str) -> Strength:
    table = card_table(simulate(World(drafts=400), seed=5), detail=("skill_band",))
    return strength(table, Settings(target=target))


@pytest.mark.parametrize("target", ["sample", "even"])
@pytest.mark.parametrize("line", [-0.3, -0.15, -0.08, -0.02])
def test_each_allowance_cuts_what_estimates_with_it_cut(target: str, line: float):
    found = in_bands(target)

    cuts = _cuts(found, line, SURE)

    assert cuts.tolist() == [
        (found.own(share).below(line) >= SURE).tolist() for share in ALLOWANCES
    ]


def test_a_card_that_only_the_present_allowance_cuts_turns_at_the_nearest_other():
    found = fitted()
    bolder = replace(found, own_share=6 * found.own_share)

    flips = allowance_flips(bolder, 4 * LINE, SURE)

    now, *others = (bolder.own(share).below(4 * LINE) >= SURE for share in (None, *ALLOWANCES))
    assert not (now & _cuts(bolder, 4 * LINE, SURE)).any()
    assert (now & ~np.any(others, axis=0)).any()
    assert flips == flips_at_length(bolder, 4 * LINE, SURE)


@pytest.mark.parametrize("sure", [0.5 + 1e-9, 0.75, 0.95])
def test_cards_are_looked_at_where_enough_of_them_lies_below_the_line(sure: float):
    found = fitted()

    cuts = _cuts(found, LINE, sure)

    assert cuts.any()
    assert cuts.tolist() == [
        (found.own(share).below(LINE) >= sure).tolist() for share in ALLOWANCES
    ]


def test_with_a_comparison_no_allowance_is_assumed():
    assert set(allowance_flips(fitted("unheld"), LINE, SURE)) == {None}


def test_a_judged_card_carries_what_its_verdict_hangs_on():
    judged = judge(taken_early(), Settings(allowance=1.0))

    [last] = [card for card in judged.cards if card.card == "card 79"]
    assert last.verdict == "cut"
    assert "without usage" in last.flips_if


def test_what_all_comparisons_share_is_weighed_by_how_well_each_is_known():
    contrast, variance = np.array([0.3, 0.1, np.nan]), np.array([0.01, 0.04, 0.01])
    own = SimpleNamespace(
        scale=np.array([0.1, 0.3, 0.1]),
        centre=np.array([0.1, 0.2, 0.0]),
        given=lambda *seen: seen,
    )
    fitted = SimpleNamespace(
        sample=SimpleNamespace(contrast=contrast), looks=lambda: (None, contrast, variance)
    )

    seen, errors = _compared(fitted, own)

    weight = np.array([1 / (0.01 + 0.01), 1 / (0.04 + 0.09)])
    shared = (weight @ [0.3 - 0.1, 0.1 - 0.2]) / weight.sum()
    assert seen[:2] == pytest.approx(contrast[:2] - shared)
    assert errors is variance


def test_at_face_value_the_verdicts_are_those_of_an_allowance_of_one():
    games = [0, *range(300, 2300, 50)]
    wins = [0, *(round(n * (0.42 + 0.004 * (7 * i % 40))) for i, n in enumerate(games[1:]))]
    table = CardTable([f"card {i}" for i in range(len(games))], games, wins)
    usual, bold = (judge(table, Settings(allowance=share)) for share in (0.4, 1.0))

    called = Counter(card.verdict for card in bold.cards)

    assert usual.face_value == (called["cut"], called["keep"])
    assert called["cut"] > sum(card.verdict == "cut" for card in usual.cards)


def test_a_card_of_one_game_hangs_on_what_it_hangs_on():
    found = strength(taken_early(last=1), Settings(allowance=1.0))

    assert 0 < found.sample.evidence.games[-1] < 1
    assert "without usage" in other_flips(found, LINE, SURE)[-1]
    assert allowance_flips(found, LINE, SURE) == flips_at_length(found, LINE, SURE)


def test_who_is_exactly_as_sure_as_asked_calls_a_cut():
    found = fitted()
    chance = found.own().below(LINE)
    others = {
        "without usage": without_usage(found).below(LINE),
        "without odd cards": without_odd_cards(found).below(LINE),
    }
    turning = (chance > 0.6) & (np.minimum(*others.values()) < chance)
    card = int(np.flatnonzero(turning)[0])

    flips = other_flips(found, LINE, float(chance[card]))

    assert flips[card] == tuple(
        name for name, below in others.items() if below[card] < chance[card]
    )
    assert allowance_flips(found, LINE, float(chance[card])) == flips_at_length(
        found, LINE, float(chance[card])
    )


@pytest.mark.parametrize(("games", "cuts"), [(0, 12), (1, 13)])
def test_at_face_value_only_cards_with_games_are_called(games: int, cuts: int):
    # All others are weak, and so is the guess for a card that nobody has played.
    cards = CardTable([f"card {i}" for i in range(13)], [900] * 12 + [games], [300] * 12 + [0])

    judged = judge(cards, Settings(baseline=0.5))

    assert judged.face_value == (cuts, 0)


def test_what_makes_a_cut_is_named_like_what_unmakes_one():
    found = fitted()
    own, usual = found.own(), without_usage(found)
    made = {line: (usual.below(line) >= SURE) & (own.below(line) < SURE) for line in LINES}
    line = max(LINES, key=lambda each: made[each].sum())

    flips = other_flips(found, line, SURE)

    assert made[line].any()
    assert all("without usage" in flips[i] for i in np.flatnonzero(made[line]))
