"""Whether a change has worked, in words."""

from dataclasses import replace

import pytest

from tests.report.home_updates import BELLS, KITES, MOTHS, OPEN, UNDATED, UPDATE
from winrate_tools.report.document import Entries, Paragraph, Table
from winrate_tools.report.home.home_changes import changes_section, further, sentence

ASKED = UPDATE.changes


def test_an_open_answer_says_how_sure_and_what_it_takes():
    assert sentence(OPEN, UPDATE) == (
        "Cannot tell yet. 6 in 20 that it lies within 2 points of an even share now, 11 in 20 "
        "that it lies below, 3 in 20 above; a yes takes 16 in 20 or more within, a no 18 in 20 "
        "or more outside. It won 33.5 of 67 games since 2026-01-09, where the numbers of "
        "strangers and who played it led to expect 29.6: within the usual luck. Best estimate "
        "47.5% (8 in 10 range: 42.4 to 52.8%). 13 in 20 that it got stronger, as meant."
    )


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (replace(OPEN, archetype=MOTHS, answer="no, too strong"), "No: it is too strong now."),
        (replace(OPEN, answer="no, too weak"), "No: it is still too weak."),
        (replace(OPEN, archetype=BELLS, answer="yes"), "Yes, as far as can be told."),
        (replace(OPEN, archetype=BELLS, date=None), "It has not been played, so this is only"),
        (
            replace(OPEN, archetype=replace(KITES, strangers=None)),
            "where the start and who played it led to expect 29.6",
        ),
        (replace(OPEN, archetype=MOTHS), "22: better than the usual luck explains."),
    ],
)
def test_the_answer_fits_the_archetype(change, said):
    assert said in sentence(change, UPDATE)


def test_nothing_is_said_of_a_direction_where_nobody_knows_what_was_before():
    assert "it got" not in sentence(replace(OPEN, chance_up=None), UPDATE)


@pytest.mark.parametrize(
    ("verdict", "said"),
    [
        ("underpowered", "13 in 20 that it got stronger, as meant."),
        ("overpowered", "7 in 20 that it got weaker, as meant."),
        ("balanced", "13 in 20 that it got stronger."),
        ("unsettled", "13 in 20 that it got stronger."),
    ],
)
def test_the_direction_is_told_by_what_the_change_was_meant_to_do(verdict, said):
    change = replace(OPEN, archetype=replace(KITES, strangers_verdict=verdict))

    assert sentence(change, UPDATE).endswith(f" {said}")


@pytest.mark.parametrize(
    ("mirrors", "said"),
    [
        (0, "33.5 of 67 games since 2026-01-09, where"),
        (1, "since 2026-01-09 (1 game against itself counts for both sides), where"),
        (6, "since 2026-01-09 (6 games against itself count for both sides), where"),
    ],
)
def test_games_of_an_archetype_against_itself_are_told(mirrors, said):
    change = replace(OPEN, archetype=replace(KITES, mirrors=mirrors))

    assert said in sentence(change, UPDATE)


def blocks(change, update=UPDATE):
    return changes_section(replace(update, changes=(change,))).blocks


def test_an_open_answer_comes_with_the_wait_and_what_nights_are_worth():
    entry, wait, table, stopping = blocks(OPEN)

    assert isinstance(entry, Entries)
    assert wait.text == (
        "When will this table know? Never at this table, in effect: 200 more nights like these "
        "would not answer it with a chance of 16 in 20. Asked whether it lies within 7 points "
        "instead, 50 more nights like these would very likely tell."
    )
    assert [column.heading for column in table.columns] == [
        "Further nights",
        "Further games",
        "Chance of an answer",
        "Chance to know whether it got stronger",
    ]
    assert table.rows[1] == ("200", "3,400", "8 in 20", "7 in 20")
    assert isinstance(stopping, Paragraph)
    assert "You may look after every night" in stopping.text


@pytest.mark.parametrize(
    ("archetype", "said"),
    [
        (BELLS, "Very likely after 73 nights more like these."),
        (replace(KITES, never="one hand"), "Never, as things go: only one player holds it"),
        (replace(KITES, never="nobody plays it"), "Never, as things go: nobody here plays it."),
    ],
)
def test_the_wait_says_why(archetype, said):
    change = replace(OPEN, archetype=archetype, wider=None)

    assert said in blocks(change)[1].text
    assert "instead" not in blocks(change)[1].text


def test_without_days_further_games_are_told():
    ahead = tuple(replace(each, nights=None, chance_direction=None) for each in OPEN.ahead)
    _, wait, table, _ = blocks(replace(OPEN, ahead=ahead), UNDATED)

    assert "3,400 more games like these would not answer" in wait.text
    assert isinstance(table, Table)
    assert [column.heading for column in table.columns] == [
        "Further games",
        "Chance of an answer",
    ]
    assert table.rows[0] == ("85", "under 1 in 20")


def test_a_direction_that_is_known_now_is_told_and_not_asked():
    ahead = tuple(replace(each, chance_direction=None) for each in OPEN.ahead)

    _, wait, table, _ = blocks(replace(OPEN, ahead=ahead))
    _, unasked, _, _ = blocks(replace(OPEN, ahead=ahead, chance_up=None))
    _, open_still, _, _ = blocks(OPEN)

    known = "Whether it got stronger or weaker can be told now; more games may turn that."
    assert wait.text.endswith(known)
    assert table.columns[-1].heading == "Chance of an answer"
    assert known not in unasked.text + open_still.text


def test_a_settled_answer_needs_no_wait():
    assert len(blocks(replace(OPEN, ahead=()))) == 2


def test_without_changes_there_is_nothing_to_say():
    assert changes_section(replace(UPDATE, changes=())).blocks == ()


def test_a_night_is_the_least_that_is_further():
    assert further(1, UPDATE) == "1 more night like these"


def test_an_archetype_that_was_to_weaken_is_asked_whether_it_did():
    weaker = replace(OPEN, archetype=replace(KITES, strangers_verdict="overpowered"))

    *_, table, _ = blocks(weaker)

    assert table.columns[-1].heading == "Chance to know whether it got weaker"
