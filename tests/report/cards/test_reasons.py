"""The glossary of reasons."""

from typing import get_args

import pytest
from scipy.stats import binom

from winrate_tools.decide.cards.reasons import Reason
from winrate_tools.report.cards.reasons import REASONS, explain, why


@pytest.mark.parametrize("reason", get_args(Reason))
def test_every_reason_that_is_given_is_explained(reason: str):
    assert explain(reason) != reason


@pytest.mark.parametrize("text", REASONS.values())
def test_explanations_go_on_inside_a_sentence(text: str):
    assert text[0].islower()
    assert not text.endswith(".")


def test_an_unheard_of_reason_speaks_for_itself():
    assert explain("rained off") == "rained off"


@pytest.mark.parametrize(
    ("record", "usual", "said"),
    [
        (0.452, 0.51, "its record lies below the line by more than luck explains"),
        (
            0.555,
            0.596,
            "its record of 55.5% is poor in its company, where an average card would have "
            "won about 59.6%",
        ),
        (
            0.485,
            0.47,
            "how little drafters use it, rather than its record of 48.5%, where an average "
            "card would have won about 47.0%",
        ),
    ],
)
def test_a_weak_card_is_told_what_its_record_is_to_that(
    record, usual, said, make_pool, make_card
):
    card = make_card("Ash", 0.44, win_rate=record, expected_rate=usual, games=4000)

    assert why(card, make_pool()) == said


@pytest.mark.parametrize(("wins", "is_beyond"), [(66, True), (68, False)])
def test_a_record_lies_below_by_more_than_luck_where_1_in_20_at_most_would(
    wins, is_beyond, make_pool, make_card
):
    """By the binomial distribution of scipy, 4 in 100 records of 155 games at 49.9 % hold 66
    wins at most, and 8 in 100 hold 68."""
    card = make_card("Ash", 0.44, win_rate=wins / 155, expected_rate=0.51, games=155)

    said = why(card, make_pool(line=0.499, design_effect=1.0))

    assert bool(binom.cdf(wins, 155, 0.499) < 0.05) is is_beyond
    assert ("by more than luck explains" in said) is is_beyond


def test_the_more_games_come_in_runs_the_more_luck_explains(make_pool, make_card):
    card = make_card("Ash", 0.44, win_rate=66 / 155, expected_rate=0.51, games=155)

    assert "together" in why(card, make_pool(line=0.499, design_effect=1.4))


@pytest.mark.parametrize(
    ("facts", "helped"),
    [
        ({}, " and how drafters treat it"),
        (
            {"has_unheld": True},
            ", how drafters treat it and its games in hand against those in the deck",
        ),
        ({"usage_columns": ()}, " and what is usual of cards like it"),
    ],
)
def test_a_record_that_luck_may_explain_is_not_blamed_alone(
    facts, helped, make_pool, make_card
):
    card = make_card("Ash", 0.44, win_rate=0.439, expected_rate=0.51, games=155)

    assert why(card, make_pool(line=0.499, **facts)) == (
        f"its record{helped} together put it below the line"
    )


@pytest.mark.parametrize(("short_by", "is_poor"), [(0.0201, True), (0.0199, False)])
def test_a_record_is_poor_that_falls_short_by_what_the_line_does(
    short_by, is_poor, make_pool, make_card
):
    card = make_card("Ash", 0.44, win_rate=0.55, expected_rate=0.55 + short_by)

    assert ("is poor in its company" in why(card, make_pool())) == is_poor


def test_games_in_hand_can_speak_against_a_card_too(make_pool, make_card):
    card = make_card("Ash", 0.44, win_rate=0.5, expected_rate=0.5)

    assert why(card, make_pool(has_unheld=True)).startswith(
        "how little drafters use it, or its games in hand against those in the deck, rather"
    )
    assert why(card, make_pool(has_unheld=True, usage_columns=())).startswith(
        "its games in hand against those in the deck, rather than its record of 50.0%"
    )
    assert why(card, make_pool(usage_columns=())) == explain("weak")


def test_of_a_card_without_a_record_only_what_it_brings_is_told(make_pool, make_card):
    known = make_card("Ash", 0.44, win_rate=None, expected_rate=0.5)
    unheard = make_card("Bee", 0.44, win_rate=0.5)

    assert {why(known, make_pool()), why(unheard, make_pool())} == {explain("weak")}


def test_all_reasons_of_a_card_are_told_in_their_order(make_pool, make_card):
    card = make_card(
        "Ash", 0.44, win_rate=0.45, expected_rate=0.5, games=4000, reasons=("weak", "trap")
    )

    assert why(card, make_pool()) == (
        f"its record lies below the line by more than luck explains; {explain('trap')}"
    )


@pytest.mark.parametrize(
    ("known", "told"),
    [
        (("games",), "hardly ever played by its games here, or new to the pool"),
        ((), "hardly ever played by its games here, or new to the pool"),
        (("games", "played"), "hardly ever played, whatever its win rate"),
    ],
)
def test_a_card_is_unplayed_by_its_games_where_they_alone_tell(
    known, told, make_card, make_pool
):
    card = make_card("Ghost", 0.55, reasons=("unplayed",))

    assert why(card, make_pool(card, use_known=known)) == told
