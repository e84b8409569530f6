"""What the cut report says, section by section."""

import re
from dataclasses import replace

import pytest

from tests.report.archetype_pools import POOL as ARCHETYPES
from winrate_tools.report.cards import sections
from winrate_tools.report.document import Document, Entries, Paragraph, Section, Table
from winrate_tools.report.forms import markdown, text

BANNED = re.compile(r"significan|p-value|confidence|\bnull\b|hypothes", re.IGNORECASE)
TITLES = [
    "In one minute",
    "Cut",
    "Traps",
    "May only look weak",
    "Unplayed",
    "If you must cut 3 now",
    "What cannot be said yet",
    "All cards at a glance",
    "How to read the numbers",
    "How this was worked out",
]


def report(pool, source, **origins: str) -> Document:
    return sections.cut_report(pool, source, origins=origins, version="0.1.0")


def part(document: Document, title: str) -> Section:
    [found] = [section for section in document.sections if section.title == title]
    return found


def said(section: Section) -> str:
    return markdown.render(Document("T", (section,)))


def names(section: Section) -> list[str]:
    return [
        row[0] for block in section.blocks if isinstance(block, Table) for row in block.rows
    ]


def test_the_report_has_its_sections_in_order(pool, source):
    assert [section.title for section in report(pool, source).sections] == TITLES


def test_the_summary_can_be_read_in_a_minute(pool, source):
    summary = part(report(pool, source), "In one minute")

    assert said(summary).split("\n\n")[2:] == [
        "8 cards: 2 to cut, 2 to keep, 4 that cannot be called yet. Behind them stand "
        "66,867 card-games: a game counts once for each card in it.",
        "A card is weak below the line of 49.0%: 2 points under the baseline of 51.0% (the "
        "mean of this table).",
        "Of the 2 cards called cut, expect under 0.1 to be wrong: not truly below the line. "
        "Of the 2 cards called keep, expect under 0.1 to be weak.",
        "Cut first, with best estimate and chance of being below the line: Ember Oracle "
        "(43.6%, over 19 in 20); Tin Moth (46.2%, over 19 in 20).\n",
    ]
    assert len(said(summary).split()) < 200


def test_every_cut_has_a_row_and_a_sentence(pool, source):
    cut = part(report(pool, source), "Cut")

    assert names(cut) == ["Ember Oracle", "Tin Moth"]
    [entries] = [block for block in cut.blocks if isinstance(block, Entries)]
    assert [entry.lead for entry in entries.items] == ["Ember Oracle", "Tin Moth"]
    assert entries.items[0].text.endswith(
        "Why: what it brings lies below the line by more than luck explains. "
        "Would not be a cut if only 0.12 of its record were its own (taken: 0.4)."
    )


def test_traps_and_unplayed_cards_are_listed_whatever_their_verdict(pool, source):
    document = report(pool, source)

    assert names(part(document, "Traps")) == ["Tin Moth"]
    assert names(part(document, "Unplayed")) == ["Paper Kite"]


def test_a_trap_is_called_what_the_rule_asks_for(pool, source):
    assert "take earlier or play more than most" in said(part(report(pool, source), "Traps"))


def test_a_cut_says_what_its_record_is_to_it(make_pool, make_card, source):
    card = make_card("Ash", 0.44, win_rate=0.555, expected_rate=0.596)

    cut = part(report(make_pool(card), source), "Cut")

    assert "Why: its record of 55.5% is poor in its company" in said(cut)


def test_two_means_in_one_report_are_told_apart(make_pool, make_card, source):
    pool = make_pool(make_card("Ash", 0.44), archetypes=ARCHETYPES)

    homes = part(report(pool, source), "Archetypes")

    assert "the mean of all games" in said(homes)
    assert "The cards' mean of 51.0%" in said(homes)


def test_the_forced_list_states_how_many_of_it_are_expected_to_be_wrong(pool, source):
    forced = part(report(pool, source), "If you must cut 3 now")

    assert names(forced) == ["Ember Oracle", "Tin Moth", "Ash Vine"]
    assert "Expect about 0.2 of them to be wrong" in said(forced)


def test_open_cards_come_nearest_first_and_the_hopeless_last(pool, source):
    waiting = part(report(pool, source), "What cannot be said yet")

    assert names(waiting) == [
        "Lantern Keeper of Ash Lane",
        "Ash Vine",
        "Paper Kite",
        "Lantern Keeper of Tin Lane",
    ]
    assert "More of the same games will not help 1 of them" in said(waiting)
    assert "Expected with 10 times as many games, about 5.5;" in said(waiting)


def test_where_no_games_would_help_nobody_promises_that_they_do(make_card, make_pool, source):
    pool = make_pool(make_card("Ash Vine", 0.489, games_needed=None))
    waiting = said(part(report(pool, source), "What cannot be said yet"))

    assert "will not help any of them" in waiting
    assert "16 in 20" not in waiting


