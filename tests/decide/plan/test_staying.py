"""Why a card called cut keeps its copies."""

from dataclasses import replace

import numpy as np
import pytest

from tests.decide.planning import (
    archetype,
    archetypes,
    card_verdict,
    pool_verdict,
    spread,
)
from winrate_tools.decide.plan.case import Case
from winrate_tools.decide.plan.causes import Causes
from winrate_tools.decide.plan.moves import Staying
from winrate_tools.decide.plan.staying import staying
from winrate_tools.decide.plan.worth import Needs, pull_of
from winrate_tools.goals import Goals
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable

LABELS = {"faction": "Cog", "rarity": "common"}
BEST = PoolCard("best", 2, **LABELS)
WEAK = PoolCard("weak", 2, **LABELS)


def found(
    candidate: PoolCard,
    *,
    after: int = 0,
    above: float = 0.0,
    effect: float = 0.3,
    weak: PoolCard = WEAK,
    goes: bool = False,
) -> tuple[Staying, ...]:
    """One card called cut beside a fine one, and one candidate of so many new copies."""
    verdict = pool_verdict(
        [
            card_verdict("fine", homes={"Kites": 300}),
            card_verdict("weak", homes={"Kites": 300}),
        ],
        [spread(0.1, 0.02), spread(-0.3, 0.02)],
        archetypes=archetypes(archetype("Kites", 0.5), archetype("Moths", 0.5)),
    )
    fine, poor = verdict.cards
    verdict = replace(verdict, cards=(fine, replace(poor, verdict="cut")))
    pool = PoolTable([PoolCard("fine", 2, **LABELS), weak])
    rate = 1 / (1 + np.exp(-effect))
    new = CandidateTable([Candidate(candidate, 90_000, round(90_000 * rate), 0.5)])
    case = Case.of(verdict, pool, new, Goals())
    needs = Needs(np.zeros(2), np.array([above, 0.0]), *[np.zeros(2)] * 3)
    pull = pull_of(case.stock, case.play, case.stock.effects)
    causes = Causes(case.stock, case.advice, case.play, pull, needs, case.chance_below, 0.9)
    return staying(case, causes, np.array([2, 0 if goes else 2, after]))


@pytest.mark.parametrize(
    ("candidate", "effect", "why"),
    [
        (BEST, 0.3, None),
        (BEST, -1.2, "no better"),
        (replace(BEST, faction="Quill"), 0.3, "no better"),
        (replace(BEST, rarity="rare"), 0.3, "no better"),
        (replace(BEST, rarity=None), 0.3, "no better"),
        (replace(BEST, slot="lantern"), 0.3, "no better"),
        (replace(BEST, faction="cog", role="tool"), 0.3, None),
    ],
)
def test_a_better_candidate_is_one_for_the_same_place(candidate, effect, why):
    assert found(candidate, effect=effect) == (Staying("weak", is_protected=False, why=why),)


def test_a_card_without_a_label_is_not_held_to_it():
    weak = PoolCard("weak", 2, faction="Cog")

    assert found(replace(BEST, rarity="rare"), weak=weak)[0].why is None


def test_a_card_stays_when_all_that_are_better_are_in():
    assert found(BEST, after=2)[0].why == "better in"
    assert found(BEST, after=1)[0].why is None


def test_a_weak_card_may_hold_back_an_archetype_that_is_too_strong():
    assert found(BEST, above=0.6) == (Staying("weak", False, "restrains", "Kites"),)
    assert found(BEST, above=0.4) == (Staying("weak", False),)


def test_a_protected_card_needs_no_other_reason():
    weak = PoolCard("weak", 2, is_protected=True, **LABELS)

    assert found(BEST, effect=-1.2, weak=weak) == (Staying("weak", is_protected=True),)


def test_a_card_that_goes_is_not_listed():
    assert found(BEST, goes=True) == ()
