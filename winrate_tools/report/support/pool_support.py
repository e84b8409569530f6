"""What a pool, or a list of candidates for it, can and cannot support."""

from collections import Counter
from collections.abc import Sequence
from statistics import median

from winrate_tools.pools import MAIN, CandidateTable, PoolCard, PoolTable
from winrate_tools.report import words
from winrate_tools.report.document import Entry
from winrate_tools.tables import ATTRIBUTES


def pool_support(table: PoolTable) -> tuple[Entry, ...]:
    """Say what a pool holds and which limits of a plan it can serve.

    Returns
    -------
    tuple of Entry
        Size, labels, prices, protection, archetypes.
    """
    return (
        Entry("Size", _size(table)),
        Entry("Labels", _labels(table.cards)),
        Entry("Prices", _prices(table.cards)),
        Entry("Protected", _protected(table)),
        Entry("Archetypes", _archetypes(table.cards)),
    )


def candidate_support(table: CandidateTable) -> tuple[Entry, ...]:
    """Say what is known of candidates and which limits of a plan they can serve.

    Returns
    -------
    tuple of Entry
        Evidence, baselines, labels, prices, archetypes.
    """
    cards = [candidate.card for candidate in table.candidates]
    return (
        Entry("Evidence", _evidence(table)),
        Entry("Baselines", _baselines(table)),
        Entry("Labels", _labels(cards)),
        Entry("Prices", _prices(cards)),
        Entry("Archetypes", _archetypes(cards)),
    )


def _size(table: PoolTable) -> str:
    copies: Counter[str] = Counter()
    for card in table.cards:
        copies[card.slot] += card.copies
    held = sum(card.copies > 0 for card in table.cards)
    said = f"{words.plural(held, 'card')}, {words.count(table.size)} with copies"
    if held < len(table.cards):
        said += f" ({words.count(len(table.cards) - held)} more listed with 0 copies)"
    if set(copies) == {MAIN}:
        return f"{said}, all for the main slots of a pack."
    slots = (f"{words.count(number)} in slot {slot}" for slot, number in copies.items())
    return f"{said}: {', '.join(slots)}."


def _labels(cards: Sequence[PoolCard]) -> str:
    unknown = {name: sum(getattr(card, name) is None for card in cards) for name in ATTRIBUTES}
    nowhere = [name for name, number in unknown.items() if number == len(cards)]
    gaps = [
        f"{name} of {words.count(number)}"
        for name, number in unknown.items()
        if number and name not in nowhere
    ]
    said = [f"no card has a {' or a '.join(nowhere)}"] if nowhere else []
    said += [f"{', '.join(gaps)} unknown"] if gaps else []
    if not said:
        return f"{', '.join(unknown)} of all: a plan can keep the counts of each."
    return f"{'; '.join(said)}: a plan cannot keep counts of what it does not know."


def _protected(table: PoolTable) -> str:
    protected = sum(card.is_protected for card in table.cards)
    if protected or "protected" in table.source.roles:
        return f"{words.plural(protected, 'card')} never to be cut."
    return "nothing says which cards are never to be cut: a plan may cut any."


def _prices(cards: Sequence[PoolCard]) -> str:
    known = [card for card in cards if card.price is not None]
    if not known:
        return "none: a plan cannot keep to a budget."
    total = sum(card.copies * (card.price or 0) for card in known)
    which = "all" if len(known) == len(cards) else f"{len(known):,} of {len(cards):,}"
    return f"of {which}; with their copies they come to {total:,.2f}."


def _archetypes(cards: Sequence[PoolCard]) -> str:
    named = list(dict.fromkeys(name for card in cards for name in card.archetypes))
    if not named:
        return (
            "none are named: what a card supports is read off the games that it was played in."
        )
    naming = sum(bool(card.archetypes) for card in cards)
    return f"{words.plural(naming, 'card')} name what they support: {', '.join(named)}."


def _evidence(table: CandidateTable) -> str:
    games = [one.games for one in table.candidates if one.games]
    guesses = sum(one.guess is not None for one in table.candidates)
    said = words.plural(len(table.candidates), "candidate")
    if games:
        said += f", {len(games):,} with a record; the middle one has "
        said += words.plural(int(median(games)), "game")
    if guesses:
        said += f"{';' if games else ','} {guesses:,} with a guess, which is as unsure as the "
        said += "pool is wide unless its spread is given"
    return f"{said}."


def _baselines(table: CandidateTable) -> str:
    known = [one.baseline for one in table.candidates if one.baseline is not None]
    if not known:
        return "none are needed without records."
    low, high = words.percent(min(known)), words.percent(max(known))
    span = low if low == high else f"{low} to {high}"
    return (
        f"an average card won {span} where the records were made; only how far a card is from "
        "that carries over."
    )
