"""Since last time, in words."""

import json
from dataclasses import replace

import pytest

from tests.decide.earlier_pools import earlier_of
from winrate_tools.decide.cards.since import EarlierCard, Since, since
from winrate_tools.report.cards import card_words
from winrate_tools.report.cards.since import (
    LONGEST,
    since_record,
    since_section,
    since_sentence,
    verdicts_sentence,
    with_since,
)
from winrate_tools.report.document import Document, Paragraph, Section, Table
from winrate_tools.report.forms import markdown, text
from winrate_tools.settings import Settings


@pytest.fixture
def before(pool):
    """The same pool before 100 games of River Bell and Ember Oracle, under another line."""
    told = {
        "River Bell": {
            "games": 2110,
            "wins": 1180,
            "chance_below": 0.4,
            "verdict": "more games",
        },
        "Ember Oracle": {"games": 370, "chance_below": 0.76, "verdict": "more games"},
        "Lantern Keeper of Tin Lane": {"verdict": "cut", "chance_below": 0.93},
    }
    whole = earlier_of(pool, line=0.48, baseline=0.5)
    cards = [replace(one, **told.get(one.card, {})) for one in whole.cards]
    gone = EarlierCard("Fog Lamp", 900, 400, 0.46, 0.97, "cut")
    kept = [one for one in cards if one.card != "a|b <i>"]
    return replace(whole, cards=(*kept, gone), size=len(kept) + 1)


@pytest.fixture
def found(before, pool) -> Since:
    return since(before, pool, Settings())


def paragraphs(section: Section) -> list[str]:
    return [block.text for block in section.blocks if isinstance(block, Paragraph)]


def rows(section: Section) -> dict[str, tuple[str, ...]]:
    [table] = [block for block in section.blocks if isinstance(block, Table)]
    return {row[0]: row[1:] for row in table.rows}


def test_where_room_is_short_no_estimate_stays_without_its_range_nor_a_change_without_cause(
    found, pool
):
    [table] = [b for b in since_section(found, pool).blocks if isinstance(b, Table)]

    kept = [column.heading for column in table.columns if not column.spare]
    assert kept == ["Card", "Verdict", "8 in 10 range", "Below 49.0% now", "Changed by"]


def test_it_says_what_was_compared_and_how_the_line_moved(found, pool):
    said = " ".join(paragraphs(since_section(found, pool)))

    assert "the ranking of cards.csv by winrate_tools 0.1.0: 7 cards in both." in said
    assert "Those cards have as many card-games as before." in said
    assert "1 card has fewer games than before" in said
    assert "from 48.0% to 49.0%: baseline 50.0% to 51.0%, margin 2 points as before." in said
    assert "Settings and kinds of counts are what they were." in said


def test_it_counts_changed_verdicts(found):
    assert verdicts_sentence(found) == (
        "Newly cut: 1; no longer cut: 1; other verdicts changed: 1; as before: 4."
    )


def test_a_row_holds_then_and_now_and_the_cause(found, pool):
    told = rows(since_section(found, pool))

    assert told["Ember Oracle"] == (
        "more games",
        "▼ cut",
        "-100",
        "43.6%",
        "43.6%",
        "41.0 to 46.2%",
        "15 in 20",
        "over 19 in 20",
        "its games",
    )
    assert told["River Bell"][2] == "+100"
    assert list(told) == ["Ember Oracle", "Lantern Keeper of Tin Lane", "River Bell"]


def test_cards_that_came_and_went_are_named(found, pool):
    said = paragraphs(since_section(found, pool))

    assert "New here: a|b <i>." in said
    assert "No longer here: Fog Lamp, of 1 card 1 had been called cut." in said


def test_many_names_are_counted(found, pool):
    many = replace(found, new=pool.cards)

    said = paragraphs(since_section(many, pool))
    assert [line for line in said if line.startswith("New here") and "and 3 more." in line]


def test_where_nothing_changed_it_says_so(pool):
    nothing = since(earlier_of(pool), pool, Settings())

    section = since_section(nothing, pool)
    said = " ".join(paragraphs(section))
    assert "Every verdict is what it was: 8 cards." in said
    assert "The line is where it was, at 49.0%." in said
    assert [block for block in section.blocks if isinstance(block, Table)] == []
    assert "New here" not in said
    assert "No longer here" not in said


def test_a_part_of_a_ranking_is_said_to_be_one(found, pool):
    part = replace(found, earlier=replace(found.earlier, size=50))

    assert "It tells of 8 of its 50 cards only" in paragraphs(since_section(part, pool))[0]


