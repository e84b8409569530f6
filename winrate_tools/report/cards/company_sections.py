"""Cards that only look weak, and cards that depend on who plays them and where."""

from winrate_tools.decide.cards.verdicts import PoolVerdict
from winrate_tools.report.cards.card_tables import cards_table
from winrate_tools.report.document import Block, Paragraph, Section

TITLE = "May only look weak"
FACTS = ("card", "games", "win_rate", "estimate", "range", "chance_below", "verdict", "why")


def misjudged(pool: PoolVerdict) -> Section:
    """Describe the cards whose records speak of their company rather than of themselves."""
    cards = pool.because("weak home", "weak hands")
    if not cards:
        return Section(TITLE, (Paragraph(_none(pool)),))
    text = (
        "Cards whose own win rate lies below the line, or is likely to, because of the company "
        "they keep: a weak home is a failing archetype or faction, weak hands are players who "
        "win less than others. The cards themselves may well be fine: mend the home before "
        "cutting them."
    )
    return Section(TITLE, (Paragraph(text), cards_table(cards, pool, FACTS)))


def dependent(pool: PoolVerdict) -> tuple[Section, ...]:
    """Describe the cards that depend on who plays them and where; () if there are none."""
    cards = pool.because("newcomer trap", "narrow")
    if not cards:
        return ()
    text = (
        "A newcomer trap is weak in the hands of weaker players, and not of stronger ones: how "
        "much it matters depends on your table. A narrow card is good in one archetype and "
        "weak in its others: it stays if that archetype does."
    )
    blocks: tuple[Block, ...] = (Paragraph(text), cards_table(cards, pool, FACTS))
    return (Section("Depends on who and where", blocks),)


def _none(pool: PoolVerdict) -> str:
    if pool.strata or pool.factions:
        return "No card that looks weak is likelier than not to be fine."
    lack = "The table does not say which archetype or faction a card belongs to"
    if any(card.faction for card in pool.cards):
        lack = "The cards are too few, or of too few factions, to tell what a faction's share"
    return f"{lack}, so cards that only keep weak company cannot be told from weak cards."
