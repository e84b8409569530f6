"""A ranking as a document."""

from dataclasses import replace

from winrate_tools.report.cards.ranking import ranking_document
from winrate_tools.report.cards.sentences import face_value_brief
from winrate_tools.report.document import Paragraph
from winrate_tools.report.forms import markdown


def test_a_ranking_of_some_cards_says_how_many_it_leaves_out(pool, source):
    document = ranking_document(pool, source, pool.cards[:2])

    assert Paragraph("Shown: 2 of 8 cards.") in document.sections[0].blocks
    assert [row[0] for row in document.sections[0].blocks[1].rows] == [
        "Ember Oracle",
        "Tin Moth",
    ]


def test_a_ranking_tells_what_hangs_on_the_allowance(pool, source):
    hangs = replace(pool, face_value=(0, 6))

    told, silent = (
        markdown.render(ranking_document(one, source, one.cards)) for one in (hangs, pool)
    )

    assert face_value_brief(hangs) in told
    assert "Much hangs" not in silent
