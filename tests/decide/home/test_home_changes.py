"""Whether a change has worked, and when a table can know."""

from dataclasses import replace

import pytest

from tests.decide.home_tables import POOL, home, match, nights
from winrate_tools.decide.home.home_archetypes import home_archetypes
from winrate_tools.decide.home.home_changes import AHEAD, change_outlooks
from winrate_tools.decide.home.home_counts import Change

KITES = Change("Kites")


def outlook(matches, change=KITES):
    played = home(matches, [change])
    (found,) = change_outlooks(played, home_archetypes(played))
    return found


@pytest.mark.parametrize(
    ("won", "lost", "answer"),
    [
        (10, 30, "no, too weak"),
        (30, 10, "no, too strong"),
        (20, 20, "cannot tell yet"),
    ],
)
def test_the_answer_is_the_verdict_of_what_was_changed(won, lost, answer):
    assert outlook(nights(won, lost, 3)).answer == answer


def test_enough_even_games_say_yes():
    found = outlook(nights(4100, 4000, 6))

    assert found.answer == "yes"
    assert (found.ahead, found.wider) == ((), None)


def test_the_chance_that_it_did_good_grows_with_what_was_won():
    chances = [outlook(nights(won, 40 - won, 3)).chance_up for won in (12, 20, 26)]

    assert chances[0] < 0.5 < chances[1] < chances[2]


def test_games_of_before_the_change_tell_what_it_was():
    weak, even = nights(12, 28, 6), nights(20, 20, 12)[12:]
    change = Change("Kites", even[0].date)

    dated = outlook([*weak, *even], change)
    assert dated.chance_up > outlook(even).chance_up
    assert dated.date == change.date


def test_each_change_has_its_own_chance():
    played = home(nights(28, 12, 6), [Change("Kites"), Change("Bells")])

    kites, bells = change_outlooks(played, home_archetypes(played))
    assert kites.chance_up > 0.8
    assert bells.chance_up < 0.5


def test_of_a_new_archetype_nobody_knows_what_it_was():
    found = outlook([match("Ada", "Bo", 3, 2, "Gongs", "Kites")], Change("Gongs"))

    assert found.chance_up is None
    assert [each.chance_direction for each in found.ahead] == [None] * len(AHEAD)


def test_further_nights_are_worth_more_the_more_there_are():
    found = outlook(nights(17, 23, 2))

    assert [each.nights for each in found.ahead] == list(AHEAD)
    assert [each.games for each in found.ahead] == [80 * count for count in AHEAD]
    first, *_, last = found.ahead
    assert first.chance_answer + 0.05 < last.chance_answer
    assert first.chance_direction < last.chance_direction


def test_a_direction_that_is_known_is_not_asked_for_again():
    known, open_still = outlook(nights(24, 16, 3)), outlook(nights(20, 20, 3))

    assert known.answer == open_still.answer == "cannot tell yet"
    assert open_still.chance_up < 0.9 <= known.chance_up
    assert {each.chance_direction for each in known.ahead} == {None}
    assert None not in {each.chance_direction for each in open_still.ahead}


@pytest.mark.parametrize(
    ("verdict", "aim"),
    [("underpowered", "up"), ("overpowered", "down"), ("balanced", None), (None, None)],
)
def test_a_change_is_meant_against_what_strangers_found(verdict, aim):
    found = outlook(nights(20, 20, 3))
    judged = replace(found.archetype, strangers_verdict=verdict)

    assert replace(found, archetype=judged).aim == aim


def test_without_days_further_games_are_counted_by_the_twenty():
    undated = outlook([replace(one, date=None) for one in nights(3, 2, 2)])

    assert [each.nights for each in undated.ahead] == [None] * len(AHEAD)
    assert undated.ahead[0].games == 20 * AHEAD[0]


def test_a_wider_margin_is_offered_where_it_would_soon_be_settled():
    found = outlook(nights(20, 20, 3))

    assert 0.02 < found.wider <= 0.1
    assert found.soon == 50 * 80


def test_the_margin_offered_is_wider_than_the_one_asked_for():
    asked = replace(POOL, archetypes=replace(POOL.archetypes, margin=0.06))
    played = home(nights(16, 24, 2), [KITES], asked)

    (found,) = change_outlooks(played, home_archetypes(played))
    assert found.answer == "cannot tell yet"
    assert found.wider > 0.06


def test_no_margin_is_offered_where_none_would_do():
    found = outlook(nights(1, 1, 1), Change("Kites", None, 0.6, 0.5, 0.7))

    assert found.wider is None


def test_a_forecast_is_started_from_and_kept():
    change = Change("Kites", None, 0.55, 0.53, 0.57)

    found = outlook(nights(1, 1, 1), change)

    assert found.forecast == 0.55
    assert found.archetype.start == pytest.approx(0.55, abs=2e-3)
    assert found.archetype.estimate > outlook(nights(1, 1, 1)).archetype.estimate
