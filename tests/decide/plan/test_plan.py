"""From a judged pool to a better one."""

from dataclasses import replace

import numpy as np
import pytest

from tests.decide.planning import archetype, archetypes, card_verdict, pool_verdict, spread
from winrate_tools.decide.plan.plan import make_plan
from winrate_tools.errors import CountError, SettingError
from winrate_tools.goals import Goals, Quota
from winrate_tools.pools import Candidate, CandidateTable, PoolCard, PoolTable

EFFECTS = {"weak": -0.3, "doubtful": -0.09, "fine": 0.0, "good": 0.15, "strong": 0.2}
NAMES = [f"{kind} {faction}" for faction in ("Cog", "Quill") for kind in EFFECTS]
HOMES = {"Cog": {"Kites": 300}, "Quill": {"Moths": 300}}
VERDICT = pool_verdict(
    [
        card_verdict(
            name,
            homes=HOMES[name.split()[1]],
            reasons=("weak", "trap") if name == "weak Cog" else (),
        )
        for name in NAMES
    ],
    [spread(EFFECTS[name.split()[0]], 0.04, shift=i) for i, name in enumerate(NAMES)],
    archetypes=archetypes(
        archetype("Kites", 0.46, games=166), archetype("Moths", 0.54, games=166)
    ),
)


def pool_card(name: str, copies: int = 2, **facts: object) -> PoolCard:
    labels: dict[str, object] = {"faction": name.split()[1], "rarity": "common", "price": 1.0}
    return PoolCard(name, copies, **{**labels, **facts})  # type: ignore[arg-type]


POOL = PoolTable([pool_card(name) for name in NAMES])
CANDIDATES = CandidateTable(
    [
        Candidate(pool_card("newcomer Cog", 4), 90_000, 49_500, 0.5),
        Candidate(pool_card("novice Quill", 4, price=2.0), 90_000, 47_000, 0.5),
        Candidate(pool_card("wretch Quill", 4), 90_000, 30_000, 0.5),
    ]
)


def planned(goals: Goals | None = None, **facts: object):
    tables: dict[str, object] = {"pool": POOL, "candidates": CANDIDATES, **facts}
    few = replace(goals or Goals(), resolves=12)
    return make_plan(VERDICT, tables["pool"], tables["candidates"], few)


def moved(plan) -> dict[str, tuple[int, int]]:
    return {move.card.card: (move.before, move.after) for move in plan.moves}


def test_weak_cards_go_and_sound_ones_of_their_faction_come():
    plan = planned(Goals(lift=0, restrain=0, surplus=0))

    assert moved(plan) == {
        "weak Cog": (2, 0),
        "weak Quill": (2, 0),
        "newcomer Cog": (0, 2),
        "novice Quill": (0, 2),
    }
    assert plan.cost == 2 * 1 + 2 * 2
    assert plan.pool.size == POOL.size
    assert [card.card for card in plan.pool.cards][-2:] == ["newcomer Cog", "novice Quill"]
    assert {(one.out, one.into) for one in plan.swaps} == {
        ("weak Cog", "newcomer Cog"),
        ("weak Quill", "novice Quill"),
    }
    assert all(one.chance_stronger > 0.9 for one in plan.swaps)


def test_moves_carry_what_is_believed_and_how_often_they_stay():
    plan = planned(Goals(lift=0, restrain=0, surplus=0))
    weak, new = plan.gone[0], plan.come[0]

    assert weak.card.card == "weak Cog"
    assert weak.reasons == ("trap",)
    assert weak.low < weak.estimate < weak.high < 0.45
    assert weak.chance_below == 1
    assert weak.stays == 1
    assert weak.cost == 0
    assert new.card.card == "newcomer Cog"
    assert new.cost == 2
    assert new.chance_below < 0.1
    assert 0.5 < new.stays <= 1


def test_a_card_that_goes_has_the_numbers_of_its_verdict():
    verdict = VERDICT.cards[0]

    weak = planned(Goals(lift=0, restrain=0, surplus=0)).gone[0]

    assert verdict.card == weak.card.card
    for fact in ("estimate", "low", "high", "chance_below"):
        assert getattr(weak, fact) == getattr(verdict, fact)


