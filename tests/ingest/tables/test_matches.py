"""Reading the matches of a table of players."""

import datetime as dt
from pathlib import Path

import pytest

from winrate_tools.errors import MappingError, SettingError, TableError
from winrate_tools.ingest.roles.memory import remember_mapping
from winrate_tools.ingest.tables.matches import inspect_matches, read_matches
from winrate_tools.matches import Match

SAMPLE = Path(__file__).parent.parent.parent.parent / "sample_data"
HEADER = "player,opponent,games_won,games_lost,date,archetype\n"


def test_the_sample_matches_are_read():
    table = read_matches(SAMPLE / "home.csv")

    assert len(table.matches) == len(table.places) == 70
    assert sorted(table.players) == ["Ines", "Joris", "Marta", "Tobias", "Wren"]
    assert table.matches[0] == Match(
        "Tobias",
        "Wren",
        2,
        1,
        archetype="Printing Press",
        opponent_archetype="River Lights",
        date=dt.date(2026, 1, 9),
        had_first_seat=True,
    )
    assert len(table.matches[-1].cards) == 5
    assert table.source.notes == ()
    assert table.places[-1] == "home.csv:71"


def test_matches_from_abroad_are_read():
    table = read_matches(
        "Datum;Spieler;Gegner;Siege;Niederlagen;Unentschieden;Decktyp;Startspieler\n"
        "31.1.2026;Jürgen;Bo;2;1;;Drachen;ja\n1.2.2026;Bo;jürgen;0;2;1;;nein\n".encode("cp1252")
    )

    assert table.matches[0] == Match(
        "Jürgen",
        "Bo",
        2,
        1,
        archetype="Drachen",
        date=dt.date(2026, 1, 31),
        had_first_seat=True,
    )
    assert (table.matches[1].opponent, table.matches[1].draws) == ("Jürgen", 1)
    assert any("were read day first" in note for note in table.source.notes)
    assert any("'jürgen' was read as 'Jürgen'" in note for note in table.source.notes)


def test_a_match_told_by_both_is_counted_once_with_what_both_know():
    table = read_matches(
        b"player,opponent,games_won,games_lost,date,archetype,cards\n"
        b"Ada,Bo,2,1,2026-01-31,Kites,Ash Vine\n"
        b"Cy,Bo,2,1,2026-01-31,,\n"
        b"Bo,Ada,1,2,2026-01-31,Moths,Tin Moth\n"
    )

    first, second = table.matches
    assert (first.archetype, first.opponent_archetype) == ("Kites", "Moths")
    assert (first.cards, first.opponent_cards) == (("Ash Vine",), ("Tin Moth",))
    assert second.player == "Cy"
    assert table.places == ("<memory>:2", "<memory>:3")
    assert table.source.notes == (
        "matches that both players told were counted once: line 4 left out; if these were "
        "two matches, name the same player first in both lines",
    )


@pytest.mark.parametrize(
    ("row", "place", "message"),
    [
        ("Bo,Bo,2,1,2026-02-01,", "2", "another player than 'Bo' was wanted as the opponent"),
        (
            "Bo,Ada,2,1,2026-01-31,",
            "3",
            "Ada and Bo tell their match of 2026-01-31 differently",
        ),
        ("Bo,Ada,,1,2026-02-01,", "3", "games won were wanted, got a blank cell"),
        ("Bo,,2,1,2026-02-01,", "2", "an opponent name was wanted, got a blank cell"),
        ("Bo,Ada,2,1.5,2026-02-01,", "4", "games lost must be a whole number, got 1.5"),
        ("Bo,Ada,2,1,yesterday,", "5", "a date such as 2026-01-31 was wanted"),
    ],
)
def test_problems_stand_under_their_cell(row: str, place: str, message: str):
    text = f"{HEADER}Ada,Bo,2,1,2026-01-31,Kites\n{row}\n"

    [problem] = inspect_matches(text.encode()).problems

    assert problem.place == f"<memory>:3:{place}"
    assert problem.message.startswith(message)
    assert problem.line == row
    assert problem.fix


def test_bad_rows_can_be_left_out_and_the_others_stay():
    text = f"{HEADER}Ada,Bo,2,1,2026-01-31,\nBo,Bo,2,1,,\nBo,Cy,2,1,2026-02-01,\n".encode()
    with pytest.raises(TableError, match="1 problem; first: <memory>:3:2"):
        read_matches(text)

    table = read_matches(text, skip_bad=True)
    assert [match.player for match in table.matches] == ["Ada", "Bo"]
    assert table.places == ("<memory>:2", "<memory>:4")