def test_a_long_pool_gets_short_tables(make_card, make_pool, source):
    cards = [
        make_card(
            f"Lamp {number}", 0.489, reasons=("unplayed", "few games"), usage=-number / 10
        )
        for number in range(1, 31)
    ]
    document = report(make_pool(*cards), source)

    assert names(part(document, "Unplayed"))[:2] == ["Lamp 30", "Lamp 29"]
    for title in ("Unplayed", "What cannot be said yet"):
        assert len(names(part(document, title))) == 20
        assert "Not shown: 10 more." in said(part(document, title))


def test_a_pool_without_anything_to_say_says_so(make_card, make_pool, source):
    document = report(make_pool(make_card("Ash Vine", 0.55)), source)

    assert "not sure enough of any card" in said(part(document, "Cut"))
    assert "No card is both weak and sought after" in said(part(document, "Traps"))
    assert "Every card finds players." in said(part(document, "Unplayed"))
    assert "every card has its verdict" in said(part(document, "What cannot be said yet"))


def test_without_usage_nothing_is_claimed_about_it(make_card, make_pool, source):
    pool = make_pool(make_card("Ash Vine", 0.55), warnings=("no usage",))

    assert "nothing can be said here" in said(part(report(pool, source), "Unplayed"))


@pytest.mark.parametrize("sure", [0.8, 0.9, 0.95])
def test_no_banned_word_is_ever_printed(sure, pool, source, make_card, make_pool):
    cards = [make_card(f"C{n}", 0.45 + n / 100, sure=sure) for n in range(10)]
    for one in (pool, make_pool(*cards, sure=sure, warnings=("no usage",))):
        document = report(one, source)

        assert BANNED.search(markdown.render(document)) is None


def test_terminal_and_markdown_agree_to_the_digit(pool, source):
    document = report(pool, source)
    numbers = re.compile(r"\d[\d.,]*%?|\bcut\b|\bkeep\b|more games")

    on_screen = numbers.findall(" ".join(text.render(document).split()))
    in_markdown = numbers.findall(" ".join(markdown.render(document).split()))
    assert on_screen == in_markdown


def test_the_longest_tolerable_list_is_told(pool, source):
    some, none = (
        said(part(report(replace(pool, tolerable=count), source), "If you must cut 3 now"))
        for count in (5, 0)
    )

    assert "The 5 cards surest to be below the line make the longest list" in some
    assert "No list, however short, keeps" in none


def test_a_card_without_games_is_on_no_list_of_the_weakest(make_card, make_pool, source):
    unplayed = make_card("Ghost", 0.40, 0.05, games=0, reasons=("unplayed", "few games"))
    pool = make_pool(unplayed, *(make_card(f"C{n}", 0.45 + n / 100) for n in range(6)))

    assert names(part(report(pool, source), "If you must cut 3 now")) == ["C0", "C1", "C2"]


def test_a_card_is_called_unplayed_by_its_games_where_nothing_else_tells(
    make_card, make_pool, source
):
    ghost = make_card("Ghost", 0.48, games=4, reasons=("unplayed", "few games"), usage=-2.0)
    some = make_pool(ghost, use_known=("games",))
    none = make_pool(make_card("Ash", 0.55), use_known=("games",))

    told, untold = (part(report(pool, source), "Unplayed") for pool in (some, none))

    assert "unplayed by their games here" in said(told)
    assert "joined the pool lately looks the same" in said(told)
    assert "Use" not in {column.heading for column in told.blocks[1].columns}
    assert (
        said(untold).split("\n\n")[-1].startswith("By games alone, every card finds players.")
    )


def test_the_summary_of_a_small_pool_says_that_it_is_mostly_the_starting_point(pool, source):
    small = part(report(replace(pool, warnings=("few cards",)), source), "In one minute")
    large = part(report(pool, source), "In one minute")

    assert sections.STARTING_POINT in said(small)
    assert "starting point" not in said(large)


def test_where_nothing_tells_of_use_nothing_is_said_of_traps(make_card, make_pool, source):
    pool = make_pool(make_card("Ash Vine", 0.55), warnings=("no usage",))

    assert part(report(pool, source), "Traps").blocks == (Paragraph(sections.NO_TRAPS_TOLD),)


@pytest.mark.parametrize(
    ("known", "told"),
    [(("games",), sections.NO_TRAPS_BY_GAMES), (("games", "played"), sections.NO_TRAPS)],
)
def test_no_traps_are_told_with_what_tells_of_use(known, told, make_card, make_pool, source):
    pool = make_pool(make_card("Ash Vine", 0.55), use_known=known)

    assert part(report(pool, source), "Traps").blocks == (Paragraph(told),)
