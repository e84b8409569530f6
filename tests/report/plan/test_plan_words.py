"""What is said of moves, swaps and forecasts."""

from dataclasses import replace
from typing import get_args

import pytest

from tests.report.plans import FEWER, FULL, INTO, MORE, OUT, OUTCOME
from winrate_tools.decide.plan.moves import Swap, Why
from winrate_tools.report.plan import plan_words


def test_every_reason_has_its_words():
    assert set(plan_words.WHY) == set(get_args(Why))
    assert set(plan_words.EXPLAINED) | {"weak"} == set(get_args(Why))


def test_reasons_are_told_at_length_and_in_short():
    assert plan_words.why(OUT) == (
        "a trap: weak, yet taken early or played a lot; hardly ever played"
    )
    assert plan_words.why(FEWER) == "a good card of Moths, which is too strong"
    assert plan_words.marks(OUT) == "trap, unplayed"
    assert plan_words.marks(FEWER) == "restrains Moths"
    assert plan_words.marks(MORE) == "fits in"


def test_numbers_stand_on_their_side_of_the_line():
    assert plan_words.estimate(OUT, FULL) == "47.1%"
    assert plan_words.range_of(OUT, FULL) == "46.0 to 48.99%"
    assert plan_words.copies(INTO) == "0 to 3"
    assert plan_words.chance_below(OUT) == "19 in 20"
    assert plan_words.stays(OUT) == "16 in 20"
    assert plan_words.stays(INTO) == "over 19 in 20"


@pytest.mark.parametrize(
    ("pair", "said"),
    [
        (
            Swap("a", "b", 2, 0.7, ("slot", "faction", "role")),
            "2 copies; same faction and role; 14 in 20 that b is the stronger of the two.",
        ),
        (
            Swap("a", "b", 1, 0.5, ("slot",)),
            "1 copy; of another faction, role and rarity; 10 in 20 that b is the stronger of "
            "the two.",
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
