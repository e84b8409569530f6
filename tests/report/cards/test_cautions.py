"""What limits the verdicts, in sentences."""

from typing import get_args

import pytest

from winrate_tools.decide.cards.verdicts import Caution
from winrate_tools.report.cards.cautions import LACKS, MISFITS, cautions
from winrate_tools.stats.cards.prior import FEWEST_CARDS


@pytest.mark.parametrize("warning", get_args(Caution))
def test_every_warning_that_is_given_becomes_a_sentence(warning: str, make_pool):
    [sentence] = cautions(make_pool(warnings=(warning,)))

    assert sentence[0].isupper()
    assert sentence.endswith(".")
    assert warning != sentence


def test_a_far_baseline_is_shown_beside_the_tables_own_mean(make_pool):
    [sentence] = cautions(make_pool(warnings=("baseline too high",), sample_mean=0.4812))

    assert "51.0% lies well over this table's own mean of 48.12%" in sentence


def test_an_unheard_of_warning_speaks_for_itself(make_pool):
    assert cautions(make_pool(warnings=("Wet cards.",))) == ("Wet cards.",)


def test_cards_that_lie_far_are_named_up_to_five(make_pool):
    names = tuple(f"card {i}" for i in range(7))

    [few] = cautions(make_pool(warnings=("far records",), far_cards=names[:2]))
    [many] = cautions(make_pool(warnings=("far records",), far_cards=names))

    assert "usually lie: card 0, card 1. Such" in few
    assert "usually lie: card 0, card 1, card 2, card 3, card 4 and 2 more. Such" in many


def test_looks_that_clash_name_cards_only_where_some_stand_out(make_pool):
    [named] = cautions(make_pool(warnings=("clashing looks",), clashing_cards=("Tin Moth",)))
    [unnamed] = cautions(make_pool(warnings=("clashing looks",)))

    assert "as well as it should, least of all for Tin Moth. One" in named
    assert "as well as it should. One" in unnamed


@pytest.mark.parametrize("warning", ["scattered records", "records too alike"])
def test_what_was_assumed_of_runs_is_shown(warning: str, make_pool):
    [sentence] = cautions(make_pool(warnings=(warning,), design_effect=1.75))

    assert "1.75" in sentence


@pytest.mark.parametrize(
    ("warning", "said"),
    [
        ("usage tells little", "how much of a record to put down to the card (the allowance)"),
        ("scattered records", "games count as one independent game (the design effect)"),
        ("records too alike", "to count as one independent game (the design effect)"),
    ],
)
def test_a_term_follows_the_plain_words_for_it(warning: str, said: str, make_pool):
    [sentence] = cautions(make_pool(warnings=(warning,)))
    before, _, _ = sentence.partition(said)

    assert said in sentence
    assert "allowance" not in before
    assert "design effect" not in before


def test_how_many_cards_are_too_few_is_said_as_it_is():
    assert f"Fewer than {FEWEST_CARDS} cards have games" in LACKS["few cards"]


def test_each_warning_has_one_place():
    assert not LACKS.keys() & MISFITS.keys()
    assert LACKS.keys() | MISFITS.keys() == set(get_args(Caution))
