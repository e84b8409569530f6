"""When to cut, when to keep, when to wait."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.decide.cards.rules import Rule

chances = st.floats(0, 1)
sures = st.floats(0.501, 0.999)


@pytest.mark.parametrize(
    ("chance", "verdict"),
    [
        (1.0, "cut"),
        (0.9, "cut"),
        (0.8999, "more games"),
        (0.5, "more games"),
        (0.1001, "more games"),
        (0.1, "keep"),
        (0.0, "keep"),
    ],
)
def test_the_bounds_belong_to_the_verdicts(chance: float, verdict: str):
    assert Rule(line=0.53, sure=0.9).verdict(chance) == verdict


@pytest.mark.parametrize("sure", [0.55, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95, 0.99])
def test_both_bounds_are_met_whatever_sure_is(sure: float):
    rule = Rule(line=0.5, sure=sure)

    assert rule.verdict(sure) == "cut"
    assert rule.verdict(round(1 - sure, 2)) == "keep"


@given(chances, sures)
def test_the_verdict_costs_least(chance: float, sure: float):
    # Cutting costs 1 - p, keeping p, waiting 1 - sure.
    costs = {"cut": 1 - chance, "keep": chance, "more games": 1 - sure}

    verdict = Rule(line=0.5, sure=sure).verdict(chance)

    assert costs[verdict] <= min(costs.values()) + 1e-12


@given(chances, sures)
def test_a_card_without_games_always_waits(chance: float, sure: float):
    assert Rule(line=0.5, sure=sure).verdict(chance, has_games=False) == "more games"


@given(chances, chances, sures)
def test_a_likelier_weak_card_is_never_judged_more_kindly(
    one: float, other: float, sure: float
):
    order = ["keep", "more games", "cut"]
    low, high = sorted([one, other])
    rule = Rule(line=0.5, sure=sure)

    assert order.index(rule.verdict(low)) <= order.index(rule.verdict(high))
