"""Checked tables of the user's own matches."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from winrate_tools.errors import CountError
from winrate_tools.matches import Match, MatchTable

DAY = dt.date(2026, 1, 31)
MATCH = Match(
    "Ada", "Bo", 2, 1, 1, "Kites", "Moths", DAY, ("Ash Vine",), True, ("Tin Moth",)
)  # fmt: skip

matches = st.builds(
    Match,
    st.just("Ada"),
    st.just("Bo"),
    st.integers(0, 3),
    st.integers(0, 3),
    draws=st.integers(0, 1),
    archetype=st.sampled_from([None, "Kites"]),
    opponent_archetype=st.sampled_from([None, "Moths"]),
    date=st.sampled_from([None, DAY]),
    cards=st.sampled_from([(), ("Ash Vine",)]),
    had_first_seat=st.sampled_from([None, True, False]),
    opponent_cards=st.sampled_from([(), ("Tin Moth",)]),
)


def test_a_match_knows_its_games_and_its_score():
    assert (MATCH.games, MATCH.score) == (4, "2-1-1")
    assert replace(MATCH, draws=0).score == "2-1"


def test_the_opponent_sees_everything_from_the_other_side():
    seen = MATCH.seen_by_opponent()

    assert seen == Match(
        "Bo", "Ada", 1, 2, 1, "Moths", "Kites", DAY, ("Tin Moth",), False, ("Ash Vine",)
    )


@given(matches)
def test_seen_from_the_other_side_twice_a_match_is_itself(match: Match):
    assert match.seen_by_opponent().seen_by_opponent() == match
    assert match.agrees(match.seen_by_opponent())


@pytest.mark.parametrize(
    "change",
    [
        {"player": "Cy"},
        {"opponent": "Cy"},
        {"games_won": 0},
        {"games_lost": 0},
        {"draws": 0},
        {"date": None},
        {"date": DAY + dt.timedelta(1)},
        {"archetype": "Bells"},
        {"opponent_archetype": "Bells"},
        {"had_first_seat": True},
    ],
)
def test_a_row_that_tells_anything_else_does_not_agree(change: dict[str, object]):
    assert not MATCH.agrees(replace(MATCH.seen_by_opponent(), **change))


@pytest.mark.parametrize(
    "change", [{"archetype": None}, {"opponent_archetype": None}, {"had_first_seat": None}]
)
def test_what_one_side_does_not_know_is_no_contradiction(change: dict[str, object]):
    assert MATCH.agrees(replace(MATCH.seen_by_opponent(), **change))
    assert replace(MATCH, **change).agrees(MATCH.seen_by_opponent())


def test_two_rows_of_a_match_fill_each_others_gaps():
    mine = Match("Ada", "Bo", 2, 1, archetype="Kites", cards=("Ash Vine",))
    theirs = Match(
        "Bo", "Ada", 1, 2, archetype="Moths", cards=("Tin Moth",), had_first_seat=False
    )
    both = mine.joined(theirs)

    assert (both.archetype, both.opponent_archetype) == ("Kites", "Moths")
    assert (both.cards, both.opponent_cards) == (("Ash Vine",), ("Tin Moth",))
    assert both.had_first_seat is True


@given(matches)
def test_nothing_that_a_row_knows_is_lost_to_the_other(match: Match):
    bare = Match("Ada", "Bo", match.games_won, match.games_lost, match.draws, date=match.date)

    assert match.joined(bare.seen_by_opponent()) == match
    assert bare.joined(match.seen_by_opponent()) == match


def test_players_come_in_order_of_first_appearance():
    table = MatchTable(
        [Match("Cy", "Bo", 2, 1), Match("Ada", "Cy", 0, 2)], places=["a:2", "a:3"]
    )

    assert table.players == ("Cy", "Bo", "Ada")
    assert table.places == ("a:2", "a:3")
    assert table.source.name == "<memory>"


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"player": " "}, "every match needs a player and an opponent, got a blank name"),
        ({"opponent": ""}, "every match needs a player and an opponent, got a blank name"),
        ({"opponent": "Ada"}, "'Ada' cannot play against themself"),
        ({"opponent": " ADA"}, "'Ada' cannot play against themself"),
        ({"games_won": -1}, "'Ada': games_won must be a whole number from 0, got -1"),
        ({"games_lost": 0.5}, "'Ada': games_lost must be a whole number, got 0.5"),
        (
            {"games_won": "2"},
            "'Ada': games_won must be a whole number, without quotes, got '2'",
        ),
        ({"player": None}, "player must be text, got None"),
        ({"archetype": 3}, "'Ada': archetype must be text or None, got 3"),
        (
            {"date": "May"},
            "'Ada': date must be a day such as date(2026, 1, 31) or None, got 'May'",
        ),
        ({"cards": "Ash Vine"}, "'Ada': cards must be a list of texts, got 'Ash Vine'"),
        ({"had_first_seat": 1}, "'Ada': had_first_seat must be True or False or None, got 1"),
        ({"draws": -2}, "'Ada': draws must be a whole number from 0, got -2"),
    ],
)
def test_a_match_that_makes_no_sense_is_refused(change: dict[str, object], message: str):
    with pytest.raises(CountError) as caught:
        MatchTable([replace(MATCH, **change)])

    assert str(caught.value) == message


def test_a_table_of_anything_else_is_refused():
    with pytest.raises(CountError, match=r"^matches must be a list of Match, got 'home.csv'$"):
        MatchTable("home.csv")
    with pytest.raises(
        CountError, match=r"^matches must be a list of Match, got 3 among them$"
    ):
        MatchTable([MATCH, 3])
    with pytest.raises(CountError, match=r"^places must be a list of texts, got 3$"):
        MatchTable([MATCH], places=3)


def test_lists_of_cards_are_kept_as_tuples_and_moments_as_days():
    assert replace(MATCH, cards=["Ash Vine"], games_won=np.int64(2)) == MATCH
    assert replace(MATCH, date=dt.datetime(2026, 1, 31, 20)) == MATCH
    assert MatchTable(iter([MATCH])) == MatchTable((MATCH,))


def test_a_player_in_two_spellings_is_refused():
    with pytest.raises(CountError, match="one spelling throughout, got 'Ada' and 'ada'"):
        MatchTable([MATCH, Match("Cy", "ada", 1, 0)])


def test_a_match_without_games_is_legal():
    assert MatchTable([Match("Ada", "Bo", 0, 0)]).matches[0].games == 0


def test_matches_print_in_a_line():
    table = MatchTable([Match("Ada", "Bo", 2, 1), Match("Bo", "Cy", 0, 2)])

    assert str(table) == "<MatchTable <memory>: 2 rows; Ada against Bo, Bo against Cy>"
