"""What the programs of one plan share."""

from dataclasses import replace

import numpy as np
import pytest

from tests.decide.planning import (
    archetype,
    archetypes,
    card_verdict,
    pool_verdict,
    rate,
    spread,
)
from winrate_tools.decide.plan.case import Case
from winrate_tools.goals import Goals
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable

JUDGED = pool_verdict(
    [card_verdict("a", homes={"Kites": 90}), card_verdict("b", homes={"Moths": 90})],
    [spread(-0.2, 0.05), spread(0.1, 0.05, shift=1)],
    archetypes=archetypes(
        archetype("Kites", 0.47, games=10), archetype("Moths", 0.53, games=10, wide=0.02)
    ),
)
POOL = PoolTable([PoolCard("a", 2, price=1.0), PoolCard("b", 1, price=2.0)])
NEW = CandidateTable([Candidate(PoolCard("new", 2, price=3.0), guess="like")])
CASE = Case.of(JUDGED, POOL, NEW, Goals(change_cost=0.6, price_cost=0.1))


def test_costs_are_half_a_change_each_way_and_the_price_of_what_comes():
    program = CASE.program(slice(None))

    assert program.entry.tolist() == pytest.approx([0.4, 0.5, 0.6])
    assert program.exit.tolist() == [0.3, 0.3, 0.3]


def test_a_program_for_single_draws_believes_them():
    rows = [CASE.program(slice(draw, draw + 1)).worth for draw in range(200)]
    program = CASE.program(slice(None))

    assert np.mean(rows, axis=0) == pytest.approx(program.worth)
    assert np.std(rows, axis=0)[0, 0] > 0.5
    assert program.levels == CASE.levels
    assert program.limits == CASE.limits


def test_archetypes_strengths_are_drawn_by_their_ranges():
    strengths = CASE.strengths

    assert strengths.shape == (200, 2)
    assert strengths.mean(axis=0) == pytest.approx([0.47, 0.53], abs=0.004)
    assert strengths.std(axis=0) == pytest.approx([0.0078, 0.0156], rel=0.2)


def test_needs_follow_the_draws():
    needs = CASE.needs(slice(None))

    assert needs.below[0] == pytest.approx((CASE.strengths[:, 0] < 0.48).mean())
    assert needs.above[1] == pytest.approx((CASE.strengths[:, 1] > 0.52).mean())
    assert CASE.needs(slice(0, 1)).below[0] in (0, 1)


def test_judged_cards_have_the_numbers_of_every_report():
    one, two = JUDGED.cards
    told = replace(one, estimate=0.451, low=0.43, high=0.47, chance_below=0.97)
    case = Case.of(replace(JUDGED, cards=(told, two)), POOL, NEW, Goals())

    assert case.estimates[:2].tolist() == [0.451, two.estimate]
    assert [ends[:2].tolist() for ends in case.ranges] == [[0.43, two.low], [0.47, two.high]]
    assert case.chance_below[:2].tolist() == [0.97, two.chance_below]


def test_cards_without_a_verdict_have_the_numbers_of_their_draws():
    drawn = rate(CASE.stock.effects[:, 2])

    assert CASE.estimates[2] == pytest.approx(drawn.mean(), abs=1e-4)
    assert CASE.ranges[0][2] == pytest.approx(np.quantile(drawn, 0.1), abs=1e-4)
    assert CASE.ranges[1][2] == pytest.approx(np.quantile(drawn, 0.9), abs=1e-4)
    assert CASE.chance_below[2] == (drawn < 0.48).mean()
