"""On what a verdict hangs, in sentences."""

from typing import get_args

import pytest

from winrate_tools.decide.cards.verdicts import Flip
from winrate_tools.report.cards.flips import IF, flips


def test_a_cut_that_hangs_on_nothing_needs_no_sentence(make_pool, make_card):
    assert flips(make_card("Ash", 0.45, 0.01), make_pool()) == ""


@pytest.mark.parametrize(
    ("verdict", "at", "said"),
    [
        ("cut", 0.35, "Would not be a cut if only 0.35 of its record were its own"),
        ("keep", 0.8, "Would be a cut if 0.8 of its record were its own"),
    ],
)
def test_the_allowance_that_turns_a_verdict_is_told_as_a_share_of_the_record(
    verdict, at, said, make_pool, make_card
):
    card = make_card("Ash", 0.48, 0.01, verdict=verdict, flips_at=at)

    assert flips(card, make_pool(allowance=0.55)) == f"{said} (taken: 0.55)."


def test_all_that_turns_a_verdict_stands_in_one_sentence(make_pool, make_card):
    card = make_card("Ash", 0.45, 0.01, flips_if=("without usage", "without odd cards"))

    assert flips(card, make_pool()) == (
        "Would not be a cut if how drafters treat the cards were left out of account; or if no "
        "card were expected to lie far from cards used like it."
    )


def test_allowance_and_all_else_are_two_sentences(make_pool, make_card):
    card = make_card("Ash", 0.45, 0.01, flips_at=0.2, flips_if=("without the comparison",))

    first, second = flips(card, make_pool()).split(". ")
    assert first.endswith("of its record were its own (taken: 0.4)")
    assert second.endswith("if held games were not compared with unheld ones.")


def test_everything_that_may_turn_a_verdict_has_words():
    assert set(IF) == set(get_args(Flip))