def test_the_floor_counts_weak_cards_dealt():
    plan = planned(Goals(lift=0, restrain=0, surplus=0, dealt=0.5))

    below = np.mean([spread(EFFECTS[n.split()[0]], 0.04) < np.log(0.48 / 0.52) for n in NAMES])
    assert plan.floor.dealt == 10
    assert plan.floor.before == pytest.approx(10 * below, abs=0.1)
    assert plan.floor.before_low <= plan.floor.before <= plan.floor.before_high
    assert plan.floor.after < plan.floor.before - 1.5


def test_a_budget_holds_back_what_it_cannot_pay():
    plan = planned(Goals(lift=0, restrain=0, surplus=0, budget=3.5))

    assert moved(plan) == {"weak Cog": (2, 0), "newcomer Cog": (0, 2)}
    assert plan.cost == 2
    assert [bound.name for bound in plan.bounds] == []


def test_limits_that_are_reached_are_named():
    plan = planned(Goals(lift=0, restrain=0, surplus=0, budget=2, changes=2))

    assert {(bound.name, bound.amount, bound.bound) for bound in plan.bounds} == {
        ("budget", 2.0, 2.0),
        ("copies that come in", 2.0, 2.0),
        ("copies that go out", 2.0, 2.0),
    }


def test_quotas_that_are_reached_are_named_from_either_side():
    quota = Quota("faction", "Cog", 10, 14)

    plan = planned(Goals(lift=0, restrain=0, keep=(), quotas=(quota,)))

    assert [(bound.name, bound.bound) for bound in plan.bounds] == [
        ("quota for faction Cog", 10)
    ]


def test_protected_cards_stay():
    cards = [pool_card(name, is_protected=name == "weak Cog") for name in NAMES]

    plan = planned(Goals(lift=0, restrain=0), pool=PoolTable(cards))

    assert "weak Cog" not in moved(plan)
    assert "weak Quill" in moved(plan)


def test_an_underpowered_archetype_is_lifted_and_an_overpowered_one_not_fed():
    better = CandidateTable(
        [Candidate(pool_card(f"{what} {f}", 2), 90_000, 60_000, 0.5)
         for what, f in (("bright", "Cog"), ("brilliant", "Quill"))]
    )  # fmt: skip

    plan = planned(Goals(floor=0, strength=0, surplus=0, change_cost=0.1), candidates=better)

    kites, moths = plan.outcomes
    assert "bright Cog" in moved(plan)
    assert "brilliant Quill" not in moved(plan)
    assert kites.change > 0.005
    assert moths.change < 0
    assert plan.come[0].reasons == ("sound", "lifts", "strong")
    assert plan.come[0].archetype == "Kites"


def test_copies_move_one_by_one_where_the_owner_wants_it():
    plan = planned(Goals(lift=0, restrain=0, surplus=0, changes=1, whole=False))

    assert sorted(after - before for before, after in moved(plan).values()) == [-1, 1]


def test_nothing_is_moved_where_nothing_is_worth_it():
    plan = planned(Goals(change_cost=90))

    assert plan.moves == ()
    assert plan.swaps == ()
    assert [replace(card, archetypes=()) for card in plan.pool.cards] == list(POOL.cards)
    assert plan.cost == 0
    assert plan.floor.after == plan.floor.before


def test_limits_that_clash_are_refused_with_the_least_that_has_to_give():
    with pytest.raises(SettingError) as caught:
        planned(Goals(quotas=(Quota("faction", "Cog", 12),)))

    assert "faction Cog against quota for faction Cog" in str(caught.value)
    assert "the least that has to give" in str(caught.value)


def test_a_box_that_is_too_small_is_refused():
    with pytest.raises(SettingError, match=r"cards in the box 20, not 15|slot main 15, not 20"):
        planned(Goals(keep=(), box_cards=15))


def test_a_smaller_pool_can_be_asked_for():
    plan = planned(Goals(lift=0, restrain=0, keep=(), size=16, changes=8, box_cards=16))

    assert plan.pool.size == 16
    assert {"weak Cog", "weak Quill"} <= set(moved(plan))


def test_raw_records_are_refused():
    with pytest.raises(SettingError, match="at face value"):
        make_plan(replace(VERDICT, allowance=1.0), POOL, CANDIDATES)


def test_a_candidate_without_price_is_refused_under_a_budget():
    bare = CandidateTable([Candidate(pool_card("new Cog", price=None), guess="like")])

    with pytest.raises(CountError, match="'new Cog' needs a price"):
        planned(Goals(budget=9), candidates=bare)
    assert planned(candidates=bare).resolves == 12


