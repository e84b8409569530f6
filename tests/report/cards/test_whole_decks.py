"""Both views of each card in words and as records."""

import csv
import json
from io import StringIO

import pytest

from winrate_tools.decide.cards.whole_decks import WholeDeckCard, WholeDecks
from winrate_tools.report.cards.whole_decks import (
    agreement_sentence,
    whole_decks_csv,
    whole_decks_json,
    whole_decks_report,
)
from winrate_tools.report.document import Entries, Paragraph, Table
from winrate_tools.report.forms import text


def card(name: str, gap: float, half: float = 0.02) -> WholeDeckCard:
    estimate, whole = 0.5, 0.5 + gap
    return WholeDeckCard(
        name, 1200, estimate, 0.48, 0.53, whole, whole - 0.03, whole + 0.03, gap,
        gap - half, gap + half,
    )  # fmt: skip


def view(*gaps: float, agreement: float | None = 0.914) -> WholeDecks:
    cards = tuple(card(f"Card {place}", gap) for place, gap in enumerate(gaps))
    return WholeDecks(cards, 60_000, 0.551, agreement)


def said(document) -> str:
    return " ".join(text.render(document).split())


def test_a_report_of_agreement_has_no_section_of_cards_apart():
    document = whole_decks_report(view(0.01, -0.01), "games.csv")
    titles = [section.title for section in document.sections]

    assert document.title == "Seen with whole decks: games.csv"
    assert titles == ["", "Every card", "What this can tell, and what not"]
    assert "60,000 games of 2 cards" in said(document)
    assert "Both views agree" in said(document)
    assert (
        "go together to 0.91, where 1 is in full step and 0 not at all (their correlation)."
        in said(document)
    )


def test_widths_and_what_goes_unseen_are_told():
    document = whole_decks_report(view(0.01), "games.csv")

    assert "from whole decks are wider than 6 points" in said(document)
    assert "the ranking's wider than 5 points" in said(document)
    assert "a gap of less than 2 points goes unseen" in said(document)


def test_cards_apart_are_listed_with_both_ranges():
    document = whole_decks_report(view(0.01, -0.05, 0.03), "games.csv")
    section = next(one for one in document.sections if one.title == "Where the views part")
    [table] = section.blocks

    assert isinstance(table, Table)
    assert table.rows[0] == (
        "Card 1", "1,200", "50.0%", "48.0 to 53.0%", "45.0%", "42.0 to 48.0%", "-5.0",
        "-7.0 to -3.0",
    )  # fmt: skip
    assert [row[0] for row in table.rows] == ["Card 1", "Card 2"]


def test_every_card_is_listed_and_the_limits_are_told():
    document = whole_decks_report(view(0.01, -0.05, 0.03), "games.csv")
    every, limits = document.sections[-2:]

    assert isinstance(every.blocks[0], Paragraph)
    assert len(every.blocks[1].rows) == 3
    assert "An average card wins 55.1%" in every.blocks[0].text
    assert isinstance(limits.blocks[0], Entries)
    leads = [entry.lead for entry in limits.blocks[0].items]
    assert leads[:3] == ["A check, no shortcut", "The same games", "Cards in hand"]


@pytest.mark.parametrize(
    ("gaps", "words"),
    [
        ([0] * 20, "Both views agree"),
        (
            [0.05] + [0] * 19,
            "Of 20 cards, 1 is further apart than both errors allow; luck alone",
        ),
        ([0.05] * 2 + [0] * 18, "2 are further apart than both errors allow; luck alone may"),
        ([0.05] * 3 + [0] * 17, "where luck would part 2 at most: one of the views misses"),
    ],
)
def test_the_sentence_weighs_cards_apart_against_luck(gaps, words):
    assert words in agreement_sentence(view(*gaps))


def test_no_correlation_is_told_where_there_is_none():
    assert "correlation" not in said(whole_decks_report(view(0.0, agreement=None), "log"))


@pytest.mark.parametrize(
    ("gap", "half", "shown"),
    [
        (0.02, 0.0196, "+0.04 to +3.96"),
        (0.02, 0.0204, "-0.0 to +4.0"),
        (-0.02, 0.01996, "-3.996 to -0.004"),
        (0.02, 0.03, "-1.0 to +5.0"),
        (0.02, 0.019997, "+0.0003 to +3.9997"),
    ],
)
def test_a_range_is_printed_on_the_side_of_nought_where_it_lies(gap, half, shown):
    both = WholeDecks((card("Fox", gap, half),), 10, 0.5, None)

    document = whole_decks_report(both, "log")
    assert document.sections[-2].blocks[1].rows[0][-1] == shown


def test_the_csv_has_every_digit_and_no_formulas():
    odd = WholeDecks((card("=1+1", 0.0123456789),), 10, 0.5, None)
    [row] = csv.DictReader(StringIO(whole_decks_csv(odd)))

    assert row["card"] == "'=1+1"
    assert row["gap"] == "0.0123456789"
    assert (row["games"], row["apart"]) == ("1200", "no")
    assert list(row)[-4:] == ["gap", "gap_low", "gap_high", "apart"]


def test_the_json_holds_the_same_and_where_it_came_from():
    found = json.loads(whole_decks_json(view(0.05), version="0", sources=["a.csv", "b.csv"]))

    assert found["sources"] == ["a.csv", "b.csv"]
    assert (found["games"], found["baseline"], found["agreement"]) == (60_000, 0.551, 0.914)
    assert found["cards"][0]["apart"] == "yes"
    assert found["cards"][0]["whole"] == 0.55
