"""Cards that only look weak, and cards that depend on who plays them and where."""

from dataclasses import replace

import pytest

from winrate_tools.report.cards.company_sections import dependent, misjudged
from winrate_tools.report.document import Document
from winrate_tools.report.forms.markdown import render


def told(*sections):
    return render(Document("T", tuple(sections)))


def with_reason(pool, reason):
    first, *others = pool.cards
    return replace(pool, cards=(replace(first, reasons=(reason,)), *others))


@pytest.mark.parametrize("reason", ["weak home", "weak hands"])
def test_a_card_in_weak_company_is_listed_with_its_reason(pool, reason):
    said = told(misjudged(with_reason(pool, reason)))

    assert f"| {reason} |" in said
    assert said.count("\n| ") == 3
    assert "mend the home before cutting them" in said


def test_without_archetypes_and_factions_nothing_is_claimed(pool):
    bare = replace(pool, strata=(), factions=())

    assert "cannot be told from weak cards" in told(misjudged(bare))
    assert "likelier than not to be fine" in told(misjudged(replace(bare, factions=("Wick",))))


def test_factions_that_are_named_but_too_few_to_judge_by_are_not_said_to_be_missing(pool):
    named = tuple(replace(card, faction="Wick") for card in pool.cards)

    said = told(misjudged(replace(pool, cards=named, strata=(), factions=())))

    assert "too few, or of too few factions" in said
    assert "does not say" not in said


@pytest.mark.parametrize("reason", ["newcomer trap", "narrow"])
def test_a_card_that_depends_on_who_or_where_is_listed(pool, reason):
    (section,) = dependent(with_reason(pool, reason))

    assert f"| {reason} |" in told(section)


def test_where_none_depends_there_is_no_section(pool):
    assert dependent(with_reason(pool, "weak")) == ()
