"""How to read a report and how it came about."""

from dataclasses import replace

import pytest

from winrate_tools.report.cards.method import how_it_was_worked_out, how_to_read
from winrate_tools.tables import Source


def told(pool, source=None, **origins: str) -> dict[str, str]:
    section = how_it_was_worked_out(pool, source or Source(), origins, "0.1.0")
    return {entry.lead: entry.text for entry in section.blocks[0].items}


def test_every_report_states_where_it_comes_from(pool, source):
    entries = told(pool, source, baseline="default", margin="command line: --margin")

    assert entries["Data"] == (
        f"cards.csv; card from Karte; games from Spiele; wins from Siege; SHA-256 {'ab' * 32}."
    )
    assert "baseline of 51.0% (the mean of this table)" in entries["Line"]
    assert entries["On reading"] == "The row Total was left out."
    assert entries["Settings"] == "margin: command line: --margin; all others as they come."
    assert entries["Made by"] == "winrate_tools 0.1.0, seed 1."


def test_keeps_that_rest_on_the_pool_are_explained_where_there_are_any(make_card, make_pool):
    def read(*cards) -> dict[str, str]:
        return {it.lead: it.text for it in how_to_read(make_pool(*cards)).blocks[0].items}

    many, few = make_card("Ash Vine", 0.53, games=9000), make_card("Elm", 0.54, games=20)

    assert "Settled by the pool" not in read(many)
    assert read(many, few)["Settled by the pool"] == (
        "1 card, kept because few cards like that are weak: own games are too few to say "
        "much. Without them, the range would be at most a ninth wider."
    )


def test_notes_on_reading_are_numbered_where_there_are_several(pool, source):
    several = replace(source, notes=("The row Total was left out.", "NA was taken as unknown."))

    entries = told(pool, several)

    assert entries["On reading"] == (
        "(1) The row Total was left out. (2) NA was taken as unknown."
    )


def test_a_table_made_in_memory_has_little_to_state(pool):
    entries = told(pool)

    assert entries["Data"] == "<memory>."
    assert entries["On reading"] == "nothing was assumed, mended or left out."
    assert entries["Limits"] == "none beyond the above."
    assert entries["Settings"] == "all as they come."


def test_headers_that_say_their_role_are_not_repeated(pool):
    source = Source(name="a.csv", roles={"card": "Card", "mean_pick": "Mean pick", "wins": "W"})

    assert told(pool, source)["Data"] == "a.csv; card, mean_pick as headed; wins from W."


@pytest.mark.parametrize(
    ("facts", "lead", "said"),
    [
        ({"allowance": 1.0}, "Allowance", "records are taken at face value"),
        ({"allowance": 0.4}, "Allowance", "40% of the real spread between records"),
        ({"design_effect": 1.0}, "Games in runs", "every game counts as independent"),
        ({"design_effect": 1.28}, "Games in runs", "1.28 games count as one independent game"),
        (
            {"usage_columns": ()},
            "Method",
            "the pool's mean (how drafters use the cards plays no part)",
        ),
        ({"usage_columns": ("mean_pick",)}, "Method", "use is taken from mean pick"),
        (
            {"warnings": ("no usage", "few cards")},
            "Limits",
            "judged by the pool as a whole. Fewer",
        ),
        ({"is_learnt": True, "allowance": 0.31}, "Allowance", "was learnt from the pool"),
        ({"is_learnt": True, "allowance": 0.31}, "Allowance", "31% of what sets the records"),
        ({}, "Players", "for players like those of the table."),
        ({"bands": ("new", "old")}, "Players", "Skill bands, the weakest first: new, old."),
        ({"target": "even"}, "Players", "for players who win half their games, not for"),
        ({"target": "new:3, old:1"}, "Players", "for new:3, old:1, not for the table's"),
        ({"target": "even"}, "Players", "as counted are those of all the table's players."),
        ({"strata": ("archetype", "skill_band")}, "Method", "their archetype and skill band"),
        ({"factions": ("Wick", "Cog")}, "Method", "a faction share is set apart (Wick, Cog)."),
        (
            {"baseline_origin": "given", "sample_mean": 0.5215},
            "Line",
            "(given by you). The table's own mean is 52.15%.",
        ),
        ({"spread": 0.0187, "real_share": 0.34}, "Spread", "differ by 1.9 points"),
        (
            {"spread": 0.0187, "real_share": 0.15},
            "Spread",
            "1.9 points (standard deviation; 8 in 10 range: 1.3 to 2.9); about 15% (8 to 37%) "
            "of the variation between raw win rates is their own",
        ),
    ],
)
def test_each_assumption_is_in_plain_words(facts, lead, said, make_card, make_pool):
    pool = make_pool(make_card("Ash Vine", 0.5), make_card("Elm", 0.54), **facts)

    assert said in told(pool)[lead]


@pytest.mark.parametrize(
    ("sure", "range_name", "said"),
    [
        (0.9, "8 in 10", "is 18 in 20 or more; keep: it is 2 in 20 or less"),
        (0.95, "9 in 10", "is 19 in 20 or more; keep: it is 1 in 20 or less"),
        (0.99, "98 in 100", "is over 19 in 20; keep: it is under 1 in 20"),
    ],
)
def test_how_sure_is_sure_is_explained_as_it_is_printed(sure, range_name, said, make_pool):
    section = how_to_read(make_pool(sure=sure))
    entries = {entry.lead: entry.text for entry in section.blocks[0].items}

    assert said in entries["Verdict"]
    assert f"lies inside is {range_name}." in entries[f"{range_name} range"]


@pytest.mark.parametrize(
    ("facts", "apart"),
    [
        ({}, None),
        ({"factions": ("Wick", "Cog")}, "its faction"),
        ({"strata": ("archetype",), "factions": ("Wick", "Cog")}, "its archetypes"),
        ({"strata": ("skill_band",)}, "its players"),
        ({"strata": ("archetype", "skill_band")}, "its archetypes and its players"),
    ],
)
def test_where_company_is_known_an_estimate_may_lie_farther_out_than_the_record(
    facts, apart, make_pool
):
    section = how_to_read(make_pool(**facts))
    said = {entry.lead: entry.text for entry in section.blocks[0].items}["Estimate"]

    farther = (
        f"What {apart} would have won anyway is taken off first, so it may also lie "
        "farther out."
    )
    assert "It lies nearer to the pool than the raw win rate does" in said
    assert (farther in said) == (apart is not None)
    assert said.endswith("which side of it they lie.")
    assert ("is luck. Win rates have one decimal, the line" in said) == (apart is None)


def test_what_a_small_pool_takes_from_others_is_not_told_as_found(make_card, make_pool, source):
    facts = {"spread": 0.024, "real_share": 0.04, "warnings": ("few cards",)}
    pool = make_pool(make_card("Ash Vine", 0.5), make_card("Elm", 0.54), **facts)
    section = how_it_was_worked_out(pool, source, {}, "1")

    said = {entry.lead: entry.text for entry in section.blocks[0].items}["Spread"]

    assert said == (
        "the cards' own values are taken to differ by 2.4 points (standard deviation; 8 in 10 "
        "range: 1.3 to 2.9), and about 4% (1 to 6%) of the variation between raw win rates to "
        "be their own. Both are taken from other pools for the most part: fewer than 30 cards "
        "with games are too few to learn them."
    )