def test_other_settings_are_named(found, pool):
    other = replace(found, changed=("sure", "usage_columns"))

    said = paragraphs(since_section(other, pool))[1]
    assert said.endswith("Other than before: how sure is sure enough, what tells of use.")


def test_of_a_long_list_cuts_are_never_left_out(found, pool):
    cut, spared, other = found.moves
    long = replace(found, moves=(*[cut] * 15, *[spared] * 10, *[other] * 9))

    shown = [block for block in since_section(long, pool).blocks if isinstance(block, Table)]
    said = paragraphs(since_section(long, pool))
    assert len(shown[0].rows) == 25 > LONGEST
    assert [line for line in said if line.startswith("Not shown: 9 more. ")]


def test_rows_of_no_telling_fill_up_a_short_list(found, pool):
    cut, _, other = found.moves
    long = replace(found, moves=(cut, *[other] * 30))

    [table] = [b for b in since_section(long, pool).blocks if isinstance(b, Table)]
    assert len(table.rows) == len(table.tones) == LONGEST


def test_a_line_of_it_names_the_cards_with_chances_and_cause(found, pool):
    assert since_sentence(found, pool) == (
        "Since last time (as many card-games as before): newly cut: Ember Oracle (15 in 20 "
        "to over 19 in 20, by its games); no longer cut: Lantern Keeper of Tin Lane (19 in 20 "
        "to 12 in 20, by the pool around it and the line); 1 card new; 1 card gone."
    )


def test_a_line_of_nothing_says_nothing_changed(pool):
    nothing = since(earlier_of(pool), pool, Settings())

    assert since_sentence(nothing, pool) == (
        "Since last time (as many card-games as before): no card came to be called cut or "
        "ceased to be."
    )


@pytest.mark.parametrize(
    ("games", "said"),
    [
        (0, "as many card-games as before"),
        (1, "1 card-game more than before"),
        (-2100, "2,100 card-games fewer than before"),
    ],
)
def test_added_games_are_counted_with_their_sign(games, said, found, pool):
    changed = replace(found, games_added=games)

    assert said in since_sentence(changed, pool)
    assert said in paragraphs(since_section(changed, pool))[0]


def test_earlier_chances_are_printed_true_to_their_verdict(found):
    near = EarlierCard("Elm", 400, 200, 0.4897, 0.897, "more games")
    then = replace(found.earlier, sure=0.9)

    assert card_words.chance_below(near, then) == "17 in 20"
    assert card_words.chance_below(replace(near, games=0), then) == "no games"


def test_an_earlier_chance_is_true_to_how_sure_was_sure_then(found, pool):
    [first, *_] = found.moves
    cut = replace(first.before, verdict="cut", chance_below=0.81)
    then = replace(found.earlier, sure=0.85)
    move = replace(first, before=cut)
    section = since_section(replace(found, earlier=then, moves=(move,)), pool)

    assert rows(section)["Ember Oracle"][6] == "17 in 20"


def test_unknown_games_are_no_number(found, pool):
    [first, *_] = found.moves
    unknown = replace(first, before=replace(first.before, games=None))
    section = since_section(replace(found, moves=(unknown,)), pool)

    assert rows(section)["Ember Oracle"][2] == "?"


def test_only_a_baseline_of_the_sample_moves_with_games(found, pool):
    own = paragraphs(since_section(found, pool))
    given = paragraphs(since_section(found, replace(pool, baseline_origin="given")))

    assert [line for line in own if "the table's own mean" in line]
    assert [line for line in given if "the table's own mean" in line] == []


def test_it_stands_after_the_summary(found, pool):
    document = Document("Report", (Section("First", ()), Section("Last", ())))

    titles = [section.title for section in with_since(document, found, pool).sections]
    assert titles == ["First", "Since last time", "Last"]
    assert with_since(document, None, pool) is document


def test_every_renderer_takes_it(found, pool):
    document = Document("Report", (since_section(found, pool),))

    assert "a\\|b \\<i\\>" in markdown.render(document)
    assert "a|b <i>" in text.render(document)


def test_programs_get_every_digit(found):
    record = json.loads(json.dumps(since_record(found)))

    assert record["moves"][0]["card"] == "Ember Oracle"
    assert record["moves"][0]["before"]["chance_below"] == 0.76
    assert record["moves"][0]["causes"] == ["games"]
    assert record["moves"][0]["games_added"] == -100
    assert (record["new"], record["gone"], record["line"]) == (["a|b <i>"], ["Fog Lamp"], 0.48)
