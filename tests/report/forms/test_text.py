"""Documents as text."""

import re

import pytest

from winrate_tools.report.cards.ranking import ranking_document
from winrate_tools.report.cards.records import shown
from winrate_tools.report.document import (
    Document,
    Entries,
    Entry,
    Paragraph,
    Picture,
    Section,
    Verbatim,
)
from winrate_tools.report.forms import text
from winrate_tools.report.forms.glyphs import width
from winrate_tools.report.forms.screen import Screen

ESCAPE = "\x1b"


@pytest.mark.parametrize("columns", [40, 60, 80, 200])
@pytest.mark.parametrize("encoding", ["utf-8", "ascii"])
def test_no_line_is_wider_than_the_screen(columns, encoding, pool, source):
    document = ranking_document(pool, source, pool.cards)

    lines = text.render(document, Screen(columns, encoding=encoding)).splitlines()
    assert max(map(width, lines)) <= columns


@pytest.mark.parametrize("columns", [40, 60, 80, 200])
def test_no_range_chance_or_verdict_is_ever_cut(columns, pool, source):
    document = ranking_document(pool, source, pool.cards)

    said = text.render(document, Screen(columns))
    for card in pool.cards:
        facts = shown(card, pool)
        place = said.index(facts["range"])
        around = said[max(0, place - 2 * columns) : place + 2 * columns]
        assert facts["chance_below"] in around
        assert card.verdict in around


@pytest.mark.parametrize("columns", [24, 12, 5])
def test_even_a_slit_of_a_screen_shows_whole_numbers(columns, pool, source):
    document = ranking_document(pool, source, pool.cards)

    said = text.render(document, Screen(columns))
    assert all(shown(card, pool)["range"] in said for card in pool.cards)


def test_a_pipe_gets_plain_aligned_lines_with_every_column(pool, source):
    said = text.render(ranking_document(pool, source, pool.cards))

    [oracle] = [line for line in said.splitlines() if line.startswith("Ember Oracle")]
    assert re.split(r"\s{2,}", oracle) == [
        "Ember Oracle",
        "270",
        "43.2%",
        "43.6%",
        "41.0 to 46.2%",
        "over 19 in 20",
        "1 to 9",
        "▼ cut",
        "weak",
        "settled",
    ]


def test_colour_comes_only_where_it_is_welcome(pool, source):
    document = ranking_document(pool, source, pool.cards)

    assert ESCAPE in text.render(document, Screen(80, colour=True))
    assert ESCAPE in text.render(document, Screen(40, colour=True))
    assert ESCAPE not in text.render(document, Screen(80))


@pytest.mark.parametrize("columns", [40, 80])
def test_colour_changes_nothing_but_colour(columns, pool, source):
    document = ranking_document(pool, source, pool.cards)
    colourful = text.render(document, Screen(columns, colour=True))

    bare = re.sub(r"\x1b\[\d*m", "", colourful)
    plain = text.render(document, Screen(columns))
    assert [line.rstrip() for line in bare.splitlines()] == plain.splitlines()


def test_verdicts_differ_in_ascii_text(pool, source):
    said = text.render(ranking_document(pool, source, pool.cards), Screen(80, encoding="ascii"))

    assert said.isascii()
    assert {"- cut", "+ keep", "? more games"} <= set(re.findall(r"[-+?] [a-z ]+[a-z]", said))


def test_lists_hang_and_raw_lines_stand_as_they_are():
    entry = Entry("Ash Vine", "weak in every one of the archetypes")
    blocks = (Paragraph("one two three four five"), Entries((entry,)), Verbatim("a,b\n  ^"))
    document = Document("Title", (Section("Part", blocks),))

    assert text.render(document, Screen(18)) == (
        "Title\n=====\n\nPart\n----\n\none two three four\nfive\n\n"
        "- Ash Vine: weak\n  in every one of\n  the archetypes\n\na,b\n  ^\n"
    )


def test_pictures_are_left_out_and_so_is_a_part_of_nothing_else():
    picture = Picture("luck", "Luck", "Caption.", "Alt.", "<svg/>")
    shown = (Section("Part", (Paragraph("One."), picture)), Section("Pictures", (picture,)))

    assert text.render(Document("T", shown)) == "T\n=\n\nPart\n----\n\nOne.\n"