def test_a_price_that_is_unknown_leaves_the_cost_open():
    bare = CandidateTable([Candidate(pool_card("new Cog", price=None), 90_000, 50_000, 0.5)])

    plan = planned(Goals(lift=0, restrain=0, surplus=0), candidates=bare)

    assert plan.come[0].cost is None


def test_without_candidates_only_copies_change():
    plan = planned(Goals(surplus=9, keep=(), strength=0), candidates=CandidateTable([]))

    assert {move.card.card for move in plan.come} <= set(NAMES)


def test_what_the_tables_do_not_share_is_told():
    cards = [*POOL.cards[:-1], pool_card("silk Cog")]

    plan = planned(pool=PoolTable(cards))

    assert plan.unknown == ("silk Cog",)
    assert plan.elsewhere == (NAMES[-1],)
    assert "silk Cog" not in moved(plan)


def test_a_pool_without_archetypes_is_planned_without_forecast():
    plain = replace(VERDICT, archetypes=None)

    plan = make_plan(plain, POOL, CANDIDATES, Goals(resolves=5))

    assert plan.outcomes == ()
    assert "weak Cog" in moved(plan)


def test_the_same_tables_give_the_same_plan():
    assert planned() == planned()


def test_protected_candidates_may_come_and_kept_labels_are_told():
    plan = planned(Goals(keep=("faction",)))

    assert plan.kept == ("faction",)
    assert (plan.line, plan.sure) == (0.48, 0.9)


POOR = CandidateTable([Candidate(pool_card("poor Quill", 4), 90_000, 38_000, 0.5)])


def test_a_weak_card_does_not_come_for_a_weaker_one():
    plan = planned(Goals(lift=0, restrain=0, surplus=0), candidates=POOR)

    assert "poor Quill" not in moved(plan)


def test_a_weak_card_comes_where_the_limits_leave_no_other_and_says_so():
    goals = Goals(lift=0, restrain=0, surplus=0, keep=(), size=21)
    pool = PoolTable([pool_card(name, is_protected=True) for name in NAMES])

    plan = planned(goals, candidates=POOR, pool=pool)

    [poor] = plan.come
    assert poor.card.card == "poor Quill"
    assert poor.chance_below > 0.5
    assert poor.reasons == ("forced", "marginal")


def test_cards_that_name_no_archetypes_get_those_that_play_them():
    archetypes = {card.card: card.archetypes for card in planned().pool.cards}

    assert archetypes["fine Cog"] == ("Kites",)
    assert archetypes["fine Quill"] == ("Moths",)
    assert archetypes["newcomer Cog"] == ()


def test_where_most_cards_name_archetypes_a_card_without_any_keeps_to_none():
    named = [replace(card, archetypes=("Bells",)) for card in POOL.cards[1:]]

    plan = planned(Goals(change_cost=90), pool=PoolTable([POOL.cards[0], *named]))

    assert plan.pool.cards[0].archetypes == ()
    assert {card.archetypes for card in plan.pool.cards[1:]} == {("Bells",)}


def test_cards_called_cut_that_stay_are_told_the_weakest_first():
    called = [
        replace(card, verdict="cut", estimate=0.4 + i / 100) if i % 5 == 0 else card
        for i, card in enumerate(VERDICT.cards)
    ]
    pool = PoolTable([pool_card(name, is_protected=name == "weak Quill") for name in NAMES])
    few = Goals(lift=0, restrain=0, changes=0, resolves=3)

    none = make_plan(replace(VERDICT, cards=tuple(called)), pool, CANDIDATES, few)
    some = make_plan(
        replace(VERDICT, cards=tuple(called)), pool, CANDIDATES, replace(few, changes=20)
    )

    assert [(one.card, one.is_protected) for one in none.staying] == [
        ("weak Cog", False),
        ("weak Quill", True),
    ]
    assert [one.card for one in some.staying] == ["weak Quill"]


def test_labels_that_the_pool_does_not_know_are_not_said_to_be_kept():
    bare = PoolTable([pool_card(name, rarity=None) for name in NAMES])

    plan = planned(pool=bare)

    assert plan.kept == ("faction",)
    assert plan.unlabelled == ("rarity",)
    assert planned().unlabelled == ()
