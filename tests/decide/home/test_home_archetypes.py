"""What becomes of strangers' word on archetypes once a table has played."""

import pytest
from scipy.special import expit, logit

from tests.decide.home_tables import ARCHETYPES, POOL, WITHOUT_ARCHETYPES, home, match, nights
from winrate_tools.decide.home.home_archetypes import home_archetypes
from winrate_tools.decide.home.home_counts import Change


def judged(matches, changes=(), pool=POOL):
    return {one.archetype: one for one in home_archetypes(home(matches, changes, pool))}


def test_strangers_numbers_are_moved_to_an_even_table():
    one = judged(nights(1, 1, 3))["Kites"]

    strangers = next(each for each in POOL.archetypes.archetypes if each.archetype == "Kites")
    shift = logit(POOL.archetypes.mean)
    assert one.strangers == pytest.approx(expit(logit(strangers.estimate) - shift))
    assert one.strangers_low == pytest.approx(expit(logit(strangers.low) - shift))
    assert one.strangers_high == pytest.approx(expit(logit(strangers.high) - shift))
    assert one.strangers_verdict == "underpowered"
    assert one.start == pytest.approx(one.strangers, abs=1e-3)


def test_archetypes_stand_from_the_weakest_up():
    found = home_archetypes(home(nights(1, 1, 3)))

    assert [one.estimate for one in found] == sorted(one.estimate for one in found)
    assert {one.archetype for one in found} == set(ARCHETYPES)


def test_records_count_both_sides_and_what_was_to_be_expected():
    found = judged(
        [match("Ada", "Bo", 3, 1, "Kites", "Drums"), match("Bo", "Ada", 2, 2, "Kites")]
    )

    assert (found["Kites"].games, found["Kites"].wins) == (8, 5)
    assert (found["Drums"].games, found["Drums"].wins) == (4, 1)
    assert found["Kites"].expected < 4 < 2 * found["Drums"].expected


def test_games_of_an_archetype_against_itself_are_counted_beside_its_record():
    mirrored = match("Ada", "Bo", 3, 1, "Kites", "Kites", night=1)
    old = match("Bo", "Ada", 2, 2, "Kites", "Kites")
    others = [match("Ada", "Bo", 2, 1, "Moths", "Drums", night=1), match("Bo", "Ada", 2, 0)]

    found = judged([old, mirrored, *others])
    since = judged([old, mirrored, *others], [Change("Kites", mirrored.date)])

    assert (found["Kites"].games, found["Kites"].wins, found["Kites"].mirrors) == (16, 8, 8)
    assert (since["Kites"].games, since["Kites"].wins, since["Kites"].mirrors) == (8, 4, 4)
    assert [found[name].mirrors for name in ("Moths", "Drums", "Bells")] == [0, 0, 0]


@pytest.mark.parametrize(
    ("won", "lost", "agreement"),
    [(7, 3, "better"), (9, 11, "as expected"), (1, 9, "worse")],
)
def test_agreement_is_judged_against_the_usual_luck(won, lost, agreement):
    assert judged(nights(won, lost, 4))["Kites"].agreement == agreement


def test_an_archetype_without_home_games_keeps_strangers_word():
    one = judged(nights(2, 1, 4))["Drums"]

    assert (one.games, one.agreement, one.weight, one.alone) == (0, "no games", 0.0, None)
    assert one.estimate == pytest.approx(one.start, abs=0.01)


def test_home_games_get_more_say_the_more_there_are():
    weights = [judged(nights(2, 2, count))["Kites"].weight for count in (1, 5, 50)]

    assert 0 < weights[0] < 0.05 < weights[1] < 0.3 < weights[2] < 1


def test_many_home_games_settle_what_strangers_had_otherwise():
    one = judged(nights(30, 10, 12))["Kites"]

    assert one.verdict == "overpowered"
    assert one.chance_above > 0.9
    assert one.start_verdict != "overpowered"
    assert one.chance_stray > 0.2
    bells = judged(nights(30, 10, 12))["Bells"]
    assert bells.chance_stray < one.chance_stray
    assert one.expected / one.games == pytest.approx(0.45, abs=0.01)
    assert (one.games_needed, one.nights_needed, one.never) == (0, 0, None)


def test_a_few_contrary_games_do_not_drown_strangers():
    one = judged(nights(3, 1, 1))["Kites"]

    assert one.estimate < 0.5
    assert one.verdict != "overpowered"


def test_a_changed_archetype_counts_only_games_since():
    before, since = nights(1, 9, 3), nights(6, 4, 6)
    change = Change("Kites", since[6].date)

    one = judged([*before, *since[6:]], [change])["Kites"]

    assert one.is_changed
    assert (one.games, one.wins) == (60, 36)
    assert one.estimate > judged([*before, *since[6:]])["Kites"].estimate


@pytest.mark.parametrize(
    ("matches", "name", "never"),
    [
        (nights(1, 1, 3), "Drums", "nobody plays it"),
        ([match("Ada", "Bo", 5, 5, "Kites", "Moths", night=n) for n in range(6)], "Kites",
         "one hand"),
        (nights(1, 1, 3), "Moths", "too slow"),
    ],
)  # fmt: skip
def test_a_table_that_will_never_know_is_told_why(matches, name, never):
    one = judged(matches)[name]

    assert one.verdict == "unsettled"
    assert (one.games_needed, one.nights_needed, one.never) == (None, None, never)


def test_the_wait_is_told_in_games_and_in_nights():
    one = judged(nights(17, 23, 2), [Change("Kites")])["Kites"]

    assert one.verdict == "unsettled"
    assert one.nights_needed == -(-one.games_needed // 80)


def test_without_strangers_the_games_speak_from_the_mean():
    one = judged(nights(20, 10, 9), pool=WITHOUT_ARCHETYPES)["Kites"]

    assert one.strangers is one.strangers_low is one.strangers_verdict is None
    assert one.start == pytest.approx(0.5)
    assert one.estimate > 0.55
