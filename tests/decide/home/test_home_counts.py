"""From a table of matches to arrays."""

import datetime as dt

import numpy as np
import pytest

from tests.decide.home_tables import ARCHETYPES, FIRST, WEEK, match
from winrate_tools.decide.home.home_counts import Change, home_counts
from winrate_tools.errors import CountError, SettingError
from winrate_tools.matches import Match, MatchTable

TWO = [
    match("Ada", "Bo", 2, 1, "Kites", "Moths", draws=1, had_first_seat=True),
    match("Cy", "Ada", 0, 2, "Bells", "kites ", night=1, had_first_seat=False),
]


def counts(matches=TWO, changes=(), known=ARCHETYPES):
    return home_counts(MatchTable(matches), known, changes)


def test_draws_are_half_a_win_each_way():
    met = counts().contests

    assert met.wins.tolist() == [2.5, 0.0]
    assert met.games.tolist() == [4.0, 2.0]


def test_everybody_and_everything_has_a_place():
    found = counts()

    assert found.players == ("Ada", "Bo", "Cy")
    assert found.archetypes == ARCHETYPES
    assert found.contests.archetype.tolist() == [0, 2]
    assert found.contests.opponent_archetype.tolist() == [1, 0]
    assert found.contests.seat.tolist() == [1.0, -1.0]


def test_decks_are_counted_by_the_night_and_games_by_the_pair():
    again = [*TWO, match("Ada", "Cy", 2, 0, "Kites", "Drums")]

    found = counts(again)

    assert found.decks.tolist() == [[2, 0, 0, 0], [0, 1, 0, 0], [0, 0, 1, 1]]
    assert found.met.tolist() == [[0, 4, 2], [0, 0, 0], [2, 0, 0]]
    assert found.nights == 2


def test_without_days_every_match_is_a_deck_of_its_own():
    undated = [Match("Ada", "Bo", 1, 0, archetype="Kites")] * 3

    found = counts(undated)

    assert found.decks[0].tolist() == [3, 0, 0, 0]
    assert found.nights is None


def test_a_change_is_what_only_later_matches_have():
    change = Change("kites", FIRST + WEEK)

    found = counts(changes=[change])

    assert found.changes[0].archetype == "Kites"
    assert found.is_new.tolist() == [[False], [True]]
    players, seat, archetypes = 3, 1, 4
    assert found.rows.shape == (2, players + seat + archetypes + 1)
    assert found.rows[:, 4:].tolist() == [[1, -1, 0, 0, 0], [-1, 0, 1, 0, -1]]


def test_each_change_follows_its_own_archetype():
    rows = counts(changes=[Change("Bells"), Change("Moths")]).rows

    assert rows[:, -2:].tolist() == [[0, -1], [1, 0]]


def test_a_change_without_a_day_holds_for_all_matches():
    assert counts(changes=[Change("Kites")]).is_new.all()


def test_current_strengths_are_the_old_ones_and_what_the_change_did():
    current = counts(changes=[Change("Moths")]).current

    assert current.shape == (8, 9)
    assert np.array_equal(current[:, :8], np.eye(8))
    assert current[:, 8].tolist() == [0, 0, 0, 0, 0, 1, 0, 0]


def test_a_new_archetype_is_added_behind_those_of_strangers():
    matches = [match("Ada", "Bo", 1, 2, "Gongs", "Kites")]

    found = counts(matches, [Change("gongs")])

    assert found.archetypes == (*ARCHETYPES, "gongs")
    assert found.contests.archetype.tolist() == [4]


def test_where_strangers_know_none_the_matches_name_the_archetypes():
    assert counts(known=None).archetypes == ("Kites", "Moths", "Bells")


def test_matches_without_a_game_are_left_out():
    assert len(counts([*TWO, Match("Ada", "Di", 0, 0)]).matches) == 2


def test_at_least_one_game_is_wanted():
    with pytest.raises(CountError, match="at least one game was wanted, got none"):
        counts([Match("Ada", "Bo", 0, 0)])


@pytest.mark.parametrize(
    ("name", "message"),
    [
        (
            "Kitess",
            r"'Kitess', which strangers never played; did you mean 'Kites'.*--changed "
            r"'Kitess', in Python changed=\{'Kitess': None\}",
        ),
        ("Gongs", "'Gongs', which strangers never played; known are Kites, Moths, Bells"),
    ],
)
def test_an_archetype_that_nobody_knows_is_refused(name, message):
    with pytest.raises(CountError, match=message):
        counts([match("Ada", "Bo", 1, 0, name)])


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        (
            [Change("Kites"), Change("kites ")],
            "may be named as changed once, got 'kites' twice",
        ),
        ([Change("Kitess")], r"nobody ever played .* 'Kitess'.*; did you mean 'Kites'"),
        ([Change("Gongs")], "nobody ever played .* 'Gongs'.*; known are Kites, Moths"),
    ],
)
def test_a_change_that_makes_no_sense_is_refused(changes, message):
    with pytest.raises(SettingError, match=message):
        counts(changes=changes)


def test_a_dated_change_needs_dated_matches():
    matches = [*TWO, Match("Di", "Bo", 1, 0)]

    with pytest.raises(
        SettingError, match=r"'Kites' was changed on 2026-02-01, .*'Di' met 'Bo'"
    ):
        counts(matches, [Change("Kites", dt.date(2026, 2, 1))])


def test_one_archetype_alone_is_none():
    alone = [match("Ada", "Bo", 2, 1, "Kites", "Kites")]

    found = counts(alone, known=None)

    assert found.archetypes == ()
    assert not found.decks.size
    with pytest.raises(SettingError, match="'Kites' is the only archetype here"):
        counts(alone, [Change("kites")], None)


@pytest.mark.parametrize(
    ("matches", "name", "message"),
    [
        ([Match("Ada", "Bo", 2, 1)], "Whisk", "neither the matches nor strangers name any"),
        (TWO, "Kitess", "nobody ever played .* 'Kitess'.*; did you mean 'Kites'"),
    ],
)
def test_a_change_of_what_no_match_names_is_refused_where_strangers_name_none(
    matches, name: str, message: str
):
    with pytest.raises(SettingError, match=message):
        counts(matches, [Change(name)], None)
