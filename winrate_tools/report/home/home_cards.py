"""Cards that a table's matches list: strangers' numbers, and what home games make of them."""

from winrate_tools.decide.home.home_verdicts import HomeCard, HomeUpdate
from winrate_tools.report import words
from winrate_tools.report.document import Paragraph, Section, Table, TableColumn

LISTED = 10
"""Cards listed for people; programs get all."""


def cards_section(update: HomeUpdate) -> Section:
    """Lay out the cards that home games moved most.

    Returns
    -------
    Section
        Without blocks where matches list no card that strangers know.
    """
    if not update.cards:
        return Section("Cards", ())
    shown = update.cards[:LISTED]
    columns = (
        TableColumn("Card"),
        TableColumn("Games", is_number=True),
        TableColumn("Strangers", is_number=True),
        TableColumn("Here", is_number=True),
        TableColumn(f"{words.range_name(update.sure)} range"),
        TableColumn(f"Below {words.exact_percent(update.line)}"),
        TableColumn("Verdict", is_toned=True),
    )
    rows = tuple(_row(card, update) for card in shown)
    blocks = (Paragraph(cards_sentence(update)), Table(columns, rows))
    return Section("Cards", blocks)


def cards_sentence(update: HomeUpdate) -> str:
    """Say how many cards home games tell of, and how many verdicts they turn."""
    turned = [card for card in update.cards if card.verdict != card.start_verdict]
    origin = "learnt from these games" if update.usual.is_learnt else "an assumption"
    return (
        f"Matches list {words.plural(len(update.cards), 'card')}. A card here is taken to "
        f"differ from what strangers saw by {words.points(update.usual.usual / 4, 1)} or so "
        f"({origin}), which opens some of their verdicts again for this table; home games "
        f"then turn {len(turned)} of them. The {min(len(update.cards), LISTED)} cards that "
        "moved most:"
    )


def _row(card: HomeCard, update: HomeUpdate) -> tuple[str, ...]:
    low, estimate, high = (
        words.beside_line(rate, update.line) for rate in (card.low, card.estimate, card.high)
    )
    below = words.twentieths(card.chance_below, update.sure, card.verdict)
    return (
        card.card,
        words.count(card.games),
        f"{words.beside_line(card.before, update.line)} {card.before_verdict}",
        estimate,
        words.span(low, high),
        words.of_twenty(below),
        card.verdict,
    )
