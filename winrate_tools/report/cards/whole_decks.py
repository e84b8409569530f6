"""Each card seen with whole decks beside its ranking, in words and as records."""

from collections.abc import Sequence
from dataclasses import asdict
from statistics import median

from winrate_tools.decide.cards.whole_decks import WholeDeckCard, WholeDecks
from winrate_tools.report import words
from winrate_tools.report.cards.records import object_json, rows_csv
from winrate_tools.report.document import (
    Block,
    Document,
    Entries,
    Entry,
    Paragraph,
    Section,
    Table,
    TableColumn,
)

BY_LUCK = 10
"""Up to one card in so many is apart by luck: gaps have ranges of 9 in 10."""
LIMITS = (
    Entry(
        "A check, no shortcut",
        "Verdicts rest on the ranking. A single card moves a game by little, so whole decks "
        "need as many games as counts do.",
    ),
    Entry(
        "The same games",
        "Both views rest on them, and both can be wrong together: about games that the log "
        "leaves out, and about whatever no column tells.",
    ),
    Entry(
        "Cards in hand",
        "This is what drawing a copy adds. A card that is hardly ever held is taken for an "
        "average one: cards are expected to differ by some 2.5 points.",
    ),
    Entry(
        "These players",
        "Archetypes and skill bands are set apart where the log names them, and what goes with "
        "having a card in the deck is told from drawing it. The numbers hold for whoever "
        "played these games.",
    ),
    Entry(
        "Luck",
        "A gap's range joins the errors of both views as if they rested on different games, "
        "and so is rather too wide.",
    ),
)


def whole_decks_report(view: WholeDecks, name: str) -> Document:
    """Describe each card in both views.

    Returns
    -------
    Document
        Whether the views agree, the cards of which they do not, every card, and what this
        view can and cannot tell.
    """
    blocks: list[Block] = [
        Paragraph(_looked_at(view)),
        Paragraph(agreement_sentence(view)),
        Paragraph(_widths(view)),
    ]
    sections = [Section("", tuple(blocks))]
    if view.apart:
        sections.append(Section("Where the views part", (_table(view.apart),)))
    sections += [
        Section("Every card", (Paragraph(_how_to_read(view)), _table(view.cards))),
        Section("What this can tell, and what not", (Entries(LIMITS),)),
    ]
    return Document(f"Seen with whole decks: {name}", tuple(sections))


def agreement_sentence(view: WholeDecks) -> str:
    """Say whether both views agree."""
    cards, apart = len(view.cards), len(view.apart)
    if not apart:
        return (
            "Both views agree: no card's two estimates are further apart than the errors of "
            "both allow."
        )
    by_luck = cards // BY_LUCK
    of_all = f"Of {words.plural(cards, 'card')}, {apart:,}"
    parted = f"{of_all} {'is' if apart == 1 else 'are'} further apart than both errors allow"
    if apart > by_luck:
        return (
            f"{parted}, where luck would part {by_luck:,} at most: one of the views misses "
            "something, and the cards below tell where to look."
        )
    return f"{parted}; luck alone may part up to {by_luck:,}."


def whole_deck_rows(view: WholeDecks) -> list[dict[str, object]]:
    """Return one row a card, weakest by whole decks first, with every digit."""
    return [{**asdict(card), "apart": "yes" if card.is_apart else "no"} for card in view.cards]


def whole_decks_csv(view: WholeDecks) -> str:
    """Write the rows as CSV."""
    return rows_csv(whole_deck_rows(view))


def whole_decks_json(view: WholeDecks, *, version: str, sources: Sequence[str]) -> str:
    """Write both views as JSON.

    Returns
    -------
    str
        One object: ``schema_version``, ``version``, ``sources``, ``games``, ``baseline``,
        ``agreement`` and ``cards`` as in the CSV.
    """
    return object_json(
        version=version,
        sources=list(sources),
        games=view.games,
        baseline=view.baseline,
        agreement=view.agreement,
        cards=whole_deck_rows(view),
    )


def _looked_at(view: WholeDecks) -> str:
    return (
        f"{words.plural(view.games, 'game')} of {words.plural(len(view.cards), 'card')}, taken "
        "one by one: what each copy drawn adds, given all the others in hand, the deck that it "
        "came from, and whose game it was. Beside it stands the ranking of the same games, "
        "which takes each card by itself."
    )


def _widths(view: WholeDecks) -> str:
    ours = median(card.whole_high - card.whole_low for card in view.cards)
    theirs = median(card.high - card.low for card in view.cards)
    said = (
        f"Half of the 9 in 10 ranges from whole decks are wider than {words.points(ours, 1)}, "
        f"and half of the ranking's wider than {words.points(theirs, 1)}."
    )
    unseen = median(card.gap_high - card.gap_low for card in view.cards) / 2
    said = f"{said} Of most cards, a gap of less than {words.points(unseen, 1)} goes unseen."
    if view.agreement is None:
        return said
    return (
        f"{said} Over the cards, the two estimates go together to {view.agreement:.2f}, where "
        "1 is in full step and 0 not at all (their correlation)."
    )


def _how_to_read(view: WholeDecks) -> str:
    return (
        f"An average card wins {words.percent(view.baseline)}. Ranges are 9 in 10; the gap is "
        "whole decks less ranking, in points. Weakest by whole decks first."
    )


def _table(cards: Sequence[WholeDeckCard]) -> Table:
    columns = (
        TableColumn("Card"),
        TableColumn("Copies held", is_number=True, spare=3),
        TableColumn("Ranking", is_number=True),
        TableColumn("9 in 10 range", is_number=True, spare=2),
        TableColumn("Whole decks", is_number=True),
        TableColumn("Its 9 in 10 range", is_number=True, spare=1),
        TableColumn("Gap", is_number=True),
        TableColumn("Gap's range", is_number=True),
    )
    return Table(columns, tuple(_row(card) for card in cards))


def _row(card: WholeDeckCard) -> tuple[str, ...]:
    return (
        card.card,
        words.count(card.games),
        words.percent(card.estimate),
        _range(card.low, card.high),
        words.percent(card.whole),
        _range(card.whole_low, card.whole_high),
        words.signed(card.gap),
        _gap_range(card),
    )


def _range(low: float, high: float) -> str:
    return words.span(words.percent(low), words.percent(high))


def _gap_range(card: WholeDeckCard) -> str:
    """Print a gap's range with the digits that show whether it holds 0; four at most."""
    for digits in (1, 2, 3):
        low, high = (f"{100 * end:+.{digits}f}" for end in (card.gap_low, card.gap_high))
        if card.is_apart == (float(low) > 0 or float(high) < 0):
            return f"{low} to {high}"
    return f"{100 * card.gap_low:+.4f} to {100 * card.gap_high:+.4f}"
