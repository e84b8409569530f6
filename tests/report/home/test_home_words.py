"""Numbers of a table's own games, true to their verdicts."""

from dataclasses import replace

import pytest

from tests.report.home_updates import BELLS, KITES, MOTHS, UPDATE
from winrate_tools.report.archetypes import archetype_words
from winrate_tools.report.archetypes.archetype_words import PLACES
from winrate_tools.report.home import home_words

BALANCED = replace(BELLS, verdict="balanced", chance_below=0.1, chance_above=0.1)
WEAK = replace(KITES, verdict="underpowered", chance_below=0.901, chance_above=0.0)


@pytest.mark.parametrize(
    ("one", "shown"),
    [
        (replace(WEAK, estimate=0.47996), "47.996%"),
        (replace(MOTHS, estimate=0.52004), "52.004%"),
        (replace(WEAK, estimate=0.45), "45.0%"),
        (replace(BALANCED, estimate=0.4799), "47.99%"),
    ],
)
def test_an_estimate_stands_on_the_side_its_verdict_says(one, shown):
    assert archetype_words.estimate(one, UPDATE) == shown


@pytest.mark.parametrize(
    ("one", "shown"),
    [
        (KITES, "42.4 to 52.8%"),
        (replace(MOTHS, low=0.52003), "52.003 to 60.0%"),
        (replace(WEAK, high=0.47999), "42.4 to 47.999%"),
        (replace(KITES, high=0.48001), "42.4 to 48.001%"),
    ],
)
def test_a_range_lies_beyond_a_line_where_the_verdict_does(one, shown):
    assert home_words.range_of(one, UPDATE) == shown


@pytest.mark.parametrize(
    ("one", "shown"),
    [
        (KITES, "11 in 20 below"),
        (BELLS, "14 in 20 between"),
        (MOTHS, "19 in 20 above"),
        (BALANCED, "16 in 20 between"),
        (WEAK, "18 in 20 below"),
        (replace(KITES, chance_below=0.89), "17 in 20 below"),
    ],
)
def test_a_chance_never_rounds_over_the_bar_of_its_verdict(one, shown):
    assert archetype_words.likeliest(one, UPDATE) == shown


def test_the_places_that_a_verdict_does_not_name_keep_their_own_chances():
    found = [archetype_words.twentieths(WEAK, where, UPDATE) for where in PLACES]

    assert found == [18, 2, 0]


@pytest.mark.parametrize(
    ("one", "shown"),
    [
        (MOTHS, "settled"),
        (KITES, "too long"),
        (replace(KITES, never="one hand"), "never here"),
        (BELLS, "73 nights"),
        (replace(BELLS, nights_needed=1), "1 night"),
        (replace(BELLS, nights_needed=137), "140 nights"),
        (replace(BELLS, nights_needed=None), "1,200 games"),
    ],
)
def test_a_wait_fits_a_cell(one, shown):
    assert home_words.needed(one) == shown
