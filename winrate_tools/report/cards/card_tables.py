"""Tables of cards: the same cell for the same fact, in whichever table it stands."""

from collections.abc import Callable, Sequence

from winrate_tools.decide.cards.verdicts import CardVerdict, PoolVerdict
from winrate_tools.report import words
from winrate_tools.report.cards import card_words
from winrate_tools.report.document import Table, TableColumn

MARKS = {"cut": "▼ cut", "keep": "▲ keep", "more games": "○ more games"}

Fact = Callable[[CardVerdict, PoolVerdict], str]

FACTS: dict[str, tuple[TableColumn, Fact]] = {
    "card": (TableColumn("Card"), lambda card, _: card.card),
    "games": (
        TableColumn("Games", is_number=True, spare=4),
        lambda card, _: words.count(card.games),
    ),
    "win_rate": (
        TableColumn("Win rate", is_number=True, spare=6),
        lambda card, _: "" if card.win_rate is None else words.percent(card.win_rate),
    ),
    "estimate": (TableColumn("Estimate", is_number=True, spare=1), card_words.estimate),
    "range": (TableColumn("{range} range", is_number=True), card_words.range_of),
    "chance_below": (TableColumn("Below {line}", is_number=True), card_words.chance_below),
    "chance_worst": (
        TableColumn("In weakest {shortlist}", is_number=True),
        lambda card, _: words.in_twenty(card.chance_worst),
    ),
    "rank": (
        TableColumn("Rank (9 in 10)", is_number=True, spare=5),
        lambda card, _: card_words.ranks(card),
    ),
    "verdict": (TableColumn("Verdict", is_toned=True), lambda card, _: MARKS[card.verdict]),
    "why": (TableColumn("Why", spare=2), lambda card, _: ", ".join(card.reasons)),
    "games_needed": (
        TableColumn("Games needed", is_number=True, spare=3),
        card_words.games_needed,
    ),
    "use": (TableColumn("Use", spare=1), lambda card, _: words.use(card.usage)),
}


def cards_table(
    cards: Sequence[CardVerdict],
    pool: PoolVerdict,
    facts: Sequence[str],
    *,
    always: Sequence[str] = (),
) -> Table:
    """Lay out facts about cards, one row a card.

    Parameters
    ----------
    cards : sequence of CardVerdict
        The rows, in order.
    pool : PoolVerdict
        Their pool, for the line and for how sure is sure enough.
    facts : sequence of str
        Keys of `FACTS`; the first one is ``"card"``.
    always : sequence of str, optional
        Those of them that this table is about, shown however narrow the page.
    """
    return Table(
        columns=tuple(
            FACTS[name][0]._replace(
                heading=heading(name, pool),
                spare=0 if name in always else FACTS[name][0].spare,
            )
            for name in facts
        ),
        rows=tuple(tuple(FACTS[name][1](card, pool) for name in facts) for card in cards),
        tones=tuple(card.verdict for card in cards),
    )


def heading(fact: str, pool: PoolVerdict) -> str:
    """Head a fact's column."""
    return FACTS[fact][0].heading.format(
        range=words.range_name(pool.sure),
        line=words.exact_percent(pool.line),
        shortlist=min(pool.shortlist, len(pool.cards)),
    )
