"""One match told from both sides."""

import pytest

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.check import check_rows
from winrate_tools.ingest.checks.sides import Sides, find_sides
from winrate_tools.ingest.roles.kinds import MATCHES
from winrate_tools.ingest.tables.match_columns import STEPS, MatchColumns

HEADER = "Player,Opponent,Won,Lost,Date,Archetype,Opponent archetype"
DAY, NEXT = "2026-01-30", "2026-01-31"


def sides(*rows: str) -> Sides:
    seen = view(HEADER, *(f"{row}{',' * (6 - row.count(','))}" for row in rows), kind=MATCHES)
    return find_sides(
        MatchColumns.of(check_rows(seen.sheet, dict(seen.where), STEPS, total=None))
    )


def test_a_match_told_by_both_is_counted_once_and_said():
    found = sides(f"Ada,Bo,2,1,{DAY}", f"Bo,Ada,1,2,{DAY}", f"Ada,Cy,2,0,{DAY}")

    assert found.retold == {1: 0}
    assert found.findings == ()
    assert found.notes == (
        "matches that both players told were counted once: line 3 left out; if these were two "
        "matches, name the same player first in both lines",
    )


def test_two_matches_told_from_one_side_are_two():
    found = sides(f"Ada,Bo,2,1,{DAY}", f"Ada,Bo,2,1,{DAY}", f"Ada,Bo,0,2,{DAY}")

    assert found == Sides()


def test_two_equal_matches_told_by_both_are_paired_one_to_one():
    found = sides(*(f"Ada,Bo,2,1,{DAY}",) * 2, *(f"Bo,Ada,1,2,{DAY}",) * 2)

    assert found.retold == {2: 0, 3: 1}


@pytest.mark.parametrize("row", [f"Bo,Ada,1,2,{NEXT}", f"Bo,Ada,2,0,{NEXT}"])
def test_on_another_day_it_was_another_match(row: str):
    assert sides(f"Ada,Bo,2,1,{DAY}", row) == Sides()


@pytest.mark.parametrize("row", [f"Bo,Ada,2,0,{DAY}", f"Bo,Ada,2,1,{DAY}", f"Bo,Ada,1,1,{DAY}"])
def test_two_sides_that_contradict_each_other_are_refused(row: str):
    found = sides(f"Ada,Cy,2,0,{DAY}", f"Ada,Bo,2,1,{DAY}", row)
    [wrong] = found.findings

    assert wrong.problem.place == "cards.csv:4:3"
    assert wrong.problem.message.startswith(
        f"Ada and Bo tell their match of {DAY} differently: Ada won 2-1 on line 3, "
    )
    assert "name the same player first" in wrong.problem.fix
    assert wrong.row == 2
    assert found.retold == {}


def test_two_sides_that_name_other_decks_are_refused():
    found = sides(f"Ada,Bo,2,1,{DAY},Kites,Moths", f"Bo,Ada,1,2,{DAY},Bells,Kites")

    [wrong] = found.findings
    assert wrong.problem.message.endswith(
        "differently: the games agree with line 2, decks or first seats do not"
    )


def test_a_side_that_only_one_of_two_told_is_no_contradiction():
    found = sides(f"Ada,Bo,2,1,{DAY}", f"Ada,Bo,0,2,{DAY}", f"Bo,Ada,2,0,{DAY}")

    assert found.retold == {2: 1}
    assert found.findings == ()


def test_without_dates_a_file_told_wholly_by_both_is_counted_once():
    found = sides("Ada,Bo,2,1", "Bo,Ada,1,2", "Cy,Bo,0,2", "Bo,Cy,2,0")

    assert found.retold == {1: 0, 3: 2}
    assert len(found.notes) == 1


def test_without_dates_a_lone_mirror_is_counted_twice_and_said():
    found = sides("Ada,Bo,2,1", "Bo,Ada,1,2", "Cy,Bo,0,2")

    assert found.retold == {}
    assert found.notes == (
        "line 3 mirrors line 2: both were counted, as no date tells whether they are one match",
    )


ALONE = [f"Ada,Cy,2,{n % 2},2026-02-{n + 1:02}" for n in range(7)]
"""Seven rows without a mirror."""


