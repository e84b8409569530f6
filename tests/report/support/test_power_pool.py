"""The pool behind a question about games, in words."""

from dataclasses import replace

from winrate_tools.report.support.power_pool import (
    SO_FAR_BELOW,
    PoolBehind,
    counting_explained,
    pool_sentence,
    so_far_below,
)

BELOW = ((30.2, 17, 43), (0.04, 0, 0))
POOL = PoolBehind("cards.csv", "sample", 240, 0.0234, (0.0183, 0.0269), BELOW, (1, 300, 3000))


def test_the_spread_and_the_games_of_a_pool_are_said():
    assert pool_sentence(POOL) == (
        "The 240 cards of cards.csv truly differ by 2.3 points or so, luck taken off (a "
        "standard deviation; 8 in 10 range: 1.8 to 2.7). A quarter of them have at most 1 "
        "game, half at most 300, three quarters at most 3,000: these are the numbers of games "
        "below."
    )


def test_numbers_of_games_that_the_user_names_are_not_said_to_be_the_pools():
    assert pool_sentence(replace(POOL, quarters=())).endswith("1.8 to 2.7).")


def test_cards_so_far_below_stand_with_their_range():
    assert so_far_below(POOL) == [("about 30 (17 to 43)",), ("under 0.1 (0 to 0)",)]


def test_the_column_of_cards_is_explained_by_its_heading():
    entry = counting_explained(POOL)

    assert entry.lead == SO_FAR_BELOW
    assert entry.text.startswith("how many cards of cards.csv are expected to lie so far below")


def test_the_spread_of_few_cards_is_told_as_that_of_other_pools():
    assert pool_sentence(replace(POOL, cards=24, quarters=(), is_borrowed=True)) == (
        "The 24 cards of cards.csv are taken to differ by 2.3 points or so, luck taken off (a "
        "standard deviation; 8 in 10 range: 1.8 to 2.7; mostly taken from other pools: fewer "
        "than 30 cards with games are too few to tell)."
    )