def test_a_side_left_out_does_not_take_the_other_with_it():
    text = (
        f"{HEADER}Ada,Bo,2,1,2026-01-31,\nBo,Ada,2,0,2026-01-31,\nBo,Cy,2,1,2026-02-01,\n"
    ).encode()

    table = read_matches(text, skip_bad=True)

    assert [match.score for match in table.matches] == ["2-1", "2-1"]


def test_the_same_match_played_twice_is_no_repeat():
    row = "Ada,Bo,2,1,2026-01-31,\n"

    assert len(read_matches(f"{HEADER}{row}{row}".encode(), sum_duplicates=True).matches) == 2


def test_an_unclear_date_is_asked_for_with_a_line_that_works():
    data = f"{HEADER}Ada,Bo,2,1,3/4/2026,\n".encode()
    with pytest.raises(MappingError, match="no cell tells") as caught:
        read_matches(data)

    days = [
        read_matches(data, columns=answer).matches[0].date for answer in caught.value.candidates
    ]
    assert days == [dt.date(2026, 4, 3), dt.date(2026, 3, 4)]


def test_a_header_may_say_the_order_of_its_dates():
    data = b"player,opponent,games_won,games_lost,Date (DD/MM/YYYY)\nAda,Bo,2,1,3/4/2026\n"

    assert read_matches(data).matches[0].date == dt.date(2026, 4, 3)


def test_a_remembered_order_of_dates_is_followed(tmp_path: Path):
    path = tmp_path / "home.csv"
    path.write_text(f"{HEADER}Ada,Bo,2,1,3/4/2026,\n", "utf-8")
    headers = HEADER.strip().split(",")
    remember_mapping(tmp_path, headers, {"month_first_date": "date"})

    assert read_matches(path).matches[0].date == dt.date(2026, 3, 4)


def test_columns_without_a_word_are_asked_for_with_a_line_that_works():
    data = b"a,b,c,d\nAda,Bo,2,1\nCy,Bo,0,2\n"
    with pytest.raises(
        MappingError, match="holds player and opponent and games_won and games"
    ) as caught:
        read_matches(data)

    answer = {"player": 1, "opponent": 2, "games_won": 3, "games_lost": 4}
    assert caught.value.candidates[0] == answer
    assert read_matches(data, columns=answer).players == ("Ada", "Bo", "Cy")
    assert str(caught.value).endswith(
        'columns={"player": "a", "opponent": "b", "games_won": "c", "games_lost": "d"}'
    )


def test_what_is_known_already_stays_in_the_answers():
    with pytest.raises(MappingError) as caught:
        read_matches(b"Player,b,Won,d\nAda,Bo,2,1\nCy,Bo,0,2\n")

    assert caught.value.candidates == (
        {"player": 1, "opponent": 2, "games_won": 3, "games_lost": 4},
    )


def test_scores_stand_in_for_games_won_and_lost():
    table = read_matches(b"Player,Opponent,Result\nAda,Bo,2-1\nCy,Bo,1-2-1\n")

    assert [match.score for match in table.matches] == ["2-1", "1-2-1"]


def test_two_sides_that_contradict_each_other_in_scores_are_refused_at_the_score():
    text = b"player,opponent,score,date\nAda,Bo,2-1,2026-01-31\nBo,Ada,2-0,2026-01-31\n"

    [problem] = inspect_matches(text).problems

    assert problem.place == "<memory>:3:3"


def test_without_games_a_score_is_asked_for_too():
    with pytest.raises(MappingError, match=r"holds games_won and games_lost \(or score\)"):
        read_matches(b"player,opponent,date\nAda,Bo,2026-01-31\nBo,Ada,2026-01-31\n")


def test_a_column_of_many_names_is_not_taken_for_the_player():
    with pytest.raises(MappingError, match="cannot tell which column holds player"):
        read_matches(b"x,opponent,won,lost\nAda,Bo,2,1\nCy,Bo,0,2\nEd,Bo,1,2\n")


def test_a_role_of_other_tables_is_unknown_here():
    with pytest.raises(SettingError, match="no role 'games', did you mean 'games_won'"):
        read_matches(f"{HEADER}Ada,Bo,2,1,,\n".encode(), columns={"games": 3})


def test_a_table_of_cards_is_recognised():
    with pytest.raises(MappingError, match="those of a table of cards") as caught:
        read_matches(SAMPLE / "cards.csv")

    assert "rank(read_cards(TABLE))" in str(caught.value)
