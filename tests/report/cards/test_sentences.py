"""Whole sentences about cards and pools."""

import re
from dataclasses import replace

import pytest

from winrate_tools.report.cards.sentences import (
    counts_sentence,
    detail_sentence,
    expected_wrong,
    face_value_brief,
    face_value_sentence,
    line_sentence,
    verdict_sentence,
)


@pytest.mark.parametrize("estimate", [0.44, 0.485, 0.489, 0.497, 0.53])
@pytest.mark.parametrize("sure", [0.8, 0.9, 0.95])
def test_every_verdict_has_chance_line_estimate_range_and_games(
    estimate, sure, make_card, make_pool
):
    card = make_card("Ash Vine", estimate, sure=sure, games=1840)
    said = verdict_sentence(card, make_pool(card, sure=sure))

    assert re.search(r"\d+ in 20 \([a-z ]+\) that its true win rate is below 49\.0%", said)
    assert re.search(r"Best estimate [\d.]+% \(\d in 10 range: [\d.]+ to [\d.]+%\)", said)
    assert "from 1,840 games." in said


def test_a_cut_in_words(make_card, make_pool):
    card = make_card("Ember Oracle", 0.436, 0.02, games=270)

    assert verdict_sentence(card, make_pool(card)) == (
        "over 19 in 20 (almost surely) that its true win rate is below 49.0%. "
        "Best estimate 43.6% (8 in 10 range: 41.0 to 46.2%) from 270 games."
    )


@pytest.mark.parametrize(
    ("estimate", "needed", "asked", "settling"),
    [
        (0.481, 1234, "a cut takes 18 in 20", "About 1,200 more games"),
        (0.496, None, "a keep takes 2 in 20 or less", "More of the same games will not help."),
    ],
)
def test_a_wait_says_what_was_asked_for_and_what_would_settle_it(
    estimate, needed, asked, settling, make_card, make_pool
):
    card = make_card("Ash Vine", estimate, games_needed=needed)
    said = verdict_sentence(card, make_pool(card))

    assert asked in said
    assert settling in said


@pytest.mark.parametrize(
    ("games", "said"), [(0, "no games yet"), (None, "its games are not known")]
)
def test_a_card_without_games_is_judged_by_nobody(games, said, make_card, make_pool):
    card = make_card("Paper Kite", 0.51, 0.03, games=games, games_needed=90)

    assert verdict_sentence(card, make_pool(card)) == (
        f"{said}, so the estimate is only what the pool suggests: 51.0% (8 in 10 range: "
        "47.2 to 54.8%), with the line at 49.0%. About 90 more games would very likely settle "
        "it."
    )


def test_a_keep_at_the_surest_says_under_1_in_20(make_card, make_pool):
    card = make_card("Ash Vine", 0.5, sure=0.99)

    assert "a keep takes under 1 in 20" in verdict_sentence(card, make_pool(card, sure=0.99))


@pytest.mark.parametrize(
    ("origin", "said"),
    [
        ("sample", "the mean of this table"),
        ("given", "given by you"),
        ("player_rate", "the usual win rate of the players behind each row"),
        ("target", "what an average card wins in the hands of those asked for"),
    ],
)
def test_the_line_names_its_baseline_and_where_that_comes_from(origin, said, make_pool):
    assert line_sentence(make_pool(baseline_origin=origin)) == (
        "A card is weak below the line of 49.0%: 2 points under the baseline of 51.0% "
        f"({said})."
    )


@pytest.mark.parametrize(
    ("facts", "start", "advice"),
    [
        ({}, "one total for each card. Rows by archetype would", 3),
        ({"strata": ("archetype",)}, "counts by card and archetype. Rows by skill band", 2),
        (
            {"strata": ("skill_band",), "has_unheld": True},
            "counts by card and skill band, with held and unheld games. Rows by archetype",
            1,
        ),
    ],
)
def test_a_table_is_told_what_finer_counts_would_buy(facts, start, advice, make_pool):
    said = detail_sentence(make_pool(**facts))

    assert said.startswith(start)
    assert said.count("would") == advice


def test_a_table_of_every_detail_is_told_nothing(make_pool):
    pool = make_pool(strata=("archetype", "skill_band"), has_unheld=True)

    assert detail_sentence(pool) == (
        "counts by card and archetype and skill band, with held and unheld games: all there is."
    )


def test_verdicts_are_counted(pool):
    assert counts_sentence(pool) == "8 cards: 2 to cut, 2 to keep, 4 that cannot be called yet."


def test_expected_wrong_calls_are_stated(pool, make_pool, make_card):
    assert expected_wrong(pool) == (
        "Of the 2 cards called cut, expect under 0.1 to be wrong: not truly below the line. "
        "Of the 2 cards called keep, expect under 0.1 to be weak."
    )
    assert expected_wrong(make_pool(make_card("Ash Vine", 0.49))) == "No card is called cut."


def test_wrong_keeps_are_the_sum_of_their_chances(make_card, make_pool):
    keeps = [make_card(f"Lamp {n}", 0.52, chance_below=0.09) for n in range(20)]

    assert expected_wrong(make_pool(*keeps)) == (
        "No card is called cut. Of the 20 cards called keep, expect about 1.8 to be weak."
    )


@pytest.mark.parametrize(("cuts", "keeps", "told"), [(2, 3, True), (3, 2, True), (2, 2, False)])
def test_an_assumed_allowance_is_told_where_one_verdict_in_ten_hangs_on_it(
    cuts, keeps, told, pool
):
    said = face_value_sentence(replace(pool, face_value=(cuts, keeps)))

    expected = (
        "Much hangs on how much of a record is the card's own, which is assumed "
        f"(allowance 0.4): if all of it were, {cuts} would be cut, not 2, and {keeps} kept, "
        "not 2."
    )
    assert said == (expected if told else "")


def test_the_same_is_told_in_fewer_words_where_there_is_little_room(pool):
    many = replace(pool, face_value=(3, 1))

    assert face_value_brief(many) == (
        "Much hangs on what records owe to company, which is assumed (allowance 0.4): if they "
        "owed it nothing, 3 would be cut, not 2, and 1 kept, not 2."
    )
    assert face_value_brief(replace(pool, face_value=(2, 2))) == ""
    assert len(face_value_brief(many)) < len(face_value_sentence(many))


def test_an_allowance_that_was_not_assumed_is_not_argued_about(pool):
    assert face_value_sentence(replace(pool, face_value=None)) == ""


def test_games_that_may_settle_a_card_are_told_with_their_chance(make_card, make_pool):
    card = make_card("Ash Vine", 0.5, games_needed=None, games_worth=1210, chance_worth=0.45)

    assert verdict_sentence(card, make_pool(card)).endswith(
        "About 1,200 more games would settle it with a chance of 9 in 20; games beyond them "
        "add little."
    )


@pytest.mark.parametrize(("count", "told"), [(10, True), (11, False)])
def test_one_verdict_in_ten_is_much(count, told, make_card, make_pool):
    keeps = [make_card(f"Lamp {n}", 0.53) for n in range(count)]

    said = face_value_sentence(make_pool(*keeps, face_value=(0, count - 1)))

    assert bool(said) is told
