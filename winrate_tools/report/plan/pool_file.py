"""A pool as a file that every command reads back, with a note on what changed and why."""

import csv
from collections.abc import Mapping, Sequence
from io import StringIO
from statistics import mode

from winrate_tools.decide.plan.moves import Move, Plan
from winrate_tools.pools import PoolCard
from winrate_tools.report import words
from winrate_tools.report.cards.records import guarded
from winrate_tools.report.plan import plan_words

COLUMNS = (
    *("card", "copies", "faction", "rarity", "role", "price", "protected", "slot"),
    *("archetypes", "why"),
)


def pool_csv(
    plan: Plan,
    delimiter: str = ",",
    decimal: str = ".",
    headers: Mapping[str, str] | None = None,
    protected: Mapping[str, str] | None = None,
) -> str:
    """Write the new pool of a plan.

    Parameters
    ----------
    plan : Plan
        What to change.
    delimiter, decimal : str, optional
        Marks between columns and before a price's fraction, as in the pool that was read.
    headers : mapping of str to str, optional
        Role to the header that it had there; the others are called as their role is.
    protected : mapping of str to str, optional
        Card to what its cell of that name said there. Other cards get the word that most of
        those had that are as little, or as well, protected; else yes or no.

    Returns
    -------
    str
        CSV, one row a card in the order of the old pool, new cards after them; last, with 0
        copies, the cards that are gone, so that a change sheet can say why. A text that a
        spreadsheet would compute has an apostrophe in front, which readers take off again.
        Cards that had no copies before are not listed.
    """
    notes = {move.card.card: note(move, plan) for move in plan.moves}
    gone = [(move.card, 0) for move in plan.gone if not move.after]
    lines = StringIO()
    writer = csv.writer(lines, lineterminator="\n", delimiter=delimiter)
    named = headers or {}
    writer.writerow(guarded(named.get(role, role)) for role in COLUMNS)
    stay = [(card, card.copies) for card in plan.pool.cards if card.copies]
    said = _words_of_protection(plan.pool.cards, protected or {})
    for card, copies in [*stay, *gone]:
        word = (protected or {}).get(card.card, said[card.is_protected])
        row = _row(card, copies, notes.get(card.card, ""), decimal, word)
        writer.writerow(_safe(cell) for cell in row)
    return lines.getvalue()


def _words_of_protection(
    cards: Sequence[PoolCard], cells: Mapping[str, str]
) -> dict[bool, str]:
    """Return the usual word for a card that is not protected, and for one that is."""
    usual = {False: "no", True: "yes"}
    for is_protected in usual:
        told = [
            cells[card.card]
            for card in cards
            if card.card in cells and card.is_protected is is_protected
        ]
        if told:
            usual[is_protected] = mode(told)
    return usual


def _row(
    card: PoolCard, copies: int, why: str, decimal: str, protected: str
) -> tuple[object, ...]:
    return (
        card.card,
        copies,
        card.faction or "",
        card.rarity or "",
        card.role or "",
        "" if card.price is None else str(card.price).replace(".", decimal),
        protected,
        card.slot,
        "; ".join(card.archetypes),
        why,
    )


def _safe(cell: object) -> object:
    """Guard a text, but for dashes alone, which mean nothing and are not computed."""
    return guarded(cell) if isinstance(cell, str) and cell.strip("-") else cell


def note(move: Move, plan: Plan) -> str:
    """Say why a card moves, for the people at the table.

    Returns
    -------
    str
        The reasons, the chance that it is weak, and for which card it comes.
    """
    line = words.exact_percent(plan.line)
    parts = [
        plan_words.why(move, plan.sure),
        f"{plan_words.chance_below(move, plan)} below {line}",
    ]
    swaps = [pair for pair in plan.swaps if pair.into == move.card.card]
    if move.change > 0 and swaps:
        chance = words.in_twenty(min(pair.chance_stronger for pair in swaps))
        names = plan_words.joined([pair.out for pair in swaps])
        parts.append(f"for {names}, {chance} to be the stronger")
        if min(pair.chance_stronger for pair in swaps) < plan_words.EVEN:
            parts.append(plan_words.FOR_BALANCE)
    return "; ".join(parts)
