"""What is said of moves, swaps and forecasts."""

from dataclasses import replace
from typing import get_args

import pytest

from tests.report.plans import FEWER, FULL, INTO, MORE, OUT, OUTCOME
from winrate_tools.decide.plan.moves import Staying, Swap, Why
from winrate_tools.pools import PoolCard, PoolTable
from winrate_tools.report.plan import plan_words


def test_every_reason_has_its_words():
    assert set(plan_words.WHY) == set(get_args(Why))
    assert set(plan_words.EXPLAINED) | {"weak"} == set(get_args(Why))


def test_reasons_are_told_at_length_and_in_short():
    assert plan_words.why(OUT, 0.9) == (
        "a trap: weak, yet taken early or played a lot; hardly ever played"
    )
    assert plan_words.why(FEWER, 0.9) == "a good card of Moths, which is too strong"
    assert plan_words.marks(OUT) == "trap, unplayed"
    assert plan_words.marks(FEWER) == "restrains Moths"
    assert plan_words.marks(MORE) == "fits in"


def test_numbers_stand_on_their_side_of_the_line():
    assert plan_words.estimate(OUT, FULL) == "47.1%"
    assert plan_words.range_of(OUT, FULL) == "46.0 to 48.99%"
    assert plan_words.copies(INTO) == "0 to 3"
    assert plan_words.chance_below(OUT, FULL) == "19 in 20"
    assert plan_words.stays(OUT) == "16 in 20"
    assert plan_words.stays(INTO) == "over 19 in 20"


def test_a_chance_short_of_a_verdict_is_printed_short_of_it_as_in_reports():
    almost = replace(OUT, chance_below=0.8999)

    assert plan_words.chance_below(almost, FULL) == "17 in 20"
    assert plan_words.chance_below(replace(OUT, chance_below=0.9), FULL) == "18 in 20"
    assert plan_words.chance_below(replace(OUT, chance_below=0.1001), FULL) == "3 in 20"


@pytest.mark.parametrize(
    ("pair", "said"),
    [
        (
            Swap("a", "b", 2, 0.7, ("slot", "faction", "role")),
            "2 copies; same faction and role; 14 in 20 that b is the stronger of the two.",
        ),
        (
            Swap("a", "b", 1, 0.5, ("slot",), ("faction", "rarity")),
            "1 copy; of another faction and rarity; 10 in 20 that b is the stronger of the "
            "two.",
        ),
        (
            Swap("a", "b", 1, 0.5, ("slot",)),
            "1 copy; 10 in 20 that b is the stronger of the two.",
        ),
        (
            Swap("a", "b", 1, 0.49, ("rarity",)),
            "1 copy; same rarity; 10 in 20 that b is the stronger of the two; meant for "
            "balance, not for strength.",
        ),
    ],
)
def test_a_swap_says_what_the_cards_share_and_how_sure_it_is(pair: Swap, said: str):
    assert plan_words.swap(pair) == said


def test_forecasts_are_ranges_and_signed_changes():
    assert plan_words.before(OUTCOME) == "46.0 to 48.0%"
    assert plan_words.after(OUTCOME) == "46.5 to 49.9%"
    assert plan_words.change(OUTCOME) == "0.0 to +2.4"
    assert plan_words.change(replace(OUTCOME, change_low=-0.0049)) == "-0.5 to +2.4"


@pytest.mark.parametrize(("names", "said"), [([], ""), (["a"], "a"), (["a", "b"], "a and b")])
def test_names_are_joined_as_in_a_sentence(names: list[str], said: str):
    assert plan_words.joined(names) == said


def test_no_reason_for_coming_claims_more_than_the_numbers_do():
    assert "likely sound" not in " ".join([*plan_words.WHY.values()])
    assert "likely sound" not in " ".join([*plan_words.EXPLAINED.values()])
    assert plan_words.why(MORE, 0.9) == "likelier sound than weak, and fits the place"


def test_archetypes_that_would_cross_a_line_are_warned_of():
    over = replace(OUTCOME, crosses="above", chance_beyond=0.7, line=0.52)
    under = replace(OUTCOME, crosses="below", chance_beyond=0.55, line=0.48)

    assert plan_words.crossings((OUTCOME,)) == []
    assert plan_words.crossings((over, under, replace(over, archetype="Bells"))) == [
        "Careful: would then lie above the upper line of 52.0%: Kites (14 in 20), Bells (14 in "
        "20).",
        "Careful: would then lie below the lower line of 48.0%: Kites (11 in 20).",
    ]


@pytest.mark.parametrize(
    ("kept", "unlabelled", "said"),
    [
        (("faction", "rarity"), (), "Counts by faction and rarity stay as they are."),
        (
            ("faction",),
            ("rarity",),
            "Counts by faction stay as they are. No card of the pool has a rarity, so no such "
            "count is kept.",
        ),
        (
            (),
            ("faction", "rarity"),
            "No card of the pool has a faction or rarity, so no such count is kept.",
        ),
        ((), (), ""),
    ],
)
def test_only_counts_of_known_labels_are_said_to_stay(kept, unlabelled, said: str):
    plan = replace(FULL, kept=kept, unlabelled=unlabelled)

    assert plan_words.kept(plan) == said


def test_cards_called_cut_that_stay_are_told_with_the_reason():
    stays = (Staying("a", False), Staying("b", True), Staying("c", False))

    assert plan_words.staying(FULL) == []
    assert plan_words.staying(replace(FULL, staying=stays)) == [
        "Called cut and staying, since they are protected: b.",
        "Called cut and staying, since no swap for them keeps within the limits and gains more "
        "than it costs: a, c.",
    ]


@pytest.mark.parametrize(
    ("why", "kept", "said"),
    [
        ("no better", (), "no candidate has a higher estimate"),
        ("no better", ("faction",), "no candidate of the same faction has a higher estimate"),
        (
            "better in",
            ("faction", "rarity"),
            "every candidate of the same faction and rarity with a higher estimate is in "
            "already",
        ),
        ("restrains", (), "they hold back Kites, which is too strong"),
    ],
)
def test_a_card_that_stays_is_told_with_its_own_reason(why, kept, said: str):
    pool = PoolTable([PoolCard("a", 1)])
    plan = replace(FULL, kept=kept, pool=pool, staying=(Staying("a", False, why, "Kites"),))

    assert plan_words.staying(plan) == [f"Called cut and staying, since {said}: a."]


def test_slots_are_named_where_there_are_several():
    pool = PoolTable([PoolCard("a", 1), PoolCard("b", 1, slot="lantern")])
    plan = replace(FULL, kept=(), pool=pool, staying=(Staying("a", False, "no better"),))

    assert plan_words.staying(plan) == [
        "Called cut and staying, since no candidate of the same slot has a higher estimate: a."
    ]


@pytest.mark.parametrize(
    ("chance", "said"),
    [
        (0.89, "weak, probably"),
        (0.79, "weak, probably"),
        (0.7, "weak, more likely than not"),
        (0.5, "weak, perhaps"),
    ],
)
def test_a_likely_weak_card_is_told_in_the_words_of_reports(chance, said):
    move = replace(OUT, chance_below=chance, reasons=("likely weak",))

    assert plan_words.why(move, 0.9) == said


def test_how_copies_move_is_said():
    assert plan_words.whole(FULL).startswith("a card comes or goes with all its copies")
    assert plan_words.whole(replace(FULL, is_whole=False)).startswith("come and go one by one")