@pytest.mark.parametrize("row", [f"Bo,Ada,1,2,{DAY}", f"Bo,Ada,2,0,{DAY}"])
def test_where_few_rows_have_a_mirror_they_are_rematches_and_that_is_said(row: str):
    found = sides(f"Ada,Bo,2,1,{DAY}", row, *ALONE)

    assert (found.retold, found.findings) == ({}, ())
    assert found.notes == (
        "few rows have one of the same day with the players the other way round, so these were "
        "counted as two matches each: line 2 and line 3; where both players told one match, "
        "delete one of the two lines",
    )


def test_half_of_the_rows_are_not_few():
    rows = (f"Ada,Bo,2,1,{DAY}", f"Bo,Ada,1,2,{DAY}")
    half, fewer = sides(*rows, *ALONE[:2]), sides(*rows, *ALONE[:3])

    assert half.retold == {1: 0}
    assert fewer.retold == {}


def test_rows_without_a_date_do_not_make_mirrors_few():
    undated = [row.rpartition(",")[0] for row in ALONE]

    assert sides(f"Ada,Bo,2,1,{DAY}", f"Bo,Ada,1,2,{DAY}", *undated).retold == {1: 0}


def test_a_match_that_nobody_won_is_told_so():
    [wrong] = sides(f"Ada,Bo,1,1,{DAY}", f"Bo,Ada,0,2,{DAY}").findings

    assert wrong.problem.message.endswith("nobody won, 1-1 on line 2, Ada won 2-0 here")


def test_rows_that_are_wrong_anyway_tell_of_no_match():
    found = sides(f"Ada,Bo,2,1,{DAY}", f"Bo,Ada,1,x,{DAY}", f"Bo,Bo,1,2,{DAY}")

    assert found == Sides()


def test_the_later_row_retells_the_earlier_whoever_is_named_first():
    found = sides(f"Bo,Ada,1,2,{DAY}", f"Ada,Bo,2,1,{DAY}", f"Ada,Bo,2,0,{DAY}")

    assert found.retold == {1: 0}


def test_a_contradiction_is_held_against_a_row_that_nothing_agrees_with():
    found = sides(
        f"Ada,Bo,2,1,{DAY}", f"Ada,Bo,2,0,{DAY}", f"Bo,Ada,1,2,{DAY}", f"Bo,Ada,2,1,{DAY}"
    )

    assert found.retold == {2: 0}
    assert [one.problem.place for one in found.findings] == ["cards.csv:5:3"]
    assert "Ada won 2-0 on line 3, Bo won 2-1 here" in found.findings[0].problem.message


@pytest.mark.parametrize(
    "row",
    [
        f"Bo,Ada,1,2,{DAY},Bells,Lamps",
        f"Bo,Ada,2,0,{DAY},Bells,Kites",
        f"Bo,Ada,2,0,{DAY},,Lamps",
    ],
)
def test_on_one_day_with_other_decks_it_was_another_match_and_is_said(row: str):
    found = sides(f"Ada,Bo,2,1,{DAY},Kites,Moths", row)

    assert (found.retold, found.findings) == ({}, ())
    assert found.notes == (
        "rows of both players on one day that name other decks count as two matches: line 2 "
        "and line 3",
    )


@pytest.mark.parametrize("decks", ["Moths,Moorlicher", "Moths,", ","])
def test_a_slip_in_a_deck_or_an_unknown_one_makes_no_second_match(decks: str):
    found = sides(f"Ada,Bo,2,1,{DAY},Moorlichter,Moths", f"Bo,Ada,2,0,{DAY},{decks}")

    assert len(found.findings) == 1
    assert found.notes == ()


def test_a_contradiction_is_sought_among_rows_of_the_same_decks_first():
    found = sides(
        f"Ada,Bo,2,0,{DAY},Lamps,Bells",
        f"Ada,Bo,2,1,{DAY},Kites,Moths",
        f"Bo,Ada,2,1,{DAY},Moths,Kites",
    )

    [wrong] = found.findings
    assert "Ada won 2-1 on line 3, Bo won 2-1 here" in wrong.problem.message
    assert found.notes == ()
