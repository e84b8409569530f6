"""Columns of a table of matches."""

import datetime as dt

from tests.ingest.sheets import view
from winrate_tools.ingest.checks.check import check_rows
from winrate_tools.ingest.roles.kinds import MATCHES
from winrate_tools.ingest.tables.match_columns import STEPS, MatchColumns
from winrate_tools.matches import Match

HEADER = "Player,Opponent,Won,Lost,Draws,Archetype,Opponent's archetype,Date,Cards,First seat"


def told(*rows: str, header: str = HEADER) -> MatchColumns:
    seen = view(header, *rows, kind=MATCHES)
    return MatchColumns.of(check_rows(seen.sheet, dict(seen.where), STEPS, total=None))


def test_every_column_finds_its_way_into_the_match():
    columns = told("Ada,Bo,2,1,1,Kites,Moths,2026-01-31,Ash Vine; Tin Moth,yes")

    assert columns.match(0) == Match(
        "Ada",
        "Bo",
        2,
        1,
        1,
        "Kites",
        "Moths",
        dt.date(2026, 1, 31),
        ("Ash Vine", "Tin Moth"),
        True,
    )
    assert columns.columns.findings == ()


def test_columns_that_are_not_there_leave_the_match_plain():
    columns = told("Ada,Bo,2,1", header="Player,Opponent,Won,Lost")

    assert columns.match(0) == Match("Ada", "Bo", 2, 1)


def test_blank_cells_are_unknown_and_blank_draws_are_none_and_said():
    columns = told("Ada,Bo,2,1,,,,,,", "Ada,Bo,2,1,1,,,,,no")

    assert columns.match(0) == Match("Ada", "Bo", 2, 1)
    assert columns.match(1) == Match("Ada", "Bo", 2, 1, 1, had_first_seat=False)
    assert columns.columns.notes == ("draws are blank, none were taken: line 2",)


def test_names_that_differ_in_case_or_blanks_are_one_player_on_either_side():
    columns = told(
        "Ada,BO,2,1,0,kites,Moths,,,", "ada,Cy,2,1,0,Kites,,,,", "Bo,ADA,0,2,0,moths,Kites,,,"
    )

    assert columns.player == ("Ada", "Ada", "BO")
    assert columns.opponent == ("BO", "Cy", "Ada")
    assert columns.archetype == ("kites", "kites", "Moths")
    assert columns.opponent_archetype == ("Moths", None, "kites")
    said = [*columns.columns.notes, *columns.notes]
    assert "player 'ada' was read as 'Ada'" in said
    assert "opponent 'Bo' was read as 'BO'" in said
    assert "opponent 'ADA' was read as 'Ada'" in said
    assert "opponent archetype 'moths' was read as 'Moths'" in said


def test_a_player_against_themself_is_reported_at_the_opponent():
    columns = told("Ada,ada,2,1,0,,,,,", "Ada,Bo,2,1,0,,,,,")
    [found] = columns.columns.findings

    assert found.problem.place == "cards.csv:2:2"
    assert found.problem.message == (
        "another player than 'Ada' was wanted as the opponent, got the same"
    )
    assert found.row == 0


def test_blank_names_are_reported_and_are_nobody_against_themself():
    columns = told(",,2,1,0,,,,,", "Ada,Bo,2,1,0,,,,,")

    assert [found.problem.message for found in columns.columns.findings] == [
        "a player name was wanted, got a blank cell",
        "an opponent name was wanted, got a blank cell",
    ]


def test_blank_and_broken_counts_are_reported_once():
    columns = told("Ada,Bo,,1.5,x,,,,,", "Ada,Bo,-1,2,0,,,,,perhaps")

    assert sorted(found.problem.place for found in columns.columns.findings) == [
        "cards.csv:2:3",
        "cards.csv:2:4",
        "cards.csv:2:5",
        "cards.csv:3:10",
        "cards.csv:3:3",
    ]
    assert columns.columns.findings[-2].problem.message == (
        "games won were wanted, got a blank cell for 'Ada'"
    )
    assert columns.columns.notes == ()


def test_a_blank_score_is_reported_once():
    columns = told("Ada,Bo,2-1", "Ada,Bo,", header="Player,Opponent,Score")
    said = {found.problem.place: found.problem.message for found in columns.columns.findings}

    assert said == {
        "cards.csv:3:3": "a score such as 2-1 was wanted, got a blank cell for 'Ada'"
    }
    assert columns.match(0) == Match("Ada", "Bo", 2, 1)


def test_scores_without_draws_say_nothing_of_blank_ones():
    columns = told("Ada,Bo,2-1", "Ada,Bo,1-1-1", header="Player,Opponent,Score")

    assert [columns.match(row).draws for row in (0, 1)] == [0, 1]
    assert columns.columns.notes == ()


def test_draws_of_their_own_go_beside_a_score():
    columns = told("Ada,Bo,2-1,1", header="Player,Opponent,Score,Draws")

    assert columns.columns.findings[0].problem.message == (
        "score 2-1 contradicts draws 1 for 'Ada'"
    )


def test_a_told_order_of_dates_goes_before_a_plain_column():
    seen = view(
        "Player,Opponent,Won,Lost,Date,Day (D/M/Y)", "Ada,Bo,2,1,x,3/4/2026", kind=MATCHES
    )
    where = {**seen.where, "day_first_date": 6}
    columns = MatchColumns.of(check_rows(seen.sheet, where, STEPS, total=None))

    assert columns.date(0) == dt.date(2026, 4, 3)


def test_dates_out_of_order_are_said():
    columns = told("Ada,Bo,2,1,0,,,2026-02-01,,", "Ada,Bo,2,1,0,,,2026-01-01,,",
                   "Ada,Bo,2,1,0,,,2026-03-01,,")  # fmt: skip

    assert columns.columns.notes[-1].startswith("dates are out of order: 2026-01-01 on line 3")
