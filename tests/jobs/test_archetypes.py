"""Archetypes, judged in a notebook."""

import pytest

from winrate_tools.columns import ARCHETYPE_COLUMNS
from winrate_tools.decide.archetypes.archetypes import judge_archetypes
from winrate_tools.errors import SettingError
from winrate_tools.jobs.archetypes import archetypes
from winrate_tools.report.archetypes.archetype_section import archetype_report
from winrate_tools.settings import Settings


def test_it_finds_what_the_verdicts_are(cards, decks):
    judged = archetypes(cards, decks, Settings(seed=3), margin=0.03)

    assert judged.settings == Settings(seed=3, margin=0.03)
    assert judged.found == judge_archetypes(cards, decks, judged.settings)
    assert [source.name for source in judged.sources] == ["cards.csv", "a.csv"]


def test_cards_alone_and_decks_alone_will_do(cards, decks):
    assert archetypes(cards).sources == (cards.source,)
    assert archetypes(None, decks).sources == (decks.source,)
    assert archetypes(None, decks).document.title == "Archetypes of a.csv"


def test_rows_are_those_of_the_glossary_weakest_first(cards, decks):
    judged = archetypes(cards, decks)

    assert judged.columns == tuple(ARCHETYPE_COLUMNS)
    assert [tuple(row) for row in judged.rows] == [judged.columns] * 2
    assert [row["archetype"] for row in judged.rows] == ["Moths", "Kites"]
    assert judged.document == archetype_report(judged.found, "cards.csv")


def test_a_choice_out_of_bounds_or_unknown_is_refused(decks):
    with pytest.raises(SettingError, match="sure must be"):
        archetypes(None, decks, sure=90)
    with pytest.raises(TypeError, match="there is no setting 'sur'; Settings lists them"):
        archetypes(None, decks, sur=0.9)
