"""A table's archetypes in words."""

from dataclasses import replace

from tests.report.home_updates import BELLS, KITES, MOTHS, UPDATE
from winrate_tools.report.document import Entries
from winrate_tools.report.home.home_archetypes import archetypes_section


def test_every_archetype_has_a_row_with_strangers_word_and_that_of_here():
    _, table, _ = archetypes_section(UPDATE).blocks

    assert table.rows[0] == (
        *("Kites (changed)", "33.5 of 67", "29.6", "45.3%", "underpowered", "47.5%"),
        *("42.4 to 52.8%", "11 in 20 below", "○ unsettled", "42%", "too long"),
    )
    assert table.rows[1][:5] == ("Bells", "none", "", "50.0%", "balanced")
    assert len(table.columns) == len(table.rows[0])
    assert table.tones == ("more games", "more games", "keep")


def test_verdicts_that_are_open_here_and_those_that_games_turn_are_counted():
    lines, *_ = archetypes_section(UPDATE).blocks

    assert "below 48.0% and overpowered above 52.0%" in lines.text
    assert "give or take 2.5 points" in lines.text
    assert lines.text.endswith(
        "leaves 0 of their verdicts as before; the games of this table then turn 1 verdict."
    )


def test_archetypes_that_strangers_leave_open_are_no_verdicts_of_theirs():
    alike = replace(BELLS, start_verdict="balanced", verdict="balanced")
    unsettled = replace(KITES, strangers_verdict="unsettled")
    both = replace(UPDATE, archetypes=(alike, unsettled, MOTHS))

    lines, *_ = archetypes_section(both).blocks

    assert "Strangers' games settle 2 of 3 archetypes." in lines.text
    assert "leaves 1 of their verdicts as before" in lines.text


def test_games_are_said_to_count_for_both_decks():
    lines, *_ = archetypes_section(UPDATE).blocks

    assert "In Won here, every game counts for both of its decks." in lines.text


def test_what_games_moved_beyond_luck_or_turned_is_told():
    _, _, entries = archetypes_section(UPDATE).blocks

    assert isinstance(entries, Entries)
    (entry,) = entries.items
    assert (entry.lead, entry.text) == (
        "Moths",
        "won 30 of 40 games where 22 were to be expected, better than the usual luck explains; "
        "with the other games that moved it from 54.0% to 56.0%. Home games made it "
        "overpowered.",
    )


def test_a_start_that_is_not_what_strangers_say_is_told_beside_it():
    shifted = replace(MOTHS, start=0.545)
    new = replace(shifted, strangers=None, strangers_verdict=None)

    *_, entries = archetypes_section(replace(UPDATE, archetypes=(shifted, new))).blocks

    first, second = entries.items
    assert "from 54.5% (strangers' 54.0% with the changes counted in) to 56.0%." in first.text
    assert "from 54.5% to 56.0%." in second.text


def test_a_verdict_that_games_turned_within_luck_is_told():
    turned = replace(MOTHS, agreement="as expected")

    *_, entries = archetypes_section(replace(UPDATE, archetypes=(turned,))).blocks

    assert entries.items[0].text.endswith("Home games made it overpowered.")


def test_what_only_one_player_holds_is_told():
    lonely = replace(BELLS, never="one hand")

    *_, entries = archetypes_section(replace(UPDATE, archetypes=(lonely,))).blocks

    assert entries.items[0].text.startswith("Never, as things go: only one player holds it")


def test_where_nothing_moved_nothing_more_is_said():
    assert len(archetypes_section(replace(UPDATE, archetypes=(KITES,))).blocks) == 2


NEW = replace(MOTHS, strangers=None, strangers_verdict=None)


def test_archetypes_that_strangers_never_met_are_said_to_be_so():
    unsettled = replace(KITES, strangers_verdict="unsettled")

    lines, table, _ = archetypes_section(replace(UPDATE, archetypes=(unsettled, NEW))).blocks

    assert table.rows[1][3:5] == ("never met", "")
    assert lines.text.endswith(
        "Strangers' games settle none; the games of this table settle 1."
    )


def test_where_strangers_met_none_of_them_their_columns_are_left_out():
    lines, table, _ = archetypes_section(replace(UPDATE, archetypes=(NEW,))).blocks

    assert [column.heading for column in table.columns][2:4] == ["Expected", "Here"]
    assert len(table.columns) == len(table.rows[0]) == 9
    assert lines.text.endswith(
        "Nothing is known of strangers' games with these archetypes, so all are taken for "
        "alike beforehand; the games of this table settle 1."
    )


def test_without_archetypes_there_is_nothing_to_say():
    assert archetypes_section(replace(UPDATE, archetypes=())).blocks == ()
