"""The same card in two tables."""

import pytest

from winrate_tools.decide.plan.matching import hint, nearest, places
from winrate_tools.errors import CountError


def test_names_are_found_whatever_their_case_and_others_are_not_taken_for_them():
    assert places(["moth", "Bell", "ASH VINE"], ["Ash Vine", "Moth"], "it") == [1, None, 0]


def test_a_very_like_name_that_nothing_matches_is_asked_about():
    with pytest.raises(CountError) as caught:
        places(["Ash Vina", "Moth"], ["Ash Vine", "Moth"], "the table of games")

    assert str(caught.value) == (
        "not in the table of games: 'Ash Vina' (did you mean 'Ash Vine'?). Names must agree "
        "but for case and blanks: mend one of the two tables"
    )


def test_a_very_like_name_that_has_its_own_match_is_no_slip():
    assert places(["Ember Lantern", "Amber Lantern"], ["Ember Lantern"], "it") == [0, None]


def test_the_nearest_name_is_near_or_none():
    assert (
        nearest("floating flower", ["River Lights", "Floating Flowers"]) == "Floating Flowers"
    )
    assert nearest("Moth", ["River Lights"]) is None


def test_an_unknown_name_is_met_with_a_near_one_or_with_all_there_are():
    known = ["River Lights", "Floating Flowers"]

    assert hint("River Light", known) == "did you mean 'River Lights'?"
    assert hint("Moth", known, "known are") == "known are River Lights, Floating Flowers"
    assert hint("Moth", []) == "there are none"


def test_all_misspelt_names_are_told_at_once_up_to_twenty():
    known = [f"lantern of lane {chr(97 + i)}" for i in range(25)]
    slips = [name.replace("lantern", "lantren") for name in known]

    with pytest.raises(CountError) as told:
        places(slips, known, "the pool")

    assert str(told.value).count("did you mean") == 20
    assert "and 5 more. Names" in str(told.value)
