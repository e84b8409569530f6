"""A ranking as a document: what was found, one row a card, how far to trust it."""

from collections.abc import Sequence

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards.card_tables import cards_table
from winrate_tools.report.cards.sentences import (
    counts_sentence,
    detail_sentence,
    expected_wrong,
    face_value_brief,
    line_sentence,
    reference_sentence,
)
from winrate_tools.report.document import Block, Document, Paragraph, Section
from winrate_tools.tables import Source

RANKED = (
    "card",
    "games",
    "win_rate",
    "estimate",
    "range",
    "chance_below",
    "rank",
    "verdict",
    "why",
    "games_needed",
)


def ranking_document(
    pool: PoolVerdict, source: Source, cards: Sequence[CardVerdict]
) -> Document:
    """Describe a ranking: what was found, one row a card, and how far to trust it."""
    foot = f"{expected_wrong(pool)} {reference_sentence()}"
    ends = (foot, face_value_brief(pool), f"The table gave {detail_sentence(pool)}")
    blocks: list[Block] = [
        Paragraph(f"{counts_sentence(pool)} {line_sentence(pool)}"),
        cards_table(cards, pool, RANKED),
        *(Paragraph(said) for said in ends if said),
    ]
    if len(cards) < len(pool.cards):
        shown = f"Shown: {len(cards):,} of {words.plural(len(pool.cards), 'card')}."
        blocks.insert(2, Paragraph(shown))
    return Document(f"Ranking of {source.name}", (Section("", tuple(blocks)),))
