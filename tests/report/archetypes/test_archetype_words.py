"""What is printed of an archetype."""

import numpy as np
import pytest

from tests.report.archetype_pools import HIGH, LOW, POOL, judged, pooled
from winrate_tools.decide.archetypes.archetype_verdicts import ArchetypeVerdict, CardPull
from winrate_tools.report.archetypes import archetype_words

BY_NAME = {one.archetype: one for one in POOL.archetypes}


def ends(one: ArchetypeVerdict) -> tuple[float, float]:
    low, high = archetype_words.range_of(one, POOL).removesuffix("%").split(" to ")
    return float(low), float(high)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("Bells", "over 19 in 20 below"),
        ("Kites", "12 in 20 between"),
        ("=Moths", "19 in 20 between"),
        ("Tides", "11 in 20 between"),
        ("Runes", "over 19 in 20 above"),
        ("Looms", "no games"),
    ],
)
def test_the_chance_names_where_the_archetype_is_said_to_lie(name: str, said: str):
    assert archetype_words.chance(BY_NAME[name], POOL) == said


@pytest.mark.parametrize("sure", [0.61, 0.9, 0.92, 0.99])
def test_the_same_printed_chance_never_has_two_verdicts(sure: float):
    pool = pooled(sure=sure)
    ones = [judged("Any", estimate, sure=sure) for estimate in np.arange(0.5, 0.6, 0.00021)]
    said: dict[str, set[str]] = {}
    for one in ones:
        said.setdefault(archetype_words.chance(one, pool), set()).add(one.verdict)

    assert len(said) > 8
    assert [verdicts for verdicts in said.values() if len(verdicts) > 1] == []


def test_a_printed_range_lies_beyond_a_line_exactly_where_the_verdict_says_so():
    ones = [judged("Any", estimate) for estimate in np.arange(0.5, 0.6, 0.00013)]

    for one in ones:
        low, high = ends(one)
        assert (high < 100 * LOW) == (one.verdict == "underpowered")
        assert (low > 100 * HIGH) == (one.verdict == "overpowered")
    assert {one.verdict for one in ones} == {
        "underpowered",
        "unsettled",
        "balanced",
        "overpowered",
    }


@pytest.mark.parametrize(
    ("verdict", "facts", "shown"),
    [
        ("underpowered", {"estimate": 0.52998, "low": 0.52, "high": 0.53}, "52.998%"),
        ("overpowered", {"estimate": 0.57002, "low": 0.57, "high": 0.58}, "57.002%"),
    ],
)
def test_rounding_never_carries_a_number_over_its_line(verdict, facts, shown):
    one = judged("Any", facts.pop("estimate"), **facts, verdict=verdict)
    low, high = ends(one)

    assert archetype_words.estimate(one, POOL) == shown
    assert high < 53 or verdict == "overpowered"
    assert low > 57 or verdict == "underpowered"


def test_an_unsettled_range_that_ends_on_a_line_is_printed_across_it():
    one = judged("Any", 0.52, verdict="unsettled", high=0.53 + 1e-7, low=0.51)
    other = judged("Any", 0.58, verdict="unsettled", low=0.57 - 1e-7, high=0.59)

    assert ends(one)[1] > 53
    assert ends(other)[0] < 57


def test_a_range_without_games_is_printed_as_it_is():
    one = judged("Any", 0.52, games=0, verdict="unsettled", high=0.52, low=0.51)

    assert archetype_words.range_of(one, POOL) == "51.0 to 52.0%"


@pytest.mark.parametrize(
    ("name", "said"), [("Bells", "settled"), ("Kites", "4,300"), ("Looms", "4,300")]
)
def test_games_needed_are_told_where_something_is_unsettled(name: str, said: str):
    assert archetype_words.games_needed(BY_NAME[name]) == said


def test_games_that_would_not_help_are_not_named():
    one = judged("Any", 0.533, games_needed=None)

    assert archetype_words.games_needed(one) == "won't help"


@pytest.mark.parametrize(("counted", "said"), [(None, "12,345"), (9.0, "12,000")])
def test_games_worked_out_from_cards_are_rounded(counted, said: str):
    assert archetype_words.games(BY_NAME["Bells"], pooled(counted=counted)) == said


@pytest.mark.parametrize("size", [0.0, 0.0004, 0.0006, 0.03])
def test_a_difference_shows_its_sign_if_it_shows_anything(size: float):
    up, down = archetype_words.signed(size), archetype_words.signed(-size)

    assert (up[0], down[0]) == (("+", "-") if size > 0.0005 else ("0", "0"))
    assert float(up) == -float(down)


def test_a_pull_comes_with_its_range():
    assert archetype_words.pull(CardPull("Tin Moth", -0.0031, -0.0072, 0.001, 0.97)) == (
        "Tin Moth -0.3 (-0.7 to +0.1)"
    )


def test_the_summary_names_the_archetypes_that_stand_out():
    assert archetype_words.summary(POOL) == (
        "Of 6 archetypes, underpowered: Bells; overpowered: Runes."
    )
    assert archetype_words.summary(pooled(judged("Any", 0.55))) == (
        "Of 1 archetype, none is clearly underpowered or overpowered."
    )
