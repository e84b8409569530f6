"""Cards that a table's matches list."""

from dataclasses import replace

from tests.report.home_updates import CARD, UPDATE
from winrate_tools.report.home.home_cards import LISTED, cards_section
from winrate_tools.stats.home.home import Discrepancy


def test_a_card_has_a_row_with_strangers_word_and_that_of_here():
    _, table = cards_section(UPDATE).blocks

    assert table.rows == (
        ("Ash Vine", "10", "54.4% keep", "53.5%", "50.1 to 57.2%", "2 in 20", "keep"),
    )
    assert [column.heading for column in table.columns][-2] == "Below 53.14%"


def test_what_games_turn_is_counted():
    sentence, _ = cards_section(UPDATE).blocks

    assert sentence.text.startswith("Matches list 1 card. A card here is taken to differ")
    assert "by 2.5 points or so (an assumption)" in sentence.text
    assert "home games then turn 1 of them" in sentence.text


def test_a_difference_that_was_learnt_is_said_to_be_so():
    sentence, _ = cards_section(replace(UPDATE, usual=Discrepancy(0.2, 0.1, True))).blocks

    assert "by 5 points or so (learnt from these games)" in sentence.text


def test_only_the_cards_that_moved_most_are_listed():
    many = tuple(replace(CARD, card=f"card {n}") for n in range(30))

    sentence, table = cards_section(replace(UPDATE, cards=many)).blocks

    assert len(table.rows) == LISTED
    assert table.rows[0][0] == "card 0"
    assert f"The {LISTED} cards" in sentence.text


def test_a_chance_at_the_bar_agrees_with_the_verdict():
    open_still = replace(CARD, chance_below=0.1001, verdict="more games")
    cut = replace(CARD, chance_below=0.9001, verdict="cut")

    _, table = cards_section(replace(UPDATE, cards=(open_still, cut))).blocks

    assert [row[5] for row in table.rows] == ["3 in 20", "18 in 20"]


def test_without_cards_there_is_nothing_to_say():
    assert cards_section(replace(UPDATE, cards=())).blocks == ()
