"""The cut report in ten lines."""

from dataclasses import replace

import pytest

from tests.decide.earlier_pools import earlier_of
from tests.report.archetype_pools import POOL as ARCHETYPES
from tests.report.archetype_pools import judged as judged_archetype
from tests.report.archetype_pools import pooled as pooled_archetypes
from winrate_tools.decide.cards.since import since
from winrate_tools.report.cards.brief import LONGEST, brief
from winrate_tools.report.cards.cautions import LACKS
from winrate_tools.report.cards.sentences import (
    counts_sentence,
    expected_wrong,
    face_value_brief,
    line_sentence,
)
from winrate_tools.settings import Settings


def lines(pool, source, **options) -> list[str]:
    return brief(pool, source, version="0.1.0", **options).splitlines()


def test_it_opens_with_counts_and_line_and_ends_with_where_it_comes_from(pool, source):
    first, second, *_, last = lines(pool, source)

    assert (first, second) == (counts_sentence(pool), line_sentence(pool))
    assert last == "From cards.csv, games that count: held; winrate_tools 0.1.0."


def test_a_cut_has_its_chance_its_estimate_its_range_and_its_games(pool, source):
    [line] = [line for line in lines(pool, source) if line.startswith("Cut (")]

    assert line == (
        "Cut (chance of being below the line; best estimate, 8 in 10 range, games): Ember "
        "Oracle (over 19 in 20; 43.6%, 41.0 to 46.2%, 270), Tin Moth (over 19 in 20; 46.2%, "
        "44.7 to 47.7%, 1,840)."
    )


def test_it_says_how_many_cuts_are_expected_to_be_wrong(pool, source):
    assert expected_wrong(pool) in lines(pool, source)


def test_traps_are_named_with_their_chance(pool, source):
    assert "Traps, likely weak yet sought after: Tin Moth (over 19 in 20)." in lines(
        pool, source
    )


def test_archetypes_that_stand_out_are_named_with_their_numbers(pool, source):
    said = lines(replace(pool, archetypes=ARCHETYPES), source)

    assert (
        "Of 6 archetypes, underpowered: Bells (over 19 in 20 below 53.0%; 50.4%, 49.1 to "
        "51.7%); overpowered: Runes (over 19 in 20 above 57.0%; 59.2%, 57.9 to 60.5%)."
    ) in said


def test_where_no_archetype_stands_out_it_says_so(pool, source):
    even = pooled_archetypes(judged_archetype("Kites", 0.55))
    said = lines(replace(pool, archetypes=even), source)

    assert "Of 1 archetype, none is clearly underpowered or overpowered." in said


def test_it_says_what_cannot_be_said_and_what_would_settle_it(pool, source):
    assert (
        "4 cards cannot be called yet; 3 could be with more games, the nearest with about 87 "
        "of its own; more of the same games will not help 1 of them."
    ) in lines(pool, source)


def test_where_games_do_not_help_it_promises_none(make_card, make_pool, source):
    hopeless = make_pool(make_card("Ash Vine", 0.49, games_needed=None))
    hopeful = make_pool(make_card("Ash Vine", 0.49, games_needed=1234))

    assert (
        "1 card cannot be called yet; more of the same games will not help any of them."
    ) in lines(hopeless, source)
    assert (
        "1 card cannot be called yet; 1 could be with more games, the nearest with about 1,200 "
        "of its own."
    ) in lines(hopeful, source)


def test_what_limits_it_is_said(pool, source):
    said = lines(replace(pool, warnings=("no usage", "no factions")), source)

    [line] = [line for line in said if line.startswith("Mind: ")]
    assert "does not say how drafters treat the cards" in line
    assert "names no factions" in line


def test_what_hangs_on_the_allowance_is_told_first_of_what_to_mind(pool, source):
    hangs = replace(pool, face_value=(0, 6), warnings=("no factions",))

    [mind] = [line for line in lines(hangs, source) if line.startswith("Mind: ")]

    assert mind == f"Mind: {face_value_brief(hangs)} {LACKS['no factions']}"


def test_without_cuts_traps_archetypes_and_doubts_little_is_left(make_card, make_pool, source):
    said = lines(make_pool(make_card("River Bell", 0.56)), source)

    assert said[2:] == [
        "No card is called cut. Of the 1 card called keep, expect under 0.1 to be weak.",
        "From cards.csv, games that count: held; winrate_tools 0.1.0.",
    ]


def test_a_long_pool_is_counted_not_listed(make_card, make_pool, source):
    cards = [make_card(f"Moth {i}", 0.40 + i / 1000, reasons=("trap",)) for i in range(20)]
    said = "\n".join(lines(make_pool(*cards), source))

    assert said.count("Moth 5 (") == 2
    assert "Moth 6" not in said
    assert said.count(f", and {20 - LONGEST} more.") == 2


def test_it_never_has_more_than_ten_lines(pool, source):
    whole = replace(pool, archetypes=ARCHETYPES, warnings=("few cards", "no usage"))
    found = since(earlier_of(pool, line=0.47), whole, Settings())

    said = lines(whole, source, since=found)
    assert len(said) == 10
    assert [line for line in said if line.startswith("Since last time (")]


@pytest.mark.parametrize(
    ("name", "shown"), [("a|b <i> *x*", "a|b <i> *x*"), ("two\nlines", "two\\nlines")]
)
def test_names_stand_as_they_are_but_never_break_a_line(
    name, shown, make_card, make_pool, source
):
    said = lines(make_pool(make_card(name, 0.4)), source)

    assert f" {shown} (" in said[2]
    assert len(said) == 5
